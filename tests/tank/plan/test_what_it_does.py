"""What a system comes to: by hand, by a second road, and by what must hold for every system."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_systems import as_it_was_bought, college, nano

from aqualib.filtration.biofilm import areal_rate
from aqualib.lesson import tank_sheet as sheet
from aqualib.parameters import parameter
from aqualib.tank.plan import (
    Filter,
    Hose,
    Pump,
    Stock,
    System,
    Tank,
    Tray,
    example_system,
    filled,
    outcome,
)
from aqualib.tank.plan.what_it_does import pad_surface, stages, weeks
from aqualib.units import Q, from_si


def whole_of(system):
    return filled(system)[0]


def of(system):
    return outcome(whole_of(system))


EXAMPLE, SEA = of(example_system()), of(example_system(marine=True))


# --- one value in all rooms: the example's plan says what the lessons' sheet says


def test_flow_is_that_of_lesson_04():
    assert EXAMPLE.flow_due == pytest.approx(sheet.flow_when_due().m_as("m**3/s"), rel=0.005)
    # The rings are in its way too, and hardly matter.
    assert EXAMPLE.flow_due < sheet.flow_when_due().m_as("m**3/s")


def test_cleaning_is_due_on_the_day_of_lesson_05():
    run = sheet.weeks_of_dirt()
    assert EXAMPLE.due == pytest.approx(run.cleaning_due.m_as("s"), rel=0.01)
    assert EXAMPLE.first_due == run.ended_by
    held = float(np.interp(run.cleaning_due.m, run.time.m, run.mass.m_as("kg").sum(axis=(1, 2))))
    assert EXAMPLE.dirt_held == pytest.approx(held, rel=0.02)


def test_surface_and_food_are_those_of_lessons_06_and_07():
    assert EXAMPLE.media_area + EXAMPLE.pad_area == pytest.approx(
        parameter("media_surface").bare, rel=0.02
    )
    assert EXAMPLE.carried.feed.best == pytest.approx(
        sheet.carried().feed.best.m_as("kg/s"), rel=0.02
    )
    assert EXAMPLE.carried.limiting == sheet.carried().limiting


def test_the_twin_carries_what_lesson_08_says():
    rows = {
        "salinity": "tank_salinity",
        "rock_mass": "rock_mass",
        "temperature": "tank_temperature",
    }
    twin = sheet.carried(**{name: sheet.of_twin(row) for name, row in rows.items()})
    assert SEA.carried.feed.best == pytest.approx(twin.feed.best.m_as("kg/s"), rel=0.02)


def test_nitrate_is_that_of_lesson_11():
    gain = sheet.nitrate_gain() * sheet.of_row("change_interval")
    peak = gain.m_as("mg/L") / sheet.percent("change_share") + parameter("fill_nitrate").value
    assert from_si(EXAMPLE.nitrate_peak, "mg/L") == pytest.approx(peak, rel=0.005)


# --- by hand


def test_the_nano_by_hand():
    found = of(nano())
    floor = 0.10 * 0.08
    assert found.media_mass == pytest.approx(450 * floor * 0.04)
    # Rings: 800 per metre of pieces, 40 % of the bed is pieces.
    assert found.media_area == pytest.approx(800 * 0.4 * floor * 0.04)
    # Foam of 20 pores per inch: a cell is 2.12 x 1.27 mm; its threads have
    # 2 (pi l (1 - e))^0.5 of surface with l = 6 x 2^0.5 / D² of thread, two thirds of it clean.
    thread = 6 * math.sqrt(2) / (2.12 * 1.27e-3) ** 2
    foam = 2 * math.sqrt(math.pi * thread * 0.03)
    assert found.pad_area == pytest.approx(0.667 * foam * floor * 0.04, rel=1e-6)
    # 0.1 g/day x 0.43 x 0.092 in 20 L is 0.1978 mg N/L/day, 0.8757 of nitrate; a week is 6.13, and
    # 30 % a week leave 20.4 above the tap's 8.
    nitrate = 0.1 * 0.43 * 0.092 / 20 * 1000 * 62.0049 / 14.0067 * 7 / 0.3 + 8
    assert from_si(found.nitrate_peak, "mg/L") == pytest.approx(nitrate, rel=1e-4)
    assert from_si(found.flow_clean, "L/h") == pytest.approx(100)
    # What one pad holds is spread over three weeks of dirt, a quarter of the food.
    by_dirt = from_si(found.dirt_held, "g") / 21 / 0.25
    assert from_si(found.carried.dirt.best, "g/day") == pytest.approx(by_dirt)


def test_the_nano_by_the_film_law_a_second_road():
    """So much water passes the film that all of it meets nearly the tank's ammonia."""
    found = of(nano(hose=Hose(bore=Q(16, "mm"))).changed("pump", measured_flow=Q(2000, "L/h")))
    rate = areal_rate(parameter("ammonia_allowed").quantity, Q(24.5, "degC"))
    area = Q(found.media_area + found.pad_area, "m**2")
    food = (rate * area).to("g/day") / (0.092 * 0.43)
    assert from_si(found.carried.surface.best, "g/day") == pytest.approx(food.m, rel=0.03)


