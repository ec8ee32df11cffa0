"""What was left open is said, each with what was taken for it and why."""

from plan_systems import nano

from aqualib.tank.plan import System, Tank, Water, example_system, filled
from aqualib.tank.plan.assumed import Filling
from aqualib.units import Q


def assumed(system):
    return {one.place: one for one in filled(system)[1]}


def test_the_example_leaves_open_only_what_no_lesson_tells():
    said = {"water.alkalinity", "water.chloride", "tank.air", "hose.lift", "pump.price",
            "lamp.hours_a_day"}  # fmt: skip
    assert set(assumed(example_system())) == said


def test_what_was_told_is_never_called_assumed():
    told = nano()
    places = assumed(told)
    for name in ("tank.water", "stock.food", "stock.fish", "pump.power", "care.clean_every"):
        assert name not in places
    assert {"water.temperature", "water.ph", "stock.protein", "stock.solids"} <= set(places)


def test_sea_water_has_its_own_ph():
    sea = assumed(System(water=Water(salinity=35)))
    assert (sea["water.ph"].value, sea["water.ph"].ground) == ("8.20", "sea water")
    assert assumed(System())["water.ph"].ground == "as in the lessons' tank"


def test_a_tank_of_unknown_size_is_asked_to_be_measured():
    assert "measure" in assumed(System())["tank.water"].ground
    assert "tank.water" not in assumed(System(tank=Tank(water=Q(30, "L"))))


def test_a_number_taken_is_said_in_the_unit_of_the_file():
    fill = Filling(System())
    assert fill.take("stock.food", 1 / 86_400_000, "g/day", "because") == 1 / 86_400_000
    assert fill.assumed[0] == ("stock.food", "1 g/day", "because")
