"""The check values: numbers printed outside the project, and what our functions make of them."""

from __future__ import annotations

import importlib
import json
import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from types import ModuleType
from typing import Any

from pint import UndefinedUnitError

from aqualib.edge import PublicFunction
from aqualib.files import data_file, rows_of
from aqualib.sources import cite
from aqualib.tables import as_html, as_text
from aqualib.units import Q, label, registry
from aqualib.validity import OneOf, ValidityError

COLUMNS = (
    "id",
    "function",
    "inputs",
    "output",
    "expected",
    "unit",
    "tolerance",
    "kind",
    "source",
    "locator",
    "note",
)
KINDS = {
    "published": "a number printed in a source",
    "worked": "arithmetic shown in the row's note",
    "library": "a general-purpose library, version named",
    "identity": "a balance, a limit or a round trip",
    "common practice": "a fact of the trade, no source",
    "memory": "not confirmed in any source we could read",
    "regression": "our own earlier output",
}
# These kinds are shown but are never the only reason to trust a function.
WEAK_KINDS = frozenset({"common practice", "memory", "regression"})

DOOR = re.compile(r"(water|filtration|tank)\.[a-z]\w*", re.ASCII)
"""Where a row may find its function: a room of the science, never a file behind it."""
POWER = r"[A-Za-zµ%_]+(\*\*\d)?"
UNIT = re.compile(rf"(1|{POWER})([*/]{POWER})*")


@dataclass(frozen=True, slots=True)
class CheckValue:
    """One row of `data/check_values.csv`."""

    id: str
    function: str
    inputs: dict[str, Any]
    output: str
    expected: float
    unit: str
    tolerance: str
    kind: str
    source: str
    locator: str
    note: str

    @property
    def allowed(self) -> float:
        """The largest difference that still agrees, in the row's unit."""
        if self.tolerance.endswith("%"):
            return abs(self.expected) * float(self.tolerance[:-1]) / 100.0
        return float(self.tolerance)

    @property
    def origin(self) -> str:
        """Where the expected value comes from, in words."""
        if not self.source:
            return KINDS[self.kind]
        return cite(self.source, self.locator)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What our function makes of one check value."""

    row: CheckValue
    ours: float

    @property
    def agrees(self) -> bool:
        """True if ours lies within the row's tolerance (a NaN never does)."""
        # A tolerance of half a printed digit must admit the exact half.
        return abs(self.ours - self.row.expected) <= self.row.allowed * (1 + 1e-9)


class CheckFailedError(AssertionError):
    """Our functions and at least one check value disagree."""


@lru_cache(maxsize=1)
def check_values() -> tuple[CheckValue, ...]:
    """Return every row of `data/check_values.csv`."""
    return tuple(_read(row) for row in rows_of(data_file("check_values.csv"), COLUMNS))


def rows_for(*functions: str) -> tuple[CheckValue, ...]:
    """Return the rows of functions such as "water.oxygen.saturation", in file order."""
    rows = tuple(row for row in check_values() if row.function in functions)
    missing = set(functions) - {row.function for row in rows}
    if missing:
        message = f"no check value for {sorted(missing)}"
        raise KeyError(message)
    return rows


def rows_by_id(*ids: str) -> tuple[CheckValue, ...]:
    """Return the rows with these ids, in the order asked for."""
    known = {row.id: row for row in check_values()}
    missing = [row_id for row_id in ids if row_id not in known]
    if missing:
        message = f"no check value has the id {missing}"
        raise KeyError(message)
    return tuple(known[row_id] for row_id in ids)


def find_function(path: str) -> PublicFunction[..., Any]:
    """Return the public function that `path` names, such as "water.oxygen.saturation".

    A row is data and may run nothing else: the name leads through the door of a room of the
    science to a checked function that stands behind that door.
    """
    door, _, name = str(path).rpartition(".")
    found = vars(_room(f"aqualib.{door}")).get(name) if DOOR.fullmatch(door) else None
    if not isinstance(found, PublicFunction) or not _behind(f"aqualib.{door}", found):
        valid = 'a public function behind the door of its room, as in "water.oxygen.saturation"'
        raise ValidityError("function", repr(path)[:80], valid, "", "is none")
    return found


def _room(name: str) -> ModuleType:
    """Return a room; one that is not there is empty."""
    try:
        return importlib.import_module(name)
    except ModuleNotFoundError as problem:
        if problem.name != name:
            raise
        return ModuleType(name)


def _behind(door: str, function: PublicFunction[..., Any]) -> bool:
    return f"{function.__module__}.".startswith(f"{door}.")


