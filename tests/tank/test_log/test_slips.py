"""A slip of the pen is what nothing in a tank could have made; everything else is let be."""

from dataclasses import replace

import pytest
from tank.test_log.sound_logs import log_of, sound_log

from aqualib.tank.test_log.log import Reading
from aqualib.tank.test_log.slips import slips_of_the_pen

ONE_A_DAY = 1.0


def fed(day):
    return ONE_A_DAY * day


def changed(log, what, day, value):
    return replace(
        log,
        readings=tuple(
            replace(r, value=value) if (r.what, r.day) == (what, day) else r for r in log.readings
        ),
    )


def found(log, events=()):
    return [(r.what, r.day, r.value) for r in slips_of_the_pen(log, fed, events)]


def test_a_sound_log_has_none():
    assert found(sound_log(40)) == []


@pytest.mark.parametrize("what", ["ammonia", "nitrite", "nitrate"])
@pytest.mark.parametrize("day", [5.0, 15.0, 25.0])
def test_a_shifted_decimal_mark_is_found(what, day):
    log = changed(sound_log(31), what, day, 90.0)
    assert found(log) == [(what, day, 90.0)]


def test_a_reading_far_too_low_is_found():
    assert found(changed(sound_log(31), "nitrate", 27.0, 0.3)) == [("nitrate", 27.0, 0.3)]


def test_nothing_is_said_of_first_and_last_readings():
    log = changed(changed(sound_log(31), "nitrate", 1.0, 90.0), "ammonia", 31.0, 90.0)
    assert found(log) == []


def test_nothing_is_said_across_a_change_of_water():
    log = changed(sound_log(31), "nitrate", 15.0, 90.0)
    assert found(log, [14.0]) == []
    assert found(log, [16.5]) == []
    assert found(log, [18.0]) == [("nitrate", 15.0, 90.0)]


def test_a_change_of_water_that_was_not_written_is_no_slip():
    """Nitrogen that falls and stays low has no reading that stands alone."""
    halved = [replace(r, value=r.value * (0.4 if r.day > 20.0 else 1.0))
              for r in sound_log(40).readings]  # fmt: skip
    assert found(log_of(halved)) == []


def test_ammonia_that_comes_late_is_no_slip():
    """What rots for days brings its ammonia at once; the food of those days allows it."""
    rows = {1: 0.1, 3: 0.1, 5: 3.5, 7: 5.0, 9: 7.5}
    log = log_of(
        Reading(day, float(day), what, value if what == "ammonia" else 0.1)
        for day, value in rows.items()
        for what in ("ammonia", "nitrite", "nitrate")
    )
    assert found(log) == []


def test_what_turns_from_one_into_the_other_is_no_slip():
    """Ammonia gone within a day, and nitrite there instead: bacteria may do so."""
    rows = {1: (8.0, 0.1), 3: (9.5, 0.2), 5: (0.1, 11.0), 7: (0.1, 0.2), 9: (0.1, 0.1)}
    log = log_of(
        Reading(day, float(day), what, value)
        for day, (ammonia, nitrite) in rows.items()
        for what, value in (
            ("ammonia", ammonia),
            ("nitrite", nitrite),
            ("nitrate", 1.0 + max(day - ammonia - nitrite, 0.0) + 8.0 * (day > 1)),
        )
    )
    assert found(log) == []


def test_days_off_the_scale_are_passed_over():
    log = changed(sound_log(31), "nitrate", 15.0, 90.0)
    off = [replace(r, sign=">") if (r.what, r.day) == ("nitrite", 15.0) else r
           for r in log.readings]  # fmt: skip
    assert found(log_of(off)) == []
