"""A plan as plain text to send: short lines, and all that who has nothing else must know."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterator

from aqualib.lesson.handout import first_of_all, plan_words
from aqualib.lesson.handout.layers import layers_of
from aqualib.lesson.handout.plan_words import Part
from aqualib.lesson.handout.ranked import ranked
from aqualib.tank.plan import FilterPlan

COLUMNS, LINES = 72, 150
CHANGES = 3
MORE = "(More stands on the page of the plan.)"
CAUTION = (
    "Local rules and licensed practice come first. Unplug everything before a hand goes in; look "
    "into no lit lamp; let pressure off before you open; no ammonia or acid with bleach. A sum "
    "replaces no test and no vet."
)
RIGHT_TO_LEFT = {"R", "AL", "AN", "RLE", "RLO", "RLI", "LRE", "LRO", "LRI", "FSI", "PDF", "PDI"}


def as_plan_text(plan: FilterPlan) -> str:
    """Return a plan as plain text: the verdict of the page, and what is to be done."""
    # The caution is never cut off, however long a plan is.
    last = ["", *wrapped(CAUTION)]
    lines = list(_lines(plan))
    room = LINES - len(last)
    if len(lines) > room:
        lines = [*lines[: room - 1], MORE]
    return "\n".join([*lines, *last]) + "\n"


def _lines(plan: FilterPlan) -> Iterator[str]:
    """Give the lines, those that can be missed last."""
    yield from wrapped(isolated(plan.system.name))
    yield from wrapped(first_of_all.byline(plan))
    yield ""
    for words in first_of_all.alarms(plan):
        yield from wrapped(f"{first_of_all.BEFORE}: {words}")
    yield from wrapped(f"{first_of_all.in_short(plan)} {first_of_all.action(plan)}")
    yield from wrapped(first_of_all.first_thing(plan))
    yield ""
    yield from _titled(plan_words.this_water(plan))
    layers = "; ".join(layer.words for layer in layers_of(plan.whole))
    yield from wrapped(f"The filter, in the water's order: {layers}.")
    yield from _titled(plan_words.flow(plan))
    yield from _titled(plan_words.care(plan))
    yield from _titled(plan_words.first_weeks(plan))
    yield "What would help, the best first:"
    for change in ranked(plan, CHANGES):
        yield from wrapped(f"{change.words}: {change.worth}.", "- ")
    yield "Measure this next:"
    for one in plan.unknowns:
        yield from wrapped(f"{one.measure} (lesson {one.lesson}).", "- ")
    for part in (plan_words.lamp_carbon_power, plan_words.beside, plan_words.assumed):
        yield from _titled(part(plan))


def _titled(part: Part) -> Iterator[str]:
    if part.lines:
        yield from wrapped(f"{part.title}:")
    for line in part.lines:
        yield from wrapped(f"{line.term}: {line.words}", "- ")


def wrapped(text: str, mark: str = "") -> list[str]:
    """Return text in lines of at most 72 signs; a mark stands before the first."""
    return textwrap.wrap(
        text,
        COLUMNS,
        initial_indent=mark,
        subsequent_indent=" " * len(mark),
        break_on_hyphens=False,
    )


def isolated(name: str) -> str:
    """Return a name so that letters from right to left turn nothing round but themselves."""
    if not any(unicodedata.bidirectional(sign) in RIGHT_TO_LEFT for sign in name):
        return name
    # First strong isolate, and its end: signs that nobody sees (Unicode, annex 9).
    return f"\u2068{name}\u2069"
