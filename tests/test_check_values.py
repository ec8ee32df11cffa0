"""Every check value agrees, and together they notice a change of one per cent anywhere."""

from __future__ import annotations

import csv
import re
from collections import Counter
from decimal import Decimal

import pytest
from inventory import outcome_of, output_names, public_functions, strong_rows

from aqualib.checks import (
    COLUMNS,
    KINDS,
    OUTSIDE_KINDS,
    WEAK_KINDS,
    CheckValue,
    Outcome,
    check_values,
)
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


def faults_of(row: CheckValue) -> list[str]:
    """What is wrong with the form of a row, in words."""
    function = FUNCTIONS.get(row.function)
    if function is None:
        return [f"no public function is called {row.function}"]
    cited = [(row.source, "who published it?"), (row.locator, "where in the source?")]
    shown = [(re.search(r"\d", row.note.partition(";")[2]), "the arithmetic, after a ';'?")]
    version = [(re.search(r"\d+\.\d+", row.locator + row.note), "the version of the library?")]
    by_kind = {
        "published": cited,
        "library": cited + version,
        "outside constant": cited + shown,
        "arithmetic": shown,
        "transcription": cited,
        "disagrees": [*cited, (gives_reason(row.note), "why not, after a ';'?")],
    }
    wanted = [
        (row.kind in KINDS, f"no such kind: {row.kind}"),
        (row.output in output_names(function), f"no such output: {row.output}"),
        (row.note, "a row needs at least the name of its case"),
        (row.allowed > 0, "no tolerance"),
        (not row.source or row.source in references(), f"{row.source} is not in references.json"),
        *by_kind.get(row.kind, []),
    ]
    return [fault for holds, fault in wanted if not holds]


def test_rows_are_well_formed():
    assert [f"{row.id}: {fault}" for row in ROWS.values() for fault in faults_of(row)] == []


def test_wide_tolerances_give_their_reason():
    """Wider than 5 % needs a reason after a ';' in the note."""
    wide = [row for row in ROWS.values() if row.allowed > 0.05 * abs(row.expected) * (1 + 1e-9)]
    assert wide
    assert [row.id for row in wide if not gives_reason(row.note)] == []


def test_published_tolerances_are_the_printed_precision_or_give_their_reason():
    """Wider than half of the last printed digit needs a reason after a ';' in the note."""
    published = [row for row in ROWS.values() if row.kind == "published"]
    wide = [r for r in published if r.allowed > half_last_digit(PRINTED[r.id]) * (1 + 1e-9)]
    assert 0 < len(wide) < len(published)
    assert [row.id for row in wide if not gives_reason(row.note)] == []


def test_what_disagrees_is_off_by_more_than_its_digits_allow():
    """A row met within half of its last printed digit is no disagreement."""
    off = [row for row in ROWS.values() if row.kind == "disagrees"]
    assert off
    tight = [r for r in off if abs(r.gap / 100 * r.expected) <= half_last_digit(PRINTED[r.id])]
    assert [row.id for row in tight] == []


def test_functions_have_a_strong_row_for_each_output():
    outputs = [(path, name) for path, thing in FUNCTIONS.items() for name in output_names(thing)]
    bare = [output for output in outputs if not strong_rows(*output)]
    assert [output for output in bare if output not in NO_ROW_POSSIBLE] == []


@pytest.mark.parametrize("path", FUNCTIONS)
def test_one_per_cent_is_noticed(path):
    for output in output_names(FUNCTIONS[path]):
        if (path, output) in NO_ROW_POSSIBLE:
            continue
        outcomes = [outcome_of(row.id) for row in strong_rows(path, output)]
        for factor in (1.01, 0.99):
            red = [o for o in outcomes if not Outcome(o.row, o.ours * factor).agrees]
            assert red, f"{path} {output} times {factor} passes all of {len(outcomes)} strong rows"


def test_exceptions_are_still_needed():
    for path, output in NO_ROW_POSSIBLE:
        assert output in output_names(FUNCTIONS[path])
        assert not strong_rows(path, output)


def test_the_weak_kinds_are_kinds():
    assert set(KINDS) > WEAK_KINDS | OUTSIDE_KINDS
    assert not WEAK_KINDS & OUTSIDE_KINDS
