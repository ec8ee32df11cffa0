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
ROWS = tuple(parameters().values())


def test_header_and_names():
    assert tuple(RAW_ROWS[0]) == COLUMNS
    assert not any(None in row or None in row.values() for row in RAW_ROWS), "a row is ragged"
    counts = Counter(row["name"] for row in RAW_ROWS)
    assert [name for name, count in counts.items() if count > 1] == []
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in counts)


def test_values_lie_in_their_ranges():
    wrong = [
        row.name
        for row in ROWS
        if not all(math.isfinite(number) for number in (row.low, row.value, row.high))
        or not row.low <= row.value <= row.high
    ]
    assert wrong == []


def unit_is_right(row: Parameter) -> bool:
    if not row.unit:
        return row.bare == row.quantity == row.value
    expected = Q(row.value, row.unit).m_as(base_unit(row.unit))
    return (
        (not registry.Unit(row.unit).dimensionless or row.unit in {"percent", "ppm"})
        and math.isclose(row.bare, expected, rel_tol=1e-12)
        and row.quantity == Q(row.value, row.unit)
    )


def test_units_parse():
    assert [(row.name, row.unit) for row in ROWS if not unit_is_right(row)] == []


def faults_of(row: Parameter) -> list[str]:
    """What is wrong with what a row says of its origin, in words."""
    known = row.source in references()
    published, assumed = row.basis == "published", row.basis in {"assumed", "judgement"}
    wanted = [
        (row.basis in BASES, f"no such basis: {row.basis}"),
        (known or row.source in {"", "assumed"}, f"{row.source} is not in references.json"),
        (known or not published, "published where?"),
        (known or row.basis != "chosen in a published range", "in whose range?"),
        (row.locator or not published, "where in the source?"),
        (row.source == "assumed" or not assumed, "the source of what is assumed is 'assumed'"),
        (row.note or published, "without a source, say what the number is"),
    ]
    return [fault for holds, fault in wanted if not holds]


def test_bases_and_sources():
    assert [f"{row.name}: {fault}" for row in ROWS for fault in faults_of(row)] == []


def origin_is_honest(row: Parameter) -> bool:
    """True if the words of a row's origin make it no better than its basis."""
    if row.basis == "published":
        return bool(re.search(r"\w", row.origin)) and "memory" not in row.origin
    if row.basis in {"memory", "common practice", "chosen in a published range"}:
        return row.basis in row.origin
    return row.origin == "assumed"


def test_origins_never_look_better_than_they_are():
    assert [(row.name, row.origin) for row in ROWS if not origin_is_honest(row)] == []


def test_ranges_are_what_a_slider_takes():
    ranges = {row.name: Range(row.low, row.high, row.unit, row.origin) for row in ROWS}
    assert [row.name for row in ROWS if row.range != ranges[row.name]] == []


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
