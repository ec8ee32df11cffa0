"""A system with nothing left open: numbers by hand."""

import math

import pytest
from plan_systems import nano

from aqualib.parameters import parameter
from aqualib.tank.load import daily_feed
from aqualib.tank.plan import (
    Carbon,
    Care,
    Pump,
    Stock,
    System,
    Tank,
    Tray,
    Water,
    example_system,
    filled,
    outcome,
)
from aqualib.tank.plan.nothing_open import net_water
from aqualib.tank.plan.parts import Filter
from aqualib.units import Q
from aqualib.validity import ValidityError


def of(**parts):
    return filled(System(**parts))[0]


def test_water_from_three_sides_less_gravel_and_stones():
    # 60 x 30 x 32 cm is 57.6 L; 3 cm of gravel, 60 % of it stone, take 3.24 L; 4 kg take 1.509 L.
    sides = Tank(length=Q(60, "cm"), width=Q(30, "cm"), water_depth=Q(32, "cm"),
                 gravel_depth=Q(3, "cm"), rock=Q(4, "kg"))  # fmt: skip
    whole = of(tank=sides)
    assert whole.volume == pytest.approx((57.6 - 3.24 - 4 / 2.65) / 1000, rel=1e-3)
    assert whole.surface == pytest.approx(0.18)


def test_the_example_holds_the_litres_of_lesson_01():
    assert filled(example_system())[0].volume == pytest.approx(
        parameter("tank_volume").bare, rel=0.005
    )


def test_litres_told_win_over_the_sides_and_nothing_mentioned_is_not_there():
    whole = of(tank=Tank(water=Q(50, "L"), length=Q(200, "cm")))
    assert whole.volume == pytest.approx(0.05)
    assert whole.rock == 0


def test_stones_that_leave_no_water_are_refused():
    with pytest.raises(ValidityError, match="leave no water"):
        net_water(Tank(length=Q(10, "cm"), width=Q(10, "cm"), water_depth=Q(10, "cm")), 9.0, 0.0)


def test_each_of_fish_and_food_helps_where_the_other_is_missing():
    one = Q(2, "g")
    warm = Q(26, "degC")
    eaten = daily_feed(Q(60, "g"), one, warm)
    water = Water(temperature=warm)
    by_fish = of(water=water, stock=Stock(fish=Q(60, "g"), one_fish=one))
    assert by_fish.feed == pytest.approx(eaten.m_as("kg/s"))
    by_food = of(water=water, stock=Stock(food=eaten, one_fish=one))
    assert by_food.stock == pytest.approx(0.06)
    both = of(water=water, stock=Stock(food=Q(9, "g/day"), fish=Q(60, "g"), one_fish=one))
    assert both.feed == pytest.approx(Q(9, "g/day").m_as("kg/s"))
    assert both.solids == pytest.approx(both.feed * parameter("solids_per_feed").value)


def test_with_neither_they_are_the_lessons_for_as_many_litres():
    whole = of(tank=Tank(water=parameter("tank_volume").quantity / 10))
    assert whole.feed == pytest.approx(parameter("tank_feed").bare / 10)


def test_a_pump_nobody_told_of_turns_the_water_over_by_the_trades_rule():
    litres = Q(100, "L")
    ratio = parameter("media_flow").value / parameter("pump_rated_flow").value
    rule = parameter("turnover_rule").value
    assert of(tank=Tank(water=litres)).rated_flow * 3.6e6 * ratio == pytest.approx(100 * rule)
    measured = of(pump=Pump(measured_flow=Q(370, "L/h")))
    assert measured.rated_flow * 3.6e6 == pytest.approx(370 / ratio)


def test_seeds_by_their_words():
    for word in ("squeeze", "handful", "third"):
        assert of(care=Care(seed=word)).seed == parameter(f"seed_{word}").value
    assert of().seed == parameter("seed_squeeze").value
    assert of(care=Care(seed="none")).seed == parameter("start_up_seed").value


def test_no_lamp_and_no_carbon_unless_told():
    assert (of().lamp_power, of().carbon) == (0, 0)
    assert filled(example_system())[0].lamp_power == parameter("lamp_power").bare


def test_a_tray_of_carbon_that_nobody_weighed_is_full():
    tray = Tray("carbon", Q(4, "cm"))
    whole = of(filter=Filter((tray,), width=Q(20, "cm")))
    litres = math.pi / 4 * 2.0**2 * 0.4
    assert whole.carbon == pytest.approx(litres / 1000 * parameter("carbon_bulk_density").bare)
    weighed = of(filter=Filter((tray,), width=Q(20, "cm")), carbon=Carbon(mass=Q(150, "g")))
    assert weighed.carbon == pytest.approx(0.15)


def test_marine_begins_halfway_to_the_sea():
    assert of(water=Water(salinity=35)).is_sea
    assert not of(water=Water(salinity=5)).is_sea


def test_nitrate_now_is_known_only_if_tested():
    assert math.isnan(filled(nano())[0].nitrate_now)


def test_holding_finds_trays_by_what_they_hold():
    trays = (
        Tray("coarse pad", Q(4, "cm")),
        Tray("pumice", Q(4, "cm")),
        Tray("nothing", Q(4, "cm")),
    )
    whole = of(filter=Filter(trays))
    assert [place.holds for place in whole.media] == ["pumice"]
    assert [place.holds for place in whole.holding("nothing", "coarse pad")] == [
        "coarse pad", "nothing"]  # fmt: skip


def test_a_filled_bucket_shows_that_the_pump_reaches_the_outlet():
    """The keeper measured 300 L/h: a lift beyond the pump's head was told wrong."""
    told = example_system().changed("pump", rated_head=Q(0.8, "m"), measured_flow=Q(300, "L/h"))
    whole, assumed = filled(told.changed("hose", lift=Q(1.2, "m")))
    assert whole.lift == 0.0
    assert any(one.place == "hose.lift" for one in assumed)
    found = outcome(whole)
    assert found.flow_clean == pytest.approx(Q(300, "L/h").m_as("m**3/s"))
    assert 0.5 * found.flow_clean < found.flow_due < found.flow_clean


def test_a_hose_that_nobody_told_is_as_wide_as_a_large_flow_asks_for():
    """By hand: 16 mm for 1150 L/h; a hundred times the flow at one speed is ten times as wide."""
    example = example_system()
    hose = parameter("hose_bore").bare
    flow = parameter("pump_rated_flow").bare

    def bore(times):
        pump = {"rated_flow": Q(times * flow, "m**3/s"), "measured_flow": None}
        system = example.changed("pump", **pump).changed("hose", bore=None)
        return filled(system)[0].bore

    assert bore(1.0) == bore(1.9) == hose
    assert bore(100.0) == pytest.approx(10.0 * hose)


def test_salt_brings_its_own_chloride():
    """By hand: sea water of salinity 35 holds 35 / 1.80655 = 19.4 g of chloride in a kilogram."""
    sea, assumed = filled(System(water=Water(salinity=35)))
    assert sea.chloride == pytest.approx(19.37 * 1.023, rel=5e-3)
    (one,) = (one for one in assumed if one.place == "water.chloride")
    assert one.ground == "that of its salt"
    assert of(water=Water(salinity=0)).chloride == parameter("tap_chloride").bare
