"""What lessons 00 to 06 say in words of the running tank is what the package computes."""

from pathlib import Path

import pytest

from aqualib.lesson import tank_sheet as our
from aqualib.lesson.glossary import without_links
from aqualib.lesson.panels.clean_to_dirty import turnover_panel
from aqualib.lesson.panels.maturing_a_filter import maturation_panel
from aqualib.lesson.panels.safety_map import TO_DO
from aqualib.lesson.panels.staging_the_solids import filter_panel
from aqualib.parameters import parameter
from aqualib.tank.sizing import (
    fish_oxygen_per_feed,
    oxygen_needs,
    oxygen_through_surface,
)
from aqualib.tank.symptoms import diagnose
from aqualib.tank.symptoms.old_tank_trap import Water, after_change, as_it_is, harms
from aqualib.tank.volume import cylinder_volume
from aqualib.units import Q
from aqualib.water.ammonia import (
    total_ammonia_limits,
    unionised_ammonia_nitrogen,
    unionised_fraction,
)
from aqualib.water.nitrogen import ammonia_as_nitrogen, ammonium_as_nitrogen, as_nitrite
from aqualib.water.oxygen import saturation

LESSONS = Path(__file__).resolve().parents[2] / "lessons"
row = our.of_row


def says(lesson, words):
    """The words stand in the lesson, so a sentence cannot change and leave its test behind."""
    path = next(LESSONS.glob(f"{lesson}-*.ipynb"))
    assert words in without_links(path.read_text(encoding="utf-8")), (
        f"lesson {lesson} no longer says {words!r}"
    )


def needs():
    fish = fish_oxygen_per_feed(row("fish_weight"), row("tank_temperature"))
    return oxygen_needs(parameter("food_protein").bare, fish=fish)


def hours_in_tank(least, full=1.0):
    store = (full * saturation(row("tank_temperature")) - Q(least, "mg/L")) * row("tank_volume")
    need = needs()
    return (store / ((need.fish + need.dirt) * row("tank_feed"))).m_as("h")


def test_a_gram_of_food_makes_some_40_mg_of_ammonia():
    says("00", "each gram of food makes some 40 mg of ammonia nitrogen")
    a_gram = (our.ammonia_made() / row("tank_feed")).m_as("mg/g")
    assert a_gram == pytest.approx(40, abs=1)


def test_two_thirds_of_the_flow_arrive():
    says("00", "two thirds of the flow on the box arrive")
    says("04", "Two thirds of it arrive here")
    assert (our.flow_when_due() / row("pump_rated_flow")).m_as("") == pytest.approx(2 / 3, abs=0.04)


def test_all_the_oxygen_of_the_tank_is_a_gram_and_a_half():
    says("01", "A gram and a half in the whole tank")
    held = saturation(row("tank_temperature")) * row("tank_volume")
    assert held.m_as("g") == pytest.approx(1.5, abs=0.1)


def test_a_power_cut_empties_the_filter_then_the_tank():
    says(
        "02",
        "without oxygen after two to four hours, the tank is in trouble after about seven",
    )
    height = row("settling_height") + 3 * row("filter_pad_depth")
    inside = cylinder_volume(row("filter_width"), height)
    inside += row("filter_media") / row("media_bulk_density")
    need, store = needs(), inside * saturation(row("tank_temperature"))
    uses = [use * row("tank_feed") for use in (need.dirt + need.nitrification, need.dirt)]
    first, last = ((store / use).m_as("h") for use in uses)
    assert 1.8 < first < last < 4
    assert hours_in_tank(3) == pytest.approx(7, abs=0.5)
    night = hours_in_tank(3, parameter("oxygen_kept").bare)
    says("02", "by night after three to four")
    assert 3 < night < 4
    told = diagnose("power cut", hours_stood=Q(1, "h"), temperature=row("tank_temperature"))
    assert f"the tank's {night:.1f} h" in told.words["sum"]


def test_the_trap_is_told_the_same_water_in_every_room():
    """A tenth of tap water makes lesson 02's tank twice as poisonous as a tenth of soft water."""
    says("02", "with **soft water** that has no more alkalinity than the tank")
    trapped = Water(2e-3, 6.5, 10e-3, 120e-3, row("tank_temperature").m_as("K"), 0.0)
    before = as_it_is(trapped)
    hard, soft = after_change(trapped, 0.1), after_change(trapped._replace(tap_alkalinity=0.0), 0.1)
    assert harms(before, hard)
    assert hard.poison > 2.0 * soft.poison
    assert all("with soft water" in TO_DO[verdict] for verdict in ("trap", "act in the trap"))
    leaf = diagnose("ph sinks", ph=6.5, ammonia=Q(2, "mg/L"), alkalinity=Q(10, "mg/L"))
    assert "no richer in alkalinity" in leaf.tonight


