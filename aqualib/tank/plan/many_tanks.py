"""Many tanks: a table with one system a row, planned one by one; bad rows are told and kept aside.

The headings are those of the system's file with the part before them (`tank.water_L`,
`stock.food_g_per_day`); `name` is one too. The trays of a filter stand in one cell, in the water's
order: `settling space 50; coarse pad 45; porous rings 90 1.8`, with the height in mm and, for
media, the mass in kg.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from aqualib.tank.maturation.studies import client_of
from aqualib.tank.plan.parts import HOLDS
from aqualib.tank.plan.system import PARTS, System
from aqualib.tank.plan.what_it_does import NO_VERDICT
from aqualib.tank.plan.whole_answer import FilterPlan, make_plan
from aqualib.tank.plan.written import FORMAT, VERSION, from_table, keys_of
from aqualib.units import from_si
from aqualib.validity import ValidityError, quoted
from aqualib.written_numbers import TwoMeaningsError, plain_digits

if TYPE_CHECKING:
    import pandas as pd

MOST_ROWS = 100_000
ONE_WORD = {"seed", "shape"}
WORDS = ("name", "currency")
TRAYS = "filter.trays"


class Refused(NamedTuple):
    """A row that is no system: its line in the file, the name in it, and why."""

    line: int
    name: str
    why: str


class Row(NamedTuple):
    """One row of the table: its line in the file and its cells."""

    line: int
    cells: Mapping[str, str]


def headings() -> tuple[str, ...]:
    """Return every heading that a table of systems may have."""
    found = [f"{part}.{key}" for part, kind in PARTS.items() for key in keys_of(kind)]
    return (*WORDS, *found)


def rows_of_systems(path: str | Path) -> list[Row]:
    """Return the rows of a table of systems; headings that are none are refused."""
    file = Path(path)
    try:
        with file.open(encoding="utf-8-sig", newline="") as opened:
            reader = csv.DictReader(opened, restkey="more", restval="")
            _check_headings(reader.fieldnames)
            rows = [Row(reader.line_num, cells) for cells in _up_to(reader, MOST_ROWS)]
            if not rows:
                raise ValidityError("path", quoted(str(path)), "a row a tank", "", "has no rows")
    except (OSError, UnicodeDecodeError, csv.Error) as problem:
        why = f"cannot be read: {str(problem)[:80]}"
        raise ValidityError("path", quoted(str(path)), "a CSV table in UTF-8", "", why) from None
    return rows


def _up_to(rows: Iterable[dict[str, str]], most: int) -> Iterator[dict[str, str]]:
    for number, row in enumerate(rows, start=1):
        if number > most:
            valid = f"at most {most} rows"
            raise ValidityError("path", f"more than {most} rows", valid, "", "is too long")
        yield row


def _check_headings(found: Iterable[str] | None) -> None:
    known = headings()
    by_letters = {one.lower(): one for one in known}
    seen = set()
    for heading in found or ("",):
        if heading in seen:
            why = "stands twice, and which of the two counts nobody can tell"
            raise ValidityError("heading", quoted(heading), "each heading once", "", why)
        seen.add(heading)
        if heading not in known:
            meant = by_letters.get(heading.strip().lower())
            valid, why = meant or f"{known[2]}, …", "is not known here"
            if ";" in heading:
                why = "has semicolons in it: save the table with commas between the cells"
            elif meant:
                why = "is written with other letters or spaces than here"
            raise ValidityError("heading", quoted(heading), valid, "", why)


def system_of_row(row: Mapping[str, str]) -> System:
    """Return the system of one row; empty cells are left open."""
    table: dict[str, Any] = {"format": FORMAT, "version": VERSION}
    if row.get("more"):
        raise ValidityError("row", "more cells than headings", "a cell each", "", "is too long")
    for heading, cell in row.items():
        text = (cell or "").strip()
        if not text:
            continue
        part, _, key = heading.partition(".")
        if not key:
            table[heading] = text
        else:
            table.setdefault(part, {})[key] = _cell(heading, key, text)
    return from_table(table)


def _cell(heading: str, key: str, text: str) -> Any:
    if heading == TRAYS:
        return [_tray(at, one) for at, one in enumerate(text.split(";"), start=1) if one.strip()]
    if key in ONE_WORD:
        return text
    return _number(heading, text)


SIGNED = re.compile(r"([+-]?)([\d.,]*\d[\d.,]*)((?:[eE][+-]?\d{1,3})?)", re.ASCII)


def _number(place: str, text: str) -> float:
    valid = "a number such as 12.5"
    found = SIGNED.fullmatch(text.strip())
    if not found:
        raise ValidityError(place, quoted(text), valid, "", "is no number")
    try:
        value = float(f"{found[1]}{plain_digits(found[2])}{found[3]}")
    except TwoMeaningsError as question:
        why = f"may be two: {question}".rstrip(".")
        raise ValidityError(place, quoted(text), valid, "", why) from None
    if not math.isfinite(value):
        raise ValidityError(place, quoted(text), valid, "", "is no number")
    return value


def _tray(at: int, text: str) -> dict[str, Any]:
    """Return one tray of a cell: what it holds, its height in mm, its media in kg."""
    one = " ".join(text.split())
    holds = next((h for h in sorted(HOLDS, key=len, reverse=True) if one.startswith(f"{h} ")), "")
    numbers = one.removeprefix(holds).split()
    place = f"{TRAYS}[{at}]"
    if not holds or len(numbers) not in {1, 2}:
        valid = 'such as "coarse pad 45" or "porous rings 90 1.8"'
        raise ValidityError(place, quoted(text), valid, "", "is no tray")
    found: dict[str, Any] = {"holds": holds, "height_mm": _number(place, numbers[0])}
    if numbers[1:]:
        found["media_kg"] = _number(place, numbers[1])
    return found


def plan_of_row(row: Row, start: date) -> dict[str, Any] | Refused:
    """Return the line of one plan, or why there is none."""
    name = str(row.cells.get("name", ""))[:80]
    try:
        return {"line": row.line, **plan_line(make_plan(
            system_of_row(row.cells), start, doubt=False, changes=False))}  # fmt: skip
    except ValidityError as refused:
        return Refused(row.line, name, str(refused))


COLUMNS: dict[str, Callable[[FilterPlan], str | float]] = {
    "name": lambda plan: plan.system.name,
    "water_L": lambda plan: plan.water.m,
    "food_g_per_day": lambda plan: plan.given.m,
    "carried_low_g_per_day": lambda plan: plan.carried.low.m,
    "carried_g_per_day": lambda plan: plan.carried.best.m,
    "carried_high_g_per_day": lambda plan: plan.carried.high.m,
    "verdict": lambda plan: plan.verdict if plan.is_judged else NO_VERDICT,
    "before_anything_else": lambda plan: " ".join(
        f"{one.words} {one.tonight}" for one in plan.readings
    ),
    "limiting": lambda plan: plan.limiting,
    "flow_L_per_h": lambda plan: plan.flow_due.m,
    "cleaning_days": lambda plan: plan.due.m,
    "nitrate_mg_per_L": lambda plan: plan.nitrate.m,
    "ready_day": lambda plan: plan.ready_day,
    "energy_kWh": lambda plan: from_si(plan.energy, "kW*h"),
    "assumed": lambda plan: len(plan.assumed),
}
"""The columns of the table of plans, in metric units, and what of a plan stands in each."""


def plan_line(plan: FilterPlan) -> dict[str, str | float]:
    """Return a plan as one line of a table, in metric units."""
    return {name: of(plan) for name, of in COLUMNS.items()}


def plans_of(
    path: str | Path,
    start: date,
    tell: Callable[[int, int], None] | None = None,
    cluster: Any = None,
) -> tuple[pd.DataFrame, tuple[Refused, ...]]:
    """Return the plans of a table of systems as a table, and the rows that are kept aside.

    `tell` is called with how many are done and how many there are, for a progress bar. `cluster`
    is what `study` takes: None for this process, "here" for all cores, the address of a
    dask.distributed scheduler, or a client.
    """
    import pandas as pd

    rows = rows_of_systems(path)
    done, aside = [], []
    for number, found in enumerate(_each(rows, start, cluster), start=1):
        if isinstance(found, Refused):
            aside.append(found)
        else:
            done.append(found)
        if tell is not None:
            tell(number, len(rows))
    columns = list(plan_line_names())
    return pd.DataFrame(done, columns=columns), tuple(aside)


def _each(rows: list[Row], start: date, cluster: Any) -> Iterator[dict[str, Any] | Refused]:
    """Give what each row comes to, in the order of the rows."""
    if cluster is None:
        yield from (plan_of_row(row, start) for row in rows)
        return
    with client_of(cluster) as client:
        for future in client.map(partial(plan_of_row, start=start), rows, pure=False):
            yield future.result()


def plan_line_names() -> tuple[str, ...]:
    """Return the columns of the table of plans."""
    return ("line", *COLUMNS)
