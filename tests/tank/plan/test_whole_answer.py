"""The whole plan: its verdict, its water, its lamp, and that units never change it."""

import math
from datetime import date

import pytest
from plan_systems import as_it_was_bought, college, nano

from aqualib.lesson import tank_sheet as sheet
from aqualib.parameters import parameter
from aqualib.tank.plan import VERDICTS, Pump, example_system, make_plan
from aqualib.tank.plan.whole_answer import carbon_halved
from aqualib.tank.upkeep import schedule_for_interval
from aqualib.units import Q, from_si, get_units, set_units
from aqualib.validity import ValidityError

FIRST = date(2030, 3, 2)


def quick(system):
    return make_plan(system, FIRST, doubt=False, changes=False)


EXAMPLE = make_plan(example_system(), FIRST)


def test_comfortable_tight_and_too_much_lie_on_either_side_of_the_band():
    low, _, high = EXAMPLE.carried
    for food, verdict in ((0.98 * low, 0), (1.02 * low, 1), (0.98 * high, 1), (1.05 * high, 2)):
        # The dirt is held as it was, so that only the food is another.
        plan = quick(example_system().changed("stock", food=food))
        assert plan.verdict == VERDICTS[verdict], food


def weekly_change():
    """The water a week that holds the limit, by the sums of lesson 11."""
    limits = (sheet.of_row(name) for name in ("nitrate_limit", "fill_nitrate", "tank_volume"))
    plan = schedule_for_interval(sheet.nitrate_gain(), *limits, Q(7, "day"))
    return (plan.share * sheet.of_row("tank_volume")).to("L")


def test_the_plan_says_what_the_lessons_say():
    # Lesson 11: what is made in a week, thinned to the limit less what the tap brings.
    room = parameter("nitrate_limit").value - parameter("fill_nitrate").value
    weekly = sheet.nitrate_gain().m_as("mg/L/day") * 7 * parameter("tank_volume").value / room
    assert from_si(EXAMPLE.changing.weekly, "L") == pytest.approx(weekly, rel=0.01)
    assert EXAMPLE.carbon_halved == pytest.approx(
        sheet.carbon_in_tank().halved_on.m_as("s"), rel=0.02
    )
    # Pump and lamp burn all year: (18 + 11) W x 8760 h.
    assert from_si(EXAMPLE.energy, "kW*h") == pytest.approx(29 * 8.766, rel=0.002)
    assert EXAMPLE.cost == pytest.approx(
        29 * 8.766 * parameter("electricity_price").value, rel=0.002
    )


def test_the_other_water_is_the_twin_where_only_salt_differs():
    sea = quick(example_system().changed("water", salinity=35))
    assert EXAMPLE.elsewhere.best == pytest.approx(sea.now.carried.feed.best, rel=0.03)
    back = quick(example_system().changed("water", salinity=35)).elsewhere
    assert back.best == pytest.approx(EXAMPLE.now.carried.feed.best, rel=0.03)


@pytest.mark.parametrize("system", [example_system(), nano(), college(), as_it_was_bought()],
                         ids=lambda system: system.name)  # fmt: skip
def test_the_unit_set_never_changes_a_plan(system):
    plans = []
    before = get_units()
    try:
        for units in ("metric", "us", "imperial"):
            set_units(units)
            plans.append(make_plan(system, FIRST, doubt=False))
    finally:
        set_units(before)
    # By repr, in which a NaN is itself.
    assert len({repr((p.now, p.changes, p.unknowns, p.assumed, p.verdict)) for p in plans}) == 1


def test_the_best_change_gains_and_where_none_does_there_is_none():
    assert EXAMPLE.best_change is EXAMPLE.changes[0]
    starved = make_plan(
        example_system().changed("stock", food=Q(0, "g/day"), solids=None)
        .changed("care", change=Q(50, "percent")), FIRST, doubt=False)  # fmt: skip
    gained = starved.best_change
    assert gained is None or gained.after.carried.feed.best > starved.now.carried.feed.best


def test_no_lamp_no_carbon_no_flow():
    plain = quick(nano())
    assert plain.lamp is None
    assert math.isnan(plain.carbon_halved)
    still = quick(example_system().changed("hose", lift=Q(3, "m")))
    assert still.lamp is None
    assert still.verdict == "too much"
    assert math.isnan(carbon_halved(still.whole, still.now))


def test_no_water_change_lets_nitrate_rise_without_end():
    plan = quick(example_system().changed("care", change=Q(0, "percent")))
    assert math.isinf(plan.changing.peak)
    tap = quick(example_system().changed("water", tap_nitrate=Q(60, "mg/L")))
    assert math.isinf(tap.changing.weekly)


@pytest.mark.parametrize(("system", "start"), [(Pump(), FIRST), (example_system(), "tomorrow")],
                         ids=["part", "word"])  # fmt: skip
def test_what_is_no_system_or_date_is_refused(system, start):
    with pytest.raises(ValidityError):
        make_plan(system, start)


def test_without_a_date_it_starts_today():
    assert quick(nano()).start == FIRST
    assert make_plan(nano(), doubt=False, changes=False).start == date.today()
