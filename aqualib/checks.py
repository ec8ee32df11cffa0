"""The check values, and what our functions make of them.

Some were printed elsewhere; many are our own sums again. The kind of a row says what its agreement
proves: something about the world, or only that the code says what its rows say.
"""

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
from aqualib.tables import IN_SIGHT, as_html, as_text
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
    "published": "printed elsewhere, met by our own computation",
    "library": "another formulation in a general-purpose library, version named",
    "outside constant": "our arithmetic with a constant or table that the function does not hold",
    "identity": "a balance, a limit, a round trip or a second road to the same number",
    "arithmetic": "our own sum again: it guards the code and says nothing of the world",
    "transcription": "the same coefficients typed twice, or a library inside the function",
    "read back": "our own table or constant, looked up",
    "disagrees": "printed elsewhere and not met; the test is that the gap is what we say",
    "common practice": "a fact of the trade, no source",
    "memory": "not confirmed in any source we could read",
    "regression": "our own earlier output",
}
OUTSIDE_KINDS = frozenset({"published", "library", "outside constant"})
"""Agreement of these says something of the world; of the others, only of the code."""
WEAK_KINDS = frozenset({"disagrees", "common practice", "memory", "regression"})
"""These are shown, but none is ever the only guard of a function."""
ORIGINS = {
    "outside constant": ("our arithmetic, with", "a constant from outside"),
    "identity": ("a second road;", KINDS["identity"]),
    "arithmetic": ("our arithmetic, constants of", "our arithmetic"),
    "transcription": ("the same coefficients as", "the same coefficients"),
    "read back": ("our copy of", "our own number, looked up"),
}
"""What stands before a row's source, and what stands there if it has none."""
ROOMS = ("water", "filtration", "tank")

DOOR = re.compile(r"(water|filtration|tank)\.[a-z]\w*", re.ASCII)
"""Where a row may find its function: a room of the science, never a file behind it."""
POWER = r"[A-Za-zµ%_]+(\*\*\d)?"
UNIT = re.compile(rf"(1|{POWER})([*/]{POWER})*")
GAP = re.compile(r"([+-]\d+(?:\.\d+)?) % ± (\d+(?:\.\d+)? %)")
"""The tolerance of a row that disagrees, such as "+91.7 % ± 1 %": our gap, and its own room."""


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
    def room(self) -> str:
        """The room of the science that the function stands in, such as "water"."""
        return self.function.partition(".")[0]

    @property
    def gap(self) -> float:
        """By how many per cent ours is said to differ: 0, unless the row disagrees."""
        told = GAP.fullmatch(self.tolerance)
        return float(told[1]) if told else 0.0

    @property
    def allowed(self) -> float:
        """The largest difference that still agrees, in the row's unit; about the gap, if any."""
        told = GAP.fullmatch(self.tolerance)
        width = told[2] if told else self.tolerance
        if width.endswith("%"):
            return abs(self.expected) * float(width[:-1]) / 100.0
        return float(width)

    @property
    def origin(self) -> str:
        """Where the expected value comes from, in words."""
        before, alone = ORIGINS.get(self.kind, ("", KINDS[self.kind]))
        return f"{before} {cite(self.source, self.locator)}".strip() if self.source else alone


@dataclass(frozen=True, slots=True)
class Outcome:
    """What our function makes of one check value."""

    row: CheckValue
    ours: float

    @property
    def agrees(self) -> bool:
        """True if ours is where the row says: near the expected value, or off by the gap told."""
        row = self.row
        aim = row.expected * (1.0 + row.gap / 100.0)
        # A tolerance of half a printed digit must admit the exact half; a NaN never agrees.
        return abs(self.ours - aim) <= row.allowed * (1 + 1e-9)


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
    """Check values beside our results; shows itself as a table.

    Made only if every row is as it says: within its tolerance, or off by the gap it tells.
    """

    HEADINGS = ("case", "ours", "expected", "allowed", "kind", "source")

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
        return as_html(self.caption, self.HEADINGS, self.cells(), IN_SIGHT)

    @property
    def caption(self) -> str:
        """How many rows there are, how many agree, and how many rest on something outside."""
        rows = [outcome.row for outcome in self.outcomes]
        off = sum(row.kind == "disagrees" for row in rows)
        outside = sum(row.kind in OUTSIDE_KINDS for row in rows)
        agree = f"{len(rows) - off} within tolerance, {off} off by the gap it tells"
        return (
            f"{len(rows)} check values, {agree if off else 'all within tolerance'}; "
            f"{outside} from outside this project"
        )


def evidence(*functions: str) -> Evidence:
    """Return every check value of these functions beside our results; raise if one is not met."""
    return Evidence(evaluate(row) for row in rows_for(*functions))


def evidence_by_id(*ids: str) -> Evidence:
    """Return these rows beside our results; raise if one is not met."""
    return Evidence(evaluate(row) for row in rows_by_id(*ids))


def counts_by_kind(room: str = "") -> dict[str, int]:
    """Return how many check values there are of each kind, in one room or in all."""
    counted = Counter(row.kind for row in check_values() if room in {"", row.room})
    return {kind: counted.get(kind, 0) for kind in KINDS}


def counts_table() -> str:
    """Return the counts by kind and room as a Markdown table, for the README."""
    rooms = {room: counts_by_kind(room) for room in (*ROOMS, "")}

    def line(name: str, words: str, kinds: Iterable[str], mark: str = "") -> str:
        sums = (sum(counts[kind] for kind in kinds) for counts in rooms.values())
        numbers = " | ".join(f"{mark}{number}{mark}" for number in sums)
        return f"| {name} | {words} | {numbers} |"

    used = [kind for kind, count in rooms[""].items() if count]
    return "\n".join(
        [
            "| kind | what it proves | water | filtration | tank | all |",
            "|---|---|---|---|---|---|",
            *(line(kind, KINDS[kind], [kind]) for kind in used),
            line("**from outside**", "the first three", sorted(OUTSIDE_KINDS), "**"),
            line("**all**", "", used, "**"),
        ]
    )


def _allowed_text(row: CheckValue) -> str:
    if row.gap:
        return row.tolerance
    return f"±{row.tolerance.replace('%', ' %').replace('  ', ' ')}"


def _read(row: dict[str, str]) -> CheckValue:
    inputs = _plain_json(row)
    rest = {k: row[k] for k in COLUMNS if k not in {"inputs", "expected"}}
    found = CheckValue(inputs=inputs, expected=_number(row, "expected", row["expected"]), **rest)
    if found.kind not in KINDS:
        raise _refused(row, "kind", OneOf(tuple(KINDS)).text)
    told = GAP.fullmatch(found.tolerance)
    if (found.kind == "disagrees") != bool(told):
        raise _refused(row, "tolerance", 'a gap such as "+12 % ± 1 %" only where it disagrees')
    if not told:
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
