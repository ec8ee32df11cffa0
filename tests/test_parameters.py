"""Every parameter is in its range, has a unit that parses, and says where it comes from."""

from __future__ import annotations

import csv
import math
import re
from collections import Counter

import pytest

from aqualib.files import data_file
from aqualib.parameters import BASES, COLUMNS, Parameter, parameter, parameters
from aqualib.sources import references
from aqualib.units import Q, base_unit, registry
from aqualib.validity import Range, ValidityError

with data_file("parameters.csv").open(encoding="utf-8", newline="") as file:
    RAW_ROWS = list(csv.DictReader(file))
EACH = pytest.mark.parametrize("name", parameters())


def test_header_and_names():
    assert tuple(RAW_ROWS[0]) == COLUMNS
    assert not any(None in row or None in row.values() for row in RAW_ROWS), "a row is ragged"
    counts = Counter(row["name"] for row in RAW_ROWS)
    assert [name for name, count in counts.items() if count > 1] == []
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in counts)


@EACH
def test_value_lies_in_its_range(name):
    row = parameter(name)
    assert all(math.isfinite(number) for number in (row.low, row.value, row.high))
    assert row.low <= row.value <= row.high


@EACH
def test_unit_parses(name):
    row = parameter(name)
    if row.unit:
        assert not registry.Unit(row.unit).dimensionless or row.unit in {"percent", "ppm"}
        expected = Q(row.value, row.unit).m_as(base_unit(row.unit))
        assert row.bare == pytest.approx(expected, rel=1e-12)
        assert row.quantity == Q(row.value, row.unit)
    else:
        assert row.bare == row.quantity == row.value


@EACH
def test_basis_and_source(name):
    row = parameter(name)
    assert row.basis in BASES
    known = row.source in references()
    assert known or row.source in {"", "assumed"}, f"{row.source} is not in references.json"
    if row.basis == "published":
        assert known, "published where?"
        assert row.locator, "where in the source?"
    if row.basis in {"assumed", "judgement"}:
        assert row.source == "assumed"
    if row.basis != "published":
        assert row.note, "without a source, say what the number is"


@EACH
def test_origin_never_looks_better_than_it_is(name):
    row = parameter(name)
    assert row.origin
    if row.basis == "memory":
        assert "memory" in row.origin
    elif row.basis == "common practice":
        assert "common practice" in row.origin
    elif row.basis != "published":
        assert row.origin == "assumed"
    if row.basis == "published":
        assert re.search(r"\w", row.origin)
        assert "memory" not in row.origin


@EACH
def test_range_is_what_a_slider_takes(name):
    row = parameter(name)
    assert row.range == Range(row.low, row.high, row.unit, row.origin)


def test_unknown_name():
    with pytest.raises(KeyError, match=r"'magic' is not in data/parameters\.csv"):
        parameter("magic")
    for name in (["magic"], None, 3):
        with pytest.raises(ValidityError, match=r"name = .* is none"):
            parameter(name)


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ("0.233,0.233,0.233", "0.233,0.2o,0.233", "saltwater_acute_unionised_ammonia, low"),
        ("chronic_unionised", "acute_unionised", "saltwater_acute_unionised_ammonia"),
        ("name,value", "name,number", "headings"),
    ],
)
def test_a_row_that_cannot_be_read_is_named(monkeypatch, tmp_path, old, new, place):
    text = data_file("parameters.csv").read_text(encoding="utf-8")
    broken = tmp_path / "parameters.csv"
    broken.write_text(text.replace(old, new, 1), encoding="utf-8")
    monkeypatch.setattr("aqualib.parameters.data_file", lambda _: broken)
    with pytest.raises(ValidityError, match=place):
        parameters.__wrapped__()


def example(basis: str, source: str = "assumed", unit: str = "") -> Parameter:
    return Parameter("x", 2.0, 1.0, 3.0, unit, basis, source, "p. 3", "note")


def test_origins_in_words():
    assert example("assumed").origin == "assumed"
    assert example("memory").origin == "from memory"
    assert example("common practice").origin == "common practice, no source"
    assert example("memory", "EPA2013").origin.endswith("(memory)")
    assert example("published", "EPA2013").origin.endswith(", p. 3")


def test_conversion_to_base_units():
    assert example("assumed", unit="degC").bare == pytest.approx(275.15)
    assert example("assumed", unit="mg/L").to_base(5.0) == pytest.approx(5e-3)
    assert example("assumed").to_base(5.0) == 5.0


def test_a_file_saved_by_a_spreadsheet_on_windows_reads_the_same(monkeypatch, tmp_path):
    text = data_file("parameters.csv").read_text(encoding="utf-8")
    saved = tmp_path / "parameters.csv"
    saved.write_bytes(text.replace("\n", "\r\n").encode("utf-8-sig"))
    monkeypatch.setattr("aqualib.parameters.data_file", lambda _: saved)
    assert parameters.__wrapped__() == parameters()
