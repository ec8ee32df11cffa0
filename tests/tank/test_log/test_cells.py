"""Cells as people write them: read where they are plain, refused in words where they are not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.test_log.cells import (
    UnreadableError,
    commented_basis,
    is_blank,
    read_heading,
    read_number,
    stated_basis,
    tidy,
)


@pytest.mark.parametrize(
    ("text", "sign", "number"),
    [
        ("0.25", "=", 0.25),
        ("0,25", "=", 0.25),
        (" 7 ", "=", 7.0),
        (",5", "=", 0.5),
        ("1.234,5", "=", 1234.5),
        ("0,250", "=", 0.25),
        ("<0.25", "<", 0.25),
        ("< 0,25", "<", 0.25),
        ("≤ 0.25", "<", 0.25),
        ("<= 0.25", "<", 0.25),
        (">10", ">", 10.0),
        ("0.5 mg/L", "=", 0.5),
        ("0.5ppm", "=", 0.5),
        ("24,5 °C", "=", 24.5),
        ("\u00a00.5\u00a0", "=", 0.5),
        ("０.５", "=", 0.5),
        ("\u200e0.5\u200f", "=", 0.5),
    ],
)
def test_numbers(text, sign, number):
    assert read_number(text) == (sign, number)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("-1", "below zero"),
        ("−1", "below zero"),
        ("1,200", "Is that 1.200 or 1200"),
        ("1.2.3", "one decimal point or comma"),
        ("0.25-0.5", "range"),
        ("0,25 to 0,5", "range"),
        ("nd", "no number; write the smallest step"),
        ("trace", "no number; write the smallest step"),
        ("none", "no number; write the smallest step"),
        ("~0.5", "is no number"),
        ("abc", "is no number"),
        ("nan", "is no number"),
        ("inf", "is no number"),
        ("1e3", "is no number"),
        ("٣", "is no number"),
        ("x" * 500, "…"),
    ],
)
def test_what_is_no_number_is_refused_in_words(text, why):
    with pytest.raises(UnreadableError, match=why):
        read_number(text)


@given(st.text(max_size=30))
def test_any_text_is_a_number_or_refused(text):
    try:
        sign, number = read_number(text)
    except UnreadableError:
        return
    assert sign in "=<>"
    assert number >= 0.0


@pytest.mark.parametrize(
    ("heading", "what", "basis"),
    [
        ("ammonia (mg/L as N)", "ammonia", "N"),
        ("NH3-N", "ammonia", "N"),
        ("TAN mg/L", "ammonia", "N"),
        ("Total ammonia nitrogen", "ammonia", "N"),
        ("ammonia as NH3", "ammonia", "NH3"),
        ("ammonium mg NH4+/L", "ammonia", "ion"),
        ("ammonia", "ammonia", ""),
        ("NO2-N (ppm)", "nitrite", "N"),
        ("nitrite_as_ion", "nitrite", "ion"),
        ("nitrate (mg/L as the ion)", "nitrate", "ion"),
        ("Nitrate (mg/L NO3-)", "nitrate", "ion"),
        ("Nitrate (mg/L NO3-N)", "nitrate", "N"),
        ("nitrate as NO3-N", "nitrate", "N"),
        ("nitrite as NO2 nitrogen", "nitrite", "N"),
        ("ammonia as NH3-N", "ammonia", "N"),
        ("ammonium as ammonium nitrogen", "ammonia", "N"),
        ("nitrate (NO3) mg/L", "nitrate", ""),
        ("NO3", "nitrate", ""),
        ("NO₂⁻", "nitrite", ""),
        ("NH3/NH4 (ppm)", "ammonia", ""),
        ("mg/L NH3/NH4+", "ammonia", ""),
        ("NH4/NH3-N", "ammonia", "N"),
        ("KH", "alkalinity", ""),
        ("mg N/L nitrate", "nitrate", "N"),
        ("pH", "ph", ""),
        ("Temp °F", "temperature", ""),
    ],
)
def test_headings(heading, what, basis):
    column = read_heading(heading, 3)
    assert (column.what, column.basis, column.place) == (what, basis, 3)


def test_other_headings_are_not_ours():
    assert read_heading("notes", 0) is None
    assert read_heading("phosphate (mg/L)", 0) is None
    assert read_heading("", 0) is None


def test_two_bases_and_strange_units_are_refused():
    with pytest.raises(UnreadableError, match="two bases"):
        stated_basis("nitrate as N as ion")
    with pytest.raises(UnreadableError, match="unit"):
        read_heading("nitrate (µmol/L as N)", 0)


@pytest.mark.parametrize("heading", ["nitrite as NH3", "ammonia/nitrite as N", "NO3 as NO2"])
def test_a_heading_that_names_two_kinds_of_nitrogen_is_refused(heading):
    with pytest.raises(UnreadableError, match="two kinds"):
        read_heading(heading, 0)


@pytest.mark.parametrize(
    ("comment", "bases"),
    [
        ("# basis: as N", {"ammonia": "N", "nitrite": "N", "nitrate": "N"}),
        ("# basis: as ion", {"ammonia": "ion", "nitrite": "ion", "nitrate": "ion"}),
        ("# basis: as NO3", {"nitrate": "ion"}),
        ("# basis: as NH3", {"ammonia": "NH3"}),
        ("# basis: TAN; nitrate as the ion", {"ammonia": "N", "nitrate": "ion"}),
        ("# basis: as N, nitrate as NO3", {"ammonia": "N", "nitrite": "N", "nitrate": "ion"}),
        ("# basis: ammonia and nitrite as N", {"ammonia": "N", "nitrite": "N"}),
        ("# basis: mg/L", {}),
    ],
)
def test_what_a_comment_states(comment, bases):
    assert commented_basis(comment) == bases


@pytest.mark.parametrize(
    "comment", ["as N as ion", "as N, as ion", "nitrate as N; nitrate as NO3", "as N, as ion, as N"]
)
def test_a_comment_that_states_two_bases_is_refused(comment):
    with pytest.raises(UnreadableError, match="two bases"):
        commented_basis(comment)


def test_a_cell_that_is_too_long_is_nothing():
    for text in ("0." + "5" * 100, "1" + " " * 100 + "5", "-" * 100 + "1"):
        assert not is_blank(text)
        with pytest.raises(UnreadableError):
            read_number(text)
    # One sign of these is eighteen letters when it is written out.
    assert len(tidy("\ufdfa" * 1_000_000)) < 200


def test_columns_turn_readings_into_nitrogen_and_celsius():
    assert read_heading("nitrate as ion", 0).plain(44.266) == pytest.approx(10.0, rel=1e-4)
    assert read_heading("nitrite as ion", 0).plain(3.2844) == pytest.approx(1.0, rel=1e-4)
    assert read_heading("ammonium as ion", 0).plain(1.2878) == pytest.approx(1.0, rel=1e-4)
    assert read_heading("ammonia as NH3", 0).plain(1.2159) == pytest.approx(1.0, rel=1e-4)
    assert read_heading("ammonia as N", 0).plain(1.0) == 1.0
    assert read_heading("ammonia (ug/L as N)", 0).plain(500.0) == 0.5
    assert read_heading("temperature (F)", 0).plain(77.0) == pytest.approx(25.0)
    assert read_heading("temperature", 0).plain(25.0) == 25.0


@pytest.mark.parametrize(
    ("heading", "of_one"),
    [
        ("KH", 17.848),
        ("dKH", 17.848),
        ("carbonate hardness, KH (°dH)", 17.848),
        ("Alkalinity (meq/L)", 50.04),
        ("alkalinity mg/L as CaCO3", 1.0),
        ("KH (ppm)", 1.0),
    ],
)
def test_alkalinity_is_read_in_its_unit(heading, of_one):
    assert read_heading(heading, 0).plain(1.0) == pytest.approx(of_one, rel=1e-3)


def test_alkalinity_without_a_unit_is_refused():
    with pytest.raises(UnreadableError, match="no unit; write dKH"):
        read_heading("alkalinity", 0)


def test_blanks():
    assert all(is_blank(text) for text in ("", "  ", "-", "–", "n/a", "NA", "?"))
    assert not any(is_blank(text) for text in ("0", "none"))