def evaluate(row: CheckValue, function: Callable[..., Any] | None = None) -> Outcome:
    """Compute one row with its function, or with another that takes its place."""
    try:
        compute = function or find_function(row.function)
        result = compute(**{name: read_input(value) for name, value in row.inputs.items()})
        if row.output:
            result = getattr(result, row.output)
        if isinstance(result, registry.Quantity):
            result = result.m_as(row.unit)
        return Outcome(row, float(result))
    except Exception as problem:
        problem.add_note(f"It came up at the row {row.id!r} of data/check_values.csv.")
        raise


class Evidence:
    """Check values beside our results; shows itself as a table. Made only if all agree."""

    HEADINGS = ("case", "ours", "source says", "allowed", "kind", "source")

    def __init__(self, outcomes: Iterable[Outcome]) -> None:
        self.outcomes = tuple(outcomes)
        wrong = [outcome for outcome in self.outcomes if not outcome.agrees]
        if wrong:
            lines = [f"{o.row.id}: ours {o.ours:.6g}, expected {o.row.expected:.6g}" for o in wrong]
            raise CheckFailedError("; ".join(lines))

    def cells(self) -> list[tuple[str, ...]]:
        """Return the table's rows as text."""
        return [
            (
                o.row.note.split(";")[0] or o.row.id,
                f"{o.ours:.6g} {label(o.row.unit)}".strip(),
                f"{o.row.expected:.6g}",
                _allowed_text(o.row),
                o.row.kind,
                o.row.origin,
            )
            for o in self.outcomes
        ]

    def __repr__(self) -> str:
        return as_text(self.HEADINGS, self.cells())

    def _repr_html_(self) -> str:
        caption = f"{len(self.outcomes)} check values, all within tolerance"
        return as_html(caption, self.HEADINGS, self.cells())


def evidence(*functions: str) -> Evidence:
    """Return every check value of these functions beside our results; raise if one disagrees."""
    return Evidence(evaluate(row) for row in rows_for(*functions))


def evidence_by_id(*ids: str) -> Evidence:
    """Return these rows beside our results; raise if one disagrees."""
    return Evidence(evaluate(row) for row in rows_by_id(*ids))


def counts_by_kind() -> dict[str, int]:
    """Return how many check values there are of each kind."""
    counted = Counter(row.kind for row in check_values())
    return {kind: counted.get(kind, 0) for kind in KINDS}


def counts_table() -> str:
    """Return the counts by kind as a Markdown table, for the README."""
    counts = counts_by_kind()
    lines = [f"| {kind} | {KINDS[kind]} | {count} |" for kind, count in counts.items() if count]
    total = f"| **all** | | **{sum(counts.values())}** |"
    return "\n".join(["| kind | what it is | checks |", "|---|---|---|", *lines, total])


def _allowed_text(row: CheckValue) -> str:
    return f"±{row.tolerance.replace('%', ' %').replace('  ', ' ')}"


def _read(row: dict[str, str]) -> CheckValue:
    inputs = _plain_json(row)
    rest = {k: row[k] for k in COLUMNS if k not in {"inputs", "expected"}}
    found = CheckValue(inputs=inputs, expected=_number(row, "expected", row["expected"]), **rest)
    if found.kind not in KINDS:
        raise _refused(row, "kind", OneOf(tuple(KINDS)).text)
    _number(row, "tolerance", found.tolerance.removesuffix("%"))
    return found


def _plain_json(row: dict[str, str]) -> dict[str, Any]:
    try:
        inputs = json.loads(row["inputs"])
    except (ValueError, RecursionError):
        inputs = None
    if not isinstance(inputs, dict):
        raise _refused(row, "inputs", 'names and values such as {"ph": 8.0}')
    return inputs


def _number(row: dict[str, str], column: str, text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise _refused(row, column, "a number") from None


def _refused(row: dict[str, str], column: str, valid: str) -> ValidityError:
    place = f"data/check_values.csv, {row['id']}, {column}"
    return ValidityError(place, repr(row[column])[:60], valid, "", "is not right")


def read_input(value: Any) -> Any:
    """Turn "25 degC" into a quantity; numbers, flags and words such as "2 log" stay as they are."""
    if not isinstance(value, str):
        return value
    magnitude, _, unit = value.partition(" ")
    # Not every text to the registry: it would work out "9**9**9".
    if not UNIT.fullmatch(unit):
        return value
    try:
        return Q(float(magnitude), unit)
    except (ValueError, UndefinedUnitError):
        return value
