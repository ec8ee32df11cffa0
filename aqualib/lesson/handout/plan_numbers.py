"""A plan as JSON: the system and the plan's numbers; last month's is read back and compared."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from aqualib import __version__
from aqualib.files import replace_file
from aqualib.lesson.handout.first_of_all import alarms, first_thing, verdict
from aqualib.lesson.handout.new_water_words import water_words
from aqualib.lesson.handout.plan_words import care, first_weeks, this_water
from aqualib.lesson.handout.ranked import ranked
from aqualib.lesson.handout.whys import CAUTIONS
from aqualib.tank.plan import FilterPlan, System, as_table, from_table
from aqualib.tank.plan.keeping import keep_before
from aqualib.tank.plan.written import MOST_SIGNS
from aqualib.units import SECONDS_PER_DAY, from_si, metric_words
from aqualib.validity import ValidityError, quoted

FORMAT = "aqualib plan"
VERSION = 1
FILE = "plan.json"
NUMBERS = (
    "food_carried_low_g_per_day",
    "food_carried_g_per_day",
    "food_carried_high_g_per_day",
    "food_given_g_per_day",
    "flow_clean_L_per_h",
    "flow_due_L_per_h",
    "cleaning_due_days",
    "nitrate_mg_per_L",
    "media_kg",
    "ready_days",
    "energy_kWh_per_year",
    "cost_per_year",
)
WORDS = ("verdict", "limiting", "best_change")


class WrittenPlan(NamedTuple):
    """A plan as it was written: its day, its system and its numbers; NaN is none."""

    start: date
    system: System
    numbers: dict[str, float]
    words: dict[str, str]
    pages: Mapping[str, str] = MappingProxyType({})
    """The pages that were kept with it, by name: what shows whether one was changed since."""


def written(plan: FilterPlan) -> WrittenPlan:
    """Return a plan as it is written."""
    now = plan.now
    low, best, high = (from_si(end, "g/day") for end in now.carried.feed)
    numbers = (
        low,
        best,
        high,
        from_si(plan.whole.feed, "g/day"),
        from_si(now.flow_clean, "L/h"),
        from_si(now.flow_due, "L/h"),
        now.due / SECONDS_PER_DAY,
        from_si(now.nitrate_peak, "mg/L"),
        now.media_mass,
        plan.ready_day,
        from_si(plan.energy, "kW*h"),
        plan.cost,
    )
    change = plan.best_change
    words = verdict(plan), plan.limiting, change.words if change else ""
    return WrittenPlan(
        plan.start,
        plan.system,
        dict(zip(NUMBERS, map(float, numbers), strict=True)),
        dict(zip(WORDS, words, strict=True)),
    )


def as_plan_json(plan: FilterPlan, pages: Mapping[str, str] | None = None) -> str:
    """Return a plan as JSON: the system, and the plan's numbers with the unit in their names.

    `pages` are the marks of the pages that were kept with it, by their names.
    """
    found = written(plan)
    numbers = {name: _plain(value) for name, value in found.numbers.items()}
    table = {
        "format": FORMAT,
        "version": VERSION,
        "aqualib": __version__,
        "start": found.start.isoformat(),
        "system": as_table(found.system),
        "plan": {**found.words, **numbers},
        **_said(plan),
        **({"pages": dict(pages)} if pages else {}),
    }
    return json.dumps(table, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _said(plan: FilterPlan) -> dict[str, Any]:
    """Return what page and text say beside the numbers, in metric units whatever the reader's."""
    with metric_words():
        return {
            "before_anything_else": list(alarms(plan)),
            "first": first_thing(plan),
            "your_water": [line._asdict() for line in this_water(plan).lines],
            "water": water_words(plan),
            "if_the_filter_is_new": [line._asdict() for line in first_weeks(plan).lines],
            "care": [line._asdict() for line in care(plan).lines],
            "changes": [{"change": one.words, "worth": one.worth} for one in ranked(plan)],
            "assumed": {one.place: f"{one.value} ({one.ground})" for one in plan.assumed},
            "cautions": list(CAUTIONS),
        }