def test_the_college_unit_by_hand():
    whole, found = whole_of(college()), of(college())
    assert whole.floor == pytest.approx(4.0)
    # 650 m² in a cubic metre of bed that weighs 955 x 0.15 kg: 4.54 m²/kg of carriers.
    assert found.media_area == pytest.approx(500 * 650 / (955 * 0.15), rel=1e-3)
    # The hose takes v²/2g x (f L/D + 1.5 + bends) and the lift is 1 m: 28 to 29 m³/h of 30 are left
    # where the pump has 6 (1 - (Q/30)²) m of head.
    flow = found.flow_clean
    head = 6 * (1 - (flow * 3600 / 30) ** 2)
    speed = flow / (math.pi / 4 * 0.11**2)
    taken = 1 + speed**2 / 19.62 * (0.02 * 20 / 0.11 + 1.5 + 6 * 0.9 + 12)
    assert head == pytest.approx(taken, rel=0.25)
    assert 20 < flow * 3600 < 28
    # 1000 g x 0.40 x 0.092 of nitrogen a day in 20 m³, a tenth changed a day.
    nitrate = 1000 * 0.4 * 0.092 / 20 * 62.0049 / 14.0067 * 1 / 0.1 + 5
    assert from_si(found.nitrate_peak, "mg/L") == pytest.approx(nitrate, rel=1e-4)


def test_a_measured_flow_is_believed_and_falls_as_the_sum_says():
    told = of(example_system().changed("pump", measured_flow=Q(600, "L/h")))
    assert from_si(told.flow_clean, "L/h") == pytest.approx(600)
    assert told.flow_due / told.flow_clean == pytest.approx(EXAMPLE.flow_due / EXAMPLE.flow_clean)


# --- what must hold


def test_more_food_never_raises_what_is_carried():
    fed = [of(example_system().changed("stock", food=Q(food, "g/day"), solids=None)).carried.feed
           for food in (0, 0.2, 1, 3, 9, 30)]  # fmt: skip
    for end in ("low", "best", "high"):
        carried = [getattr(one, end) for one in fed]
        assert all(more <= less * 1.003 for less, more in pairwise(carried))
    assert fed[-1].best > 0


def test_order_changes_the_days_and_not_what_is_caught():
    settle, coarse, medium, fine, rings = example_system().filter.trays
    usual = weeks(whole_of(example_system()))
    turned = example_system().changed("filter", trays=(fine, medium, coarse, settle, rings))
    other = weeks(whole_of(turned))
    passed = [np.prod(1 - np.asarray(run.efficiency), axis=0) for run in (usual, other)]
    assert passed[0] == pytest.approx(passed[1])
    assert of(turned).due < 0.5 * EXAMPLE.due
    assert of(turned).flow_clean == pytest.approx(EXAMPLE.flow_clean)


def test_a_clean_tank_whose_pads_are_never_due_is_not_called_full():
    """So little dirt that half a year fills nothing: what the filter could hold is what counts."""
    little = of(example_system().changed("stock", food=Q(0.2, "g/day"), solids=None))
    assert math.isinf(little.due)
    assert little.dirt_held == pytest.approx(EXAMPLE.dirt_held, rel=0.05)


def test_an_empty_filter_carries_nothing_and_says_so():
    found = of(example_system().changed("filter", trays=(Tray("nothing", Q(20, "cm")),)))
    assert found.dirt_held == 0
    assert found.carried.feed.best == 0


