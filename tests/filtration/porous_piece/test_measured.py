"""The measured rates: conversions by hand, sources known, and what they show together."""

import pytest

from aqualib.filtration.porous_piece.measured import (
    COMMON,
    measured_denitrification,
)
from aqualib.sources import references

ROWS = measured_denitrification()


def one(source):
    return next(row for row in ROWS if row.source == source)


@pytest.mark.parametrize(
    ("source", "low", "high", "unit"),
    [
        # µmol × 14.007 µg/µmol
        ("VanceHarrisIngall2005", 22.8 * 0.014007, 34.1 * 0.014007, "mg/m**2/day"),
        ("SeitzingerEtAl1984", 10 * 24 * 0.014007, 115 * 24 * 0.014007, "mg/m**2/day"),
        ("GaoEtAl2010", 63.87, 63.87, "mg/m**2/day"),
        ("CookEtAl2017", 2 * 24 * 0.014007, 28 * 24 * 0.014007, "mg/L/day"),
        ("AhmerkampEtAl2020", 3.7 * 24 * 0.014007, 8.4 * 24 * 0.014007, "mg/L/day"),
        ("SlaterCapone1987", 0.14 * 0.014007, 2.8 * 0.014007, "mg/kg/day"),
        ("GrommenEtAl2005", 18.5, 36, "mg/L/day"),
        ("ChristiansonEtAl2015", 710, 800, "mg/L/day"),
        ("LabelleEtAl2005", 17700, 17700, "mg/m**2/day"),
    ],
)
def test_conversions(source, low, high, unit):
    row = one(source)
    assert row.low.m_as(unit) == pytest.approx(low, rel=1e-4)
    assert row.high.m_as(unit) == pytest.approx(high, rel=1e-4)
    assert row.unit == unit


def test_every_row_names_a_source_that_exists():
    assert all(row.source in references() for row in ROWS)
    assert all(row.medium and row.note and row.origin for row in ROWS)
    assert all(0 < row.low <= row.high for row in ROWS)
    assert {row.unit for row in ROWS} == set(COMMON.values())


@pytest.mark.parametrize("unit", ["mg/m**2/day", "mg/L/day"])
def test_fed_bacteria_do_more_than_any_left_to_themselves(unit):
    same = [row for row in ROWS if row.unit == unit]
    unfed = max(row.high for row in same if row.food_added == "nothing")
    fed = min(row.low for row in same if row.food_added != "nothing")
    assert fed > 1.9 * unfed


def test_text_gives_the_range_with_its_unit():
    assert one("SeitzingerEtAl1984").text == "3.4 to 39 mg/m² a day"
    assert one("GaoEtAl2010").text == "64 mg/m² a day"
