"""Tonight: each reading against its limit, and what to do, before any forecast."""

import pytest
from tank.test_log.sound_logs import log_of

from aqualib.parameters import parameter
from aqualib.tank.maturation import Scenario
from aqualib.tank.test_log.cells import Column
from aqualib.tank.test_log.last_readings import State, tonight
from aqualib.tank.test_log.log import Reading
from aqualib.water.ammonia import total_ammonia_limits, unionised_fraction

FRESH, SEA = Scenario(ph=7.5), Scenario(ph=8.1, salinity=35)
LINE = parameter("safe_nitrite").value


def state_of(ammonia, nitrite, tank=FRESH, more=()):
    """The state of two readings of day 9, written as a keeper would."""
    both = [
        Reading(2, 9.0, what, float(text.strip("<>")), text[0] if text[0] in "<>" else "=")
        for what, text in (("ammonia", ammonia), ("nitrite", nitrite))
    ]
    return tonight(log_of([*both, *more]), tank)


@pytest.mark.parametrize(
    ("ammonia", "nitrite", "states"),
    [
        ("0.1", "0", ("within", "within")),
        ("<0.25", f"<{LINE}", ("within", "within")),
        ("1.5", f"{1.1 * LINE}", ("above", "above")),
        ("30", f">{LINE}", ("far above", "above")),
        ("<5", f"<{2 * LINE}", ("not known against", "not known against")),
        (">0.1", f">{0.5 * LINE}", ("not known against", "not known against")),
    ],
)
def test_each_reading_stands_against_its_limit(ammonia, nitrite, states):
    found = state_of(ammonia, nitrite)
    assert tuple(m.state.value for m in found.matters) == states
    assert found.safe is (set(states) == {"within"})


def test_the_limits_are_those_of_the_water():
    at = (8.1, parameter("tank_temperature").quantity, 35)
    limits = total_ammonia_limits(*at)
    ammonia, nitrite = state_of("0.1", "0.1", SEA).matters
    assert ammonia.limit == pytest.approx(limits.chronic.m_as("mg/L"))
    assert nitrite.limit == pytest.approx(parameter("safe_nitrite_sea").value)
    share = unionised_fraction(*at)
    assert f"(un-ionised {0.1 * share:.2g}" in state_of("0.1", "0.1", SEA).state
    # The last pH and temperature count before what was told.
    sour = [Reading(2, 9.0, "ph", 6.8), Reading(2, 9.0, "temperature", 20.0)]
    told, read = (state_of("0.1", "0", more=more).matters[0].limit for more in ((), sour))
    assert read > told
    assert "pH 6.80, 20 °C" in state_of("0.1", "0", more=sour).state
    assert "pH 7.50 as told, 24.5 °C as told" in state_of("0.1", "0").state


@pytest.mark.parametrize(
    ("ammonia", "nitrite", "words"),
    [
        ("0", "0", "Nothing tonight; feed as planned, and test again in two days."),
        ("0", f"{1.2 * LINE}", "change a quarter of the water tonight, as warm"),
        ("0", f"{1.45 * LINE}", "change a third of the water tonight, as warm"),
        ("0", f"{1.9 * LINE}", "change half of the water tonight, as warm"),
        ("0", f"{9 * LINE}", "half of the water tonight and half again tomorrow"),
        ("30", "0", "half of the water now and half again tomorrow"),
        ("0", f"<{9 * LINE}", "Test nitrite tonight; until then add no animals."),
    ],
)
def test_what_to_do_is_one_line(ammonia, nitrite, words):
    found = state_of(ammonia, nitrite).to_do
    assert words in found
    assert "\n" not in found
    if "If animals" in found:
        assert "ask a vet" in found
        assert found.endswith("If none are in it: add none.")


def test_sour_water_is_told_of_alkalinity():
    sour = [Reading(2, 9.0, "ph", 5.8)]
    found = state_of("0.5", "0", more=sour)
    assert "Measure alkalinity; raise pH slowly" in found.to_do
    assert "pH 5.80" in found.state
    # Above its limit too: as lesson 14, no half of new water, and no burst of air.
    above = state_of("9", "0", more=sour).to_do
    assert "change 10 % of the water at most" in above
    assert "add air" not in above


def test_an_old_reading_does_not_speak_of_tonight():
    log = log_of([Reading(1, 1.0, "nitrite", 5.0), Reading(2, 9.0, "ammonia", 0.0)])
    found = tonight(log, FRESH)
    assert found.matters[1].state is State.UNKNOWN
    assert "nitrite last tested on day 1" in found.state
    assert "Test nitrite tonight" in found.to_do
    assert found.short == "not known, test nitrite"


def test_never_tested_at_all():
    found = tonight(log_of([Reading(2, 9.0, "nitrate", 5.0)]), FRESH)
    assert "ammonia never tested; nitrite never tested" in found.state
    assert not found.safe


def test_in_a_few_words():
    assert state_of("0", "0").short == "ammonia and nitrite within their limits"
    assert state_of("0", ">10").short == "not safe for animals, nitrite above 10"
    assert state_of("30", "8").short == "not safe for animals, ammonia 30 and nitrite 8"


def test_numbers_are_shown_as_they_were_written_too():
    log = log_of([Reading(2, 9.0, "ammonia", 0.0), Reading(2, 9.0, "nitrite", 1.0)])
    log = type(log)(*(getattr(log, name) for name in ("name", "start", "readings", "remarks")),
                    (Column("nitrite", 1, "NO2", "ion"),), ())  # fmt: skip
    assert "nitrite 1 mg/L as N (3.3 as you write it)" in tonight(log, FRESH).state
