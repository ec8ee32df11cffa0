"""When no day is named: each cause alone, told with the one measurement that would decide."""

import re
from dataclasses import replace

import numpy as np
import pytest
from tank.test_log.sound_logs import SOFT, TANK, log_of, only_nitrate, sound_log, with_more, zeros

from aqualib.tank.maturation import Buffer, Temperature, WaterChange
from aqualib.tank.test_log.fit import fit_log
from aqualib.tank.test_log.log import Reading
from aqualib.tank.test_log.no_day import (
    Known,
    alkalinity_had,
    alkalinity_used,
    fall_of_ph,
    why_no_day,
)
from aqualib.units import Q
from aqualib.validity import ValidityError

DAYS = np.arange(61.0)
STEADY_PH = dict.fromkeys((1, 9, 17, 25), 7.5)


def asked(log, tank=TANK, fed=1.0, misfit=1.0):
    """Why no day is named, and what to measure; two empty texts if one is."""
    found = why_no_day(Known(log, tank, DAYS, fed * DAYS, misfit))
    return found or ("", "")


def without(log, *kinds):
    return replace(log, readings=tuple(r for r in log.readings if r.what not in kinds))


def test_a_sound_log_may_have_its_day():
    for days in (7, 15, 31, 45):
        assert asked(with_more(sound_log(days), "ph", STEADY_PH)) == ("", "")


@pytest.mark.parametrize("gone", [("ammonia",), ("nitrite",), ("ammonia", "nitrite")])
def test_nitrate_alone_or_half_of_the_tests(gone):
    why, measure = asked(without(sound_log(21), *gone))
    assert why.startswith(f"{gone[0].capitalize()} was never read: ")
    assert why.endswith("alone cannot tell when it is safe.")
    assert f"Test {gone[0]} tonight" in measure


def test_two_days_are_too_few():
    assert "on two days only" in asked(sound_log(3))[0]
    assert "Ammonia was read once" in asked(sound_log(1))[0]


@pytest.mark.parametrize("nitrate", [(5, 5, 5, 5), (2.3, 2.3, 4.6, 4.6)])
def test_zeros_of_a_tank_that_got_no_food(nitrate):
    why, measure = asked(zeros(nitrate))
    assert "of the food's nitrogen turns up" in why
    assert "test nitrate before and after" in measure


def test_zeros_alone_fit_two_tanks():
    why, measure = asked(without(zeros((5, 5, 5, 5)), "nitrate"))
    assert why == "Zeros alone fit a ripe filter as well as a tank that got no food."
    assert "nitrate before and after" in measure


def test_zeros_of_a_ripe_filter_may_have_a_day():
    ripe = with_more(zeros((5, 12, 19, 26)), "ph", STEADY_PH)
    assert asked(ripe) == ("", "")


def test_nitrogen_that_the_food_cannot_explain():
    why, measure = asked(sound_log(30, only_nitrate(3.0)))
    assert "times as fast as the food can explain. Perhaps food was not counted" in why
    assert "Weigh the food" in measure


def test_a_mixed_up_basis_is_asked_about():
    why, _ = asked(sound_log(30, only_nitrate(4.4266)))
    assert "Is nitrate written as the ion where the heading says as N? Or perhaps food" in why
    why, _ = asked(sound_log(40, only_nitrate(1 / 4.4266)))
    assert "Is nitrate written as N where the heading says as the ion?" in why


def test_something_dead_that_is_used_up():
    rows = [(day, min(2.0 * day, 24.0)) for day in range(1, 40, 3)]
    log = log_of(
        Reading(day, float(day), what, value)
        for day, nitrate in rows
        for what, value in (("ammonia", 0.1), ("nitrite", 0.1), ("nitrate", nitrate))
    )
    why, measure = asked(with_more(log, "ph", STEADY_PH))
    assert "rose at first and then stopped" in why
    assert "Give the food that is planned" in measure


def test_ph_that_falls_while_alkalinity_is_taken_as_kept():
    log = with_more(sound_log(21), "ph", {1: 7.6, 7: 7.5, 13: 7.2, 19: 6.9})
    why, measure = asked(log)
    assert "pH fell by 0.7" in why
    assert measure == "Measure alkalinity (KH) tonight."
    assert asked(log, replace(TANK, alkalinity_kept=False)) == ("", "")


