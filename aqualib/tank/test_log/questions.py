"""What only the keeper of a log can know, asked once, with the argument that answers it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from aqualib.tank.test_log.cells import Column
from aqualib.tank.test_log.dates import MONTHS, ORDERS, may_be_either, read_date
from aqualib.tank.test_log.letters import in_quotes


def about_the_basis(columns: Sequence[Column]) -> str:
    """Ask for the basis of all columns that state none."""
    headings = ", ".join(in_quotes(column.heading) for column in columns)
    each = ", ".join(f'"{column.what}": "ion"' for column in columns)
    one_by_one = f", or one by one such as basis={{{each}}}" if len(columns) > 1 else ""
    numbers = "the numbers" if len(columns) == 1 else "these numbers"
    return (
        f"are {numbers} under {headings} as nitrogen, or as the whole ion? The paper that came "
        f'with the test says which. Answer with basis="N" or basis="ion"{one_by_one}.'
    )


def about_the_dates(texts: Iterable[str]) -> str:
    """Ask which comes first in dates that can be read in two ways."""
    doubtful = [text for text in texts if may_be_either(text)]
    readings = [f"{_span(doubtful, order)} with the {order}" for order in ORDERS]
    shown = " to ".join(dict.fromkeys((in_quotes(doubtful[0]), in_quotes(doubtful[-1]))))
    answers = " or ".join(f'dates="{order}"' for order in ORDERS)
    return (
        f"which comes first in the dates, the day or the month? {shown} can be "
        f"{', or '.join(readings)}. Answer with {answers}."
    )


def _span(texts: Iterable[str], order: str) -> str:
    """Return first and last day of dates read in one order."""
    days = sorted({read_date(text, order) for text in texts})
    first, last = days[0], days[-1]
    if first == last:
        return _in_words(first)
    return f"{_in_words(first)} to {_in_words(last)} ({(last - first).days} days)"


def _in_words(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
