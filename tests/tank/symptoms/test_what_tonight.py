"""Every leaf is reached, and its sum is that of a hand; what is asked and refused, and in words."""

import math
import re

import pytest
from leaves_of_symptoms import CASES, NITRATE, found, rounds, with_units

from aqualib.tank.symptoms import diagnose, symptoms
from aqualib.tank.symptoms.what_tonight import TREES, found_in, row_of
from aqualib.units import Q, set_units
from aqualib.validity import ValidityError

NO_NUMBER = re.compile(r"\bnan\b|\binf\b|no end")
CODES = [leaf.code for tree in symptoms().values() for leaf in tree.leaves]


def test_there_is_a_case_for_every_leaf():
    assert set(CASES) == set(CODES)
    assert set(TREES) == set(symptoms())


@pytest.mark.parametrize("code", CODES)
def test_a_leaf_is_reached_and_its_sum_is_that_of_a_hand(code):
    case, diagnosis = CASES[code], found(CASES[code])
    assert diagnosis.code == code
    for name, by_hand in case.sums.items():
        amount = diagnosis.amounts[name]
        ours = amount.m if hasattr(amount, "m") else amount
        # Half a per cent; what comes by way of a printed table or a chart may be 2 % off.
        assert ours == pytest.approx(by_hand, rel=0.02, abs=1e-9), name
    # The path ends with the one yes, or with no yes at all at the last leaf.
    answers = [step.yes for step in diagnosis.path]
    last = code == diagnosis.symptom.leaves[-1].code
    assert answers == [False] * len(answers) if last else [*[False] * (len(answers) - 1), True]
    # Every sentence takes its numbers, and none is without an end.
    assert "{" not in str(diagnosis)
    assert not NO_NUMBER.search(str(diagnosis))


def test_patience_is_counted_round_by_round():
    gain = 0.9 * NITRATE / 3.5
    assert rounds(60, gain, 0.3, 8, 50) == CASES["nitrate-patience"].sums["changes"]


def test_two_measurements_are_asked_for_by_name():
    with pytest.raises(ValidityError, match='alkalinity = nothing is needed for "nitrite stays"'):
        diagnose("nitrite stays", nitrite=Q(1, "mg/L"))
    with pytest.raises(ValidityError, match='lamp_hours = a number is not asked for "power cut"'):
        diagnose("power cut", **with_units({"hours_stood": 1, "temperature": 20, "lamp_hours": 1}))
    with pytest.raises(ValidityError, match="symptom"):
        diagnose("sad fish")


def test_what_is_left_out_is_that_of_the_invented_tank():
    given = CASES["cut-smell"].given
    ours = diagnose("power cut", **with_units(given)).amounts["early"]
    told = diagnose("power cut", **with_units({**given, "feed": 3.5, "volume": 190}))
    assert told.amounts["early"] == ours
    doubled = diagnose("power cut", **with_units({**given, "feed": 7}))
    assert float(ours / doubled.amounts["early"]) == pytest.approx(2.0)


def test_the_unit_set_changes_words_and_no_number():
    case = CASES["leak-none"]
    try:
        metric = found(case)
        set_units("us")
        assert found(case).code == metric.code
        assert found(case).amounts == metric.amounts
        assert "US gal" in str(found(CASES["flow-usual"]))
    finally:
        set_units("metric")


def test_worse_readings_never_lead_to_a_milder_leaf():
    """More ammonia, a longer cut: the leaf that is reached never moves back to a milder one."""
    order = ["cut-restart", "cut-smell", "cut-rinse", "cut-fish"]
    hours = [order.index(diagnose("power cut", hours_stood=Q(h / 4, "h"), volume=Q(400, "L"),
             temperature=Q(24, "degC")).code) for h in range(80)]  # fmt: skip
    assert hours == sorted(hours)
    assert set(hours) == set(range(4))
    order = ["ammonia-none", "ammonia-meal", "ammonia-harms", "ammonia-act"]
    ammonia = [order.index(diagnose("ammonia stays", ammonia=Q(x / 10, "mg/L"), ph=7.6).code)
               for x in range(100)]  # fmt: skip
    assert ammonia == sorted(ammonia)
    assert set(ammonia) == set(range(4))