def test_a_moving_surface_takes_up_several_times_what_fish_use():
    says("02", "a moving surface takes up several times what the fish use")
    need = needs()
    taken = oxygen_through_surface(row("tank_volume"), row("tank_temperature"), Q(3, "mg/L"))
    assert 3 < (taken / ((need.fish + need.dirt) * row("tank_feed"))).m_as("") < 10


def test_a_change_with_a_higher_ph_makes_an_old_tank_fifteen_times_as_poisonous():
    says("02", "half the ammonia, and fifteen times the poison")
    warm = row("tank_temperature")
    before, after = (
        unionised_ammonia_nitrogen(Q(level, "mg/L"), ph, warm) for level, ph in ((2, 6.5), (1, 8.0))
    )
    assert (after / before).m_as("") == pytest.approx(15, abs=0.5)
    assert Q(2, "mg/L") > total_ammonia_limits(6.5, warm, 0).chronic


def test_one_reading_is_below_every_limit_or_at_that_for_an_hour():
    says("02", "below every limit at pH 6.5 and stands at the limit for an hour at pH 8.5")
    says("02", "nearly ninety times larger")
    warm = row("tank_temperature")
    assert total_ammonia_limits(6.5, warm, 0).chronic.m_as("mg/L") > 1
    assert total_ammonia_limits(8.5, warm, 0).acute.m_as("mg/L") == pytest.approx(1, abs=0.05)
    times = unionised_fraction(8.5, warm) / unionised_fraction(6.5, warm)
    assert times == pytest.approx(87.5, abs=2.5)


def test_ions_as_nitrogen():
    says("02", "NH₄⁺ times 0.776, NH₃ times 0.822")
    says("02", "3.3 times the number as nitrogen")
    one = Q(1, "mg/L")
    assert ammonium_as_nitrogen(one).m_as("mg/L") == pytest.approx(0.776, abs=5e-4)
    assert ammonia_as_nitrogen(one).m_as("mg/L") == pytest.approx(0.822, abs=5e-4)
    assert as_nitrite(one).m_as("mg/L") == pytest.approx(3.3, abs=0.05)


def test_cold_costs_eight_days_and_the_sea_takes_twice_as_long():
    says("03", "safe 8 days later than at 24.5 °C")
    says("03", "the sea takes about twice as long")
    panel = maturation_panel()
    panel.replay()
    usual = panel.result.ready
    panel.replay(temperature=20)
    assert round(panel.result.ready - usual) == 8
    panel.replay(salinity=35, ph=8.2)
    assert panel.result.ready / usual == pytest.approx(2, abs=0.25)
    panel.close()


def test_half_the_flow_is_left_at_nearly_nine_tenths():
    says("04", "the pads are nearly nine tenths full")
    panel = turnover_panel()
    panel.replay(pores=85)
    assert panel.result.share > 0.5
    panel.replay(pores=90)
    assert panel.result.share < 0.5
    panel.close()


def test_order_changes_the_days_fourfold_and_the_water_hardly():
    says("05", "clogs in about a quarter of the time")
    says("05", "It is due for cleaning after about 50 days")
    panel = filter_panel()
    panel.replay(day=2)
    usual, water = panel.result.due, panel.result.suspended
    panel.replay(tray_1="fine", tray_3="coarse", day=2)
    assert usual == pytest.approx(50, abs=2.5)
    assert panel.result.due / usual == pytest.approx(0.25, abs=0.04)
    assert panel.result.suspended == pytest.approx(water, rel=0.05)
    panel.close()


def test_rings_at_the_pace_of_sand_take_little_of_the_nitrogen():
    says("06", "they could remove 4 to 36 mg, **3 to 26 %** of it")
    litres = (row("filter_media") / row("media_bulk_density")).m_as("L")
    made = our.ammonia_made().m_as("mg/day")
    assert made == pytest.approx(138, abs=0.5)
    assert [1 * litres, 9 * litres] == pytest.approx([4, 36], abs=0.5)
    assert [100 * litres / made, 900 * litres / made] == pytest.approx([3, 26], abs=0.5)