def test_a_pump_that_cannot_lift_gives_no_flow_and_flow_limits():
    found = of(example_system().changed("hose", lift=Q(3, "m")))
    assert found.flow_clean == 0
    assert found.carried.limiting == "flow"
    assert from_si(found.carried.feed.best, "g/day") < 0.01


HELD = ["settling space", "coarse pad", "fine pad", "pumice", "carbon", "nothing"]


@settings(max_examples=12)
@given(
    st.lists(
        st.sampled_from(HELD),
        min_size=1,
        max_size=6,
    ),
    st.floats(12, 60),
    st.floats(100, 4000),
)  # fmt: skip
def test_any_filter_gives_numbers_that_can_be(holds, wide, flow):
    system = example_system().changed("filter", width=Q(wide, "cm"),
                                      trays=tuple(Tray(h, Q(5, "cm")) for h in holds))  # fmt: skip
    found = of(system.changed("pump", rated_flow=Q(flow, "L/h")))
    feed = found.carried.feed
    assert 0 <= feed.low <= feed.best * (1 + 1e-9) <= feed.high * (1 + 1e-9)
    assert 0 <= found.flow_due <= found.flow_clean * (1 + 1e-9) <= Q(flow, "L/h").m_as("m**3/s")
    assert found.due > 0
    assert len(found.due_of) == len(stages(whole_of(system)))


def test_pads_have_the_surface_that_the_lessons_give_them():
    assert pad_surface(whole_of(example_system())) == pytest.approx(
        parameter("pad_area").bare, rel=0.02
    )


def test_what_was_bought_is_limited_by_its_dirt():
    found = of(as_it_was_bought())
    assert found.carried.limiting == "dirt"
    assert found.first_due == "fine"
    no_carbon = as_it_was_bought().changed(
        "filter", trays=tuple(t for t in as_it_was_bought().filter.trays if t.holds != "carbon")
    )
    assert of(no_carbon).carried.feed == found.carried.feed


def without_pads(food, *trays):
    return System(
        tank=Tank(water=Q(100, "L")),
        stock=Stock(food=Q(food, "g/day")),
        filter=Filter(trays, shape="box", width=Q(20, "cm"), length=Q(25, "cm")),
    )


def test_media_without_a_pad_hold_some_dirt_and_a_settling_space_takes_none_away():
    """By hand: 10 L x 1 g/L of dirt; 0.25 g of it from a gram of food, 35 days to a cleaning."""
    rings = Tray("porous rings", Q(20, "cm"))
    alone = of(without_pads(1, rings))
    assert alone.dirt_held == pytest.approx(0.010, rel=0.01)
    assert alone.carried.feed.best == pytest.approx(
        0.010 / parameter("solids_per_feed").value / Q(35, "day").m_as("s"), rel=0.02
    )
    thin = of(without_pads(1, Tray("settling space", Q(5, "mm")), rings))
    assert thin.carried.feed.best >= alone.carried.feed.best


def test_a_filter_of_carbon_alone_is_not_nothing():
    assert of(without_pads(0.1, Tray("carbon", Q(10, "cm")))).dirt_held == pytest.approx(0.005)


def test_more_food_never_raises_what_a_small_filter_carries():
    """A pad so small that half a year of little food does not fill it, and of more does."""
    trays = (Tray("coarse pad", Q(40, "mm")), Tray("porous rings", Q(40, "mm")))
    small = System(
        tank=Tank(water=Q(60, "L")),
        filter=Filter(trays, shape="box", width=Q(10, "cm"), length=Q(5, "cm")),
        pump=Pump(rated_flow=Q(300, "L/h"), rated_head=Q(0.4, "m")),
    )
    foods = (0.01, 0.025, 0.027, 0.0275, 0.03, 0.1, 1)
    carried = [
        of(small.changed("stock", food=Q(food, "g/day"))).carried.feed.best for food in foods
    ]
    assert all(after <= before * 1.01 for before, after in pairwise(carried))


def test_media_hold_dirt_only_where_no_pad_stands_before_them():
    pad, rings = Tray("fine pad", Q(40, "mm")), Tray("porous rings", Q(20, "cm"))
    alone, behind = of(without_pads(1, pad)), of(without_pads(1, pad, rings))
    assert behind.dirt_held == pytest.approx(alone.dirt_held, rel=0.02)
    assert of(without_pads(1, rings, pad)).dirt_held >= of(without_pads(1, rings)).dirt_held