def test_much_water_and_soda_wait_for_ammonia_and_ph():
    """What was not told is no test: the cause is named, and the action is to test first."""
    spent = {"ph": 6.2, "alkalinity": Q(10, "mg/L")}
    for symptom, given in (
        ("ph sinks", spent),
        ("nitrite stays", {"nitrite": Q(1, "mg/L"), "alkalinity": Q(10, "mg/L")}),
        ("yellow", {"carbon": Q(0, "g"), "carbon_day": Q(0, "day")}),
    ):
        words = diagnose(symptom, **given).words
        assert words["tonight"].startswith("Test ammonia and pH"), symptom
        assert "soda" not in words["sum"] + words["week"].replace("whether soda", "")
    assert diagnose("ph sinks", **spent, ammonia=Q(0.25, "mg/L")).tonight.startswith("Dissolve")
    # A hand that only guessed is told the same.
    guessed = found_in("ph sinks", {"ph": 6.2, "alkalinity": 0.01, "ammonia": 0.00025}, ["ammonia"])
    assert guessed.tonight.startswith("Test ammonia and pH")


def test_a_reading_past_the_slider_is_answered():
    """From a nano to a college: the sum goes on, or takes the end of its range and says so."""
    nano = diagnose("ph sinks", ph=4.5, alkalinity=Q(10, "mg/L"), ammonia=Q(0.1, "mg/L"),
                    volume=Q(12, "L"))  # fmt: skip
    assert nano.code == "ph-spent"
    assert nano.amounts["soda"].m_as("g") == pytest.approx(1.6787 * 12 * 0.020, rel=1e-3)
    assert nano.beyond == ("pH 4.5: these sums take 5.",)
    assert "Note: pH 4.5" in str(nano)
    college = diagnose("ph sinks", ph=6.8, alkalinity=Q(20, "mg/L"), ammonia=Q(0.1, "mg/L"),
                       volume=Q(20000, "L"))  # fmt: skip
    assert college.amounts["soda_all"].m_as("g") == pytest.approx(1678.7 * 20 * 0.060, rel=1e-3)
    assert college.beyond == ()
    for symptom, given in (
        ("nitrate stays", {"nitrate": Q(250, "mg/L"), "tap_nitrate": Q(8, "mg/L")}),
        ("nitrite stays", {"nitrite": Q(12, "mg/L"), "alkalinity": Q(80, "mg/L")}),
        ("rattle", {"flow": Q(500, "L/h"), "hours_since_opened": Q(6 * 168, "h")}),
        ("power cut", {"hours_stood": Q(200, "h"), "temperature": Q(32, "degC")}),
    ):
        assert diagnose(symptom, **given).tonight


def test_at_every_corner_of_the_ranges_there_is_an_answer_in_words():
    """The two measurements at both ends, the rest together at both ends: no traceback, no nan."""
    from aqualib.parameters import parameter

    for code, tree in symptoms().items():
        for first in ("low", "high"):
            for second in ("low", "high"):
                for rest in ("low", "value", "high"):
                    ends = dict(zip(tree.asks, (first, second), strict=True))
                    given = {}
                    for name in tree.measurements:
                        row = parameter(row_of(name))
                        given[name] = row.to_base(getattr(row, ends.get(name, rest)))
                    diagnosis = found_in(code, given)
                    words = str(diagnosis)
                    assert not NO_NUMBER.search(words), (given, words)
                    for step in diagnosis.worked.steps:
                        assert math.isfinite(step.number.bare)


def test_little_ammonia_is_not_nothing_in_warm_water_of_a_high_ph():
    """EPA 1989 at salinity 35, pH 9 and 28 °C: 0.069 mg N/L for long, below the usual 0.1."""
    sea = {"ph": 9.0, "temperature": Q(28, "degC"), "salinity": 35, "alkalinity": Q(120, "mg/L")}
    found = diagnose("ammonia stays", ammonia=Q(0.09, "mg/L"), **sea)
    assert found.code != "ammonia-none"
    assert diagnose("ammonia stays", ammonia=Q(0.05, "mg/L"), **sea).code == "ammonia-none"
