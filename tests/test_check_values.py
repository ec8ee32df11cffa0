"""Every check value agrees, and together they notice a change of one per cent anywhere."""

from __future__ import annotations

import csv
import re
from collections import Counter
from decimal import Decimal

import pytest
from inventory import outcome_of, output_names, public_functions, strong_rows

from aqualib.checks import COLUMNS, KINDS, WEAK_KINDS, Outcome, check_values
from aqualib.files import data_file
from aqualib.sources import references

ROWS = {row.id: row for row in check_values()}
FUNCTIONS = public_functions()
# The outputs that no row can name, each with the reason.
NO_ROW_POSSIBLE: dict[tuple[str, str], str] = {}


with data_file("check_values.csv").open(encoding="utf-8", newline="") as file:
    RAW_ROWS = list(csv.DictReader(file))
PRINTED = {raw["id"]: raw["expected"] for raw in RAW_ROWS}


def half_last_digit(text: str) -> float:
    """Half of the last digit a source printed: 0.005 for "1.25"."""
    return 0.5 * 10.0 ** int(Decimal(text).as_tuple().exponent)


def gives_reason(note: str) -> bool:
    return bool(note.partition(";")[2].strip())


@pytest.mark.parametrize("row_id", ROWS)
def test_row_agrees(row_id):
    outcome = outcome_of(row_id)
    assert outcome.agrees, (
        f"{outcome.row.function}: ours {outcome.ours:.8g} {outcome.row.unit}, expected "
        f"{outcome.row.expected:.8g} within {outcome.row.tolerance}"
    )


def test_header_and_ids():
    assert tuple(RAW_ROWS[0]) == COLUMNS
    assert not any(None in row or None in row.values() for row in RAW_ROWS), "a row is ragged"
    counts = Counter(row["id"] for row in RAW_ROWS)
    assert [name for name, count in counts.items() if count > 1] == []
    assert all(re.fullmatch(r"[a-zA-Z0-9.+-]+", name) for name in counts)


@pytest.mark.parametrize("row_id", ROWS)
def test_row_is_well_formed(row_id):
    row = ROWS[row_id]
    assert row.kind in KINDS
    assert row.function in FUNCTIONS, f"no public function is called {row.function}"
    assert row.output in output_names(FUNCTIONS[row.function])
    assert row.note, "a row needs at least the name of its case"
    assert row.allowed > 0
    known = row.source in references()
    assert known or not row.source, f"{row.source} is not in references.json"
    if row.kind in {"published", "library"}:
        assert row.source, "who published it?"
        assert row.locator, "where in the source?"
    if row.kind == "library":
        assert re.search(r"\d+\.\d+", row.locator + row.note), "the version of the library"
    if row.kind == "worked":
        assert re.search(r"\d", row.note.partition(";")[2]), "the arithmetic, after a ';'"


@pytest.mark.parametrize("row_id", ROWS)
def test_wide_tolerance_gives_its_reason(row_id):
    row = ROWS[row_id]
    if row.allowed > 0.05 * abs(row.expected) * (1 + 1e-9):
        assert gives_reason(row.note), "wider than 5 % needs a reason after a ';' in the note"


@pytest.mark.parametrize("row_id", [row.id for row in ROWS.values() if row.kind == "published"])
def test_published_tolerance_is_the_printed_precision_or_gives_its_reason(row_id):
    row = ROWS[row_id]
    if row.allowed > half_last_digit(PRINTED[row_id]) * (1 + 1e-9):
        assert gives_reason(row.note), "wider than half of the last printed digit, and no reason"


@pytest.mark.parametrize("path", FUNCTIONS)
def test_function_has_a_strong_row_for_each_output(path):
    for output in output_names(FUNCTIONS[path]):
        if (path, output) not in NO_ROW_POSSIBLE:
            assert strong_rows(path, output), f"no strong check value for {path} {output}".strip()


@pytest.mark.parametrize("factor", [1.01, 0.99])
@pytest.mark.parametrize("path", FUNCTIONS)
def test_one_per_cent_is_noticed(path, factor):
    for output in output_names(FUNCTIONS[path]):
        if (path, output) in NO_ROW_POSSIBLE:
            continue
        outcomes = [outcome_of(row.id) for row in strong_rows(path, output)]
        red = [o for o in outcomes if not Outcome(o.row, o.ours * factor).agrees]
        assert red, f"{path} {output} times {factor} passes all of {len(outcomes)} strong rows"


def test_exceptions_are_still_needed():
    for path, output in NO_ROW_POSSIBLE:
        assert output in output_names(FUNCTIONS[path])
        assert not strong_rows(path, output)


def test_the_weak_kinds_are_kinds():
    assert set(KINDS) > WEAK_KINDS