def test_ph_that_wavers_does_not_fall():
    assert fall_of_ph(with_more(sound_log(9), "ph", {1: 7.6, 3: 7.4, 5: 7.6, 7: 7.4})) == 0.0
    assert fall_of_ph(with_more(sound_log(9), "ph", {1: 7.6})) == 0.0
    assert fall_of_ph(with_more(sound_log(9), "ph", {1: 7.0, 9: 7.6})) == 0.0


def test_alkalinity_that_was_measured_settles_it():
    falling = with_more(sound_log(21), "ph", {1: 7.6, 7: 7.5, 13: 7.2, 19: 6.9})
    steady = with_more(falling, "alkalinity", {2: 120.0, 18: 115.0})
    assert asked(steady) == ("", "")
    why, measure = asked(with_more(sound_log(21), "alkalinity", {2: 120.0, 18: 60.0}))
    assert "Alkalinity fell from 120 to 60 mg/L" in why
    assert "measure alkalinity again" in measure


def test_where_neither_was_followed_the_nitrate_tells_what_was_used():
    log = sound_log(17)
    assert alkalinity_used(log) == pytest.approx(7.145 * 16.0, rel=0.15)
    # Ammonia is gone: so far there is some.
    assert asked(log, SOFT) == ("", "")
    log = with_more(log, "ammonia", {17: 1.0})
    why, measure = asked(log, SOFT)
    assert re.search(r"used some 1[12]0 mg/L of alkalinity; you speak of 120", why)
    assert "alkalinity" in measure
    for alkalinity in (400, 60):
        # So much is still there, or so little that it must have been topped up.
        assert asked(log, replace(TANK, alkalinity=Q(alkalinity, "mg/L"))) == ("", "")


def test_where_neither_was_followed_the_day_must_not_hang_on_alkalinity():
    log = with_more(sound_log(9), "ammonia", {9: 1.0})
    scarce = replace(TANK, alkalinity=Q(150, "mg/L"))
    late, early = (why_no_day(Known(log, scarce, DAYS, DAYS, middle=m)) for m in (40.0, 20.0))
    assert "need some 290 mg/L of alkalinity; you speak of 150" in late.why
    assert early is None
    assert why_no_day(Known(log, scarce, DAYS, DAYS)) is None
    followed = with_more(log, "ph", STEADY_PH)
    assert why_no_day(Known(followed, scarce, DAYS, DAYS, middle=40.0)) is None


def test_a_spell_that_was_not_told_is_asked_for():
    log = with_more(sound_log(15), "temperature", {1: 25.0, 8: 18.0, 14: 25.0})
    why, measure = asked(log)
    assert "read at 18" in why
    assert "events=(Temperature(" in measure
    told = replace(TANK, events=(Temperature(Q(6, "day"), Q(18, "degC")),))
    assert asked(log, told) == ("", "")


def test_ph_that_falls_at_the_end_is_seen():
    found = dict.fromkeys(range(1, 20, 2), 7.0) | {21: 6.8, 23: 6.4}
    assert fall_of_ph(with_more(sound_log(3), "ph", found)) == pytest.approx(0.4)


def test_what_came_in_since_counts():
    events = (
        WaterChange(Q(5, "day"), 0.5),
        Buffer(Q(6, "day"), Q(50, "mg/L")),
        Buffer(Q(50, "day"), Q(99, "mg/L")),
    )
    known = Known(sound_log(31), replace(SOFT, events=events), DAYS, DAYS)
    assert alkalinity_had(known) == pytest.approx(120 + 60 + 50)


@pytest.mark.parametrize(
    ("what", "value", "word"),
    [("ph", 6.2, "alkalinity is nearly gone"), ("ph", 9.4, "limits of ammonia are not printed"),
     ("temperature", 2.0, "the model says nothing")],
)  # fmt: skip
def test_water_that_the_model_does_not_reach(what, value, word):
    why, measure = asked(with_more(sound_log(15), what, {1: value, 8: value, 14: value}))
    assert word in why
    assert "easure" in measure


def test_readings_that_are_of_no_such_tank():
    assert "2.9 times as far" in asked(sound_log(9), misfit=2.9)[0]
    assert asked(sound_log(9), misfit=1.6) == ("", "")


def test_the_forecast_then_refuses_its_day():
    forecast = fit_log(zeros((5, 5, 5, 5)), TANK)
    for ask in (
        lambda: forecast.ready,
        lambda: forecast.day_by(0.5),
        lambda: forecast.chance_by(9),
    ):
        with pytest.raises(ValidityError, match=r"names no day.*turns up.*Valid: Feed what you"):
            ask()