def _plain(value: float) -> float | str | None:
    """Return a number as JSON has it: what has no end is a word, and what is none is null."""
    if math.isnan(value):
        return None
    return float(f"{value:.6g}") if math.isfinite(value) else "no end"


def read_plan(text: object) -> WrittenPlan:
    """Return a plan that was written, or raise and say in words what is wrong with it."""
    if not isinstance(text, str) or len(text) > MOST_SIGNS:
        raise _refused("plan", quoted(text)[:60], "the text of a plan's file", "is none")
    try:
        table = json.loads(text.removeprefix("\ufeff"))
    except (json.JSONDecodeError, RecursionError):
        raise _refused("plan", "the text", "JSON, as it was saved", "cannot be read") from None
    if not isinstance(table, dict) or table.get("format") != FORMAT:
        raise _refused("format", quoted(table)[:60], f'"{FORMAT}"', "is no file of a plan")
    if table.get("version") != VERSION:
        valid, why = str(VERSION), "was written by another aqualib"
        raise _refused("version", quoted(table.get("version")), valid, why)
    found = table.get("plan")
    if not isinstance(found, dict):
        raise _refused("plan", quoted(found), "a table in curly brackets", "is none")
    return WrittenPlan(
        _day(table.get("start")),
        from_table(table.get("system")),
        {name: _number(name, found.get(name)) for name in NUMBERS},
        {name: _word(name, found.get(name)) for name in WORDS},
        _pages(table.get("pages")),
    )


def _pages(value: Any) -> dict[str, str]:
    """Return the marks of pages; one that is no text marks nothing."""
    marks = value.items() if isinstance(value, dict) else ()
    return {name: mark for name, mark in marks if isinstance(mark, str)}


def _day(value: Any) -> date:
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        raise _refused("start", quoted(value), "a date such as 2030-03-02", "is none") from None


def _number(name: str, value: Any) -> float:
    if value is None:
        return math.nan
    if value == "no end":
        return math.inf
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise _refused(f"plan.{name}", quoted(value), "a number", "is none")
    return float(value)


def _word(name: str, value: Any) -> str:
    if not isinstance(value, str):
        raise _refused(f"plan.{name}", quoted(value), "words", "are none")
    return value


def _refused(name: str, value: str, valid: str, why: str) -> ValidityError:
    return ValidityError(name, value, valid, "", why)


def last_plan(folder: Path | str) -> WrittenPlan | None:
    """Return the plan that lies in a folder; None where there is none."""
    file = Path(folder) / FILE
    return read_plan(_text(file)) if file.is_file() else None


def is_renewed(before: WrittenPlan | None, plan: FilterPlan) -> bool:
    """Whether a plan is that of the same tank on the same day, made anew."""
    return (
        before is not None and before.start == plan.start and before.system.name == plan.system.name
    )


def keep_plan(plan: FilterPlan, folder: Path | str, pages: Mapping[str, str] | None = None) -> Path:
    """Write a plan into a folder; what stood there before lies beside it as `plan.earlier.json`.

    A plan of the same tank and day, made anew, takes its place alone: the earlier one stays that
    of another day.
    What cannot be read, such as the plan of a newer aqualib, gets a name of its own, and is never
    written over.
    """
    to, text = Path(folder) / FILE, as_plan_json(plan, pages)
    try:
        if to.is_file() and to.read_bytes() != text.encode() and not _renews(plan, to):
            keep_before(to, lambda file: read_plan(_text(file)))
        replace_file(to, text)
    except OSError as problem:
        why = f"was not written: {problem.strerror}"
        raise _refused("folder", quoted(str(folder)), "a folder that is there", why) from None
    return to


def _renews(plan: FilterPlan, file: Path) -> bool:
    try:
        return is_renewed(read_plan(_text(file)), plan)
    except ValidityError:
        return False


def _text(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        raise _refused("plan", repr(file.name), "a text in UTF-8", "cannot be read") from None
