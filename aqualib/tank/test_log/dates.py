"""The dates of a keeper's log as people write them, and which comes first in them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from aqualib.tank.test_log.cells import UnreadableError, tidy
from aqualib.tank.test_log.letters import in_quotes

DAY_FIRST, MONTH_FIRST = "day first", "month first"
ORDERS = (DAY_FIRST, MONTH_FIRST)
TIME = r"(?:[t ]+[\d:.]+(?:z| ?[ap]m)?)?"
YEAR_FIRST = re.compile(rf"(\d{{4}})([./-])(\d{{1,2}})\2(\d{{1,2}}){TIME}", re.ASCII)
YEAR_LAST = re.compile(rf"(\d{{1,2}})([./-])(\d{{1,2}})\2(\d{{4}}|\d{{2}}){TIME}", re.ASCII)
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
SHORT = [month[:3].lower() for month in MONTHS]
WORD = rf"(?:{'|'.join(SHORT)})[a-z]*\.?"
NUMBER = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?"
NAMED = (
    re.compile(rf"{NUMBER}[ .-]+(?P<month>{WORD})[ ,-]+(?P<year>\d{{4}})", re.ASCII),
    re.compile(rf"(?P<month>{WORD}) {NUMBER},? (?P<year>\d{{4}})", re.ASCII),
)
WRITE = "write 2026-03-25 or 25/03/2026"


def read_date(text: str, order: str = DAY_FIRST) -> date:
    """Return a date such as 2026-03-25, 25/03/2026, 25.3.26 or 25 March 2026.

    `order` says what comes first in 03/04/2026.
    """
    cell = tidy(text)
    if found := YEAR_FIRST.fullmatch(cell):
        year, month, day = int(found[1]), int(found[3]), int(found[4])
    elif found := YEAR_LAST.fullmatch(cell):
        day, month, year = int(found[1]), int(found[3]), int(found[4])
        year += 2000 if year < 100 else 0
        if order == MONTH_FIRST:
            day, month = month, day
    elif found := next(filter(None, (form.fullmatch(cell) for form in NAMED)), None):
        day, year = int(found["day"]), int(found["year"])
        month = SHORT.index(found["month"][:3]) + 1
    else:
        raise UnreadableError(f"{in_quotes(text)} is no date; {WRITE}")
    try:
        return date(year, month, day)
    except ValueError:
        why = "is no day of the calendar"
        if proof_of(text) not in ("", order):
            why = f"is no date {order}"
        raise UnreadableError(f"{in_quotes(text)} {why}") from None


def may_be_either(text: str) -> bool:
    """Return whether a date can be read with its day first and with its month first."""
    found = YEAR_LAST.fullmatch(tidy(text))
    if not found or int(found[1]) == int(found[3]) or found[4] == "0000":
        return False
    return 1 <= int(found[1]) <= 12 and 1 <= int(found[3]) <= 12


def orders_of(texts: Iterable[str]) -> set[str]:
    """Return what comes first in the dates of a log: one order, or both if that is not clear.

    A date such as 25/03/2026 settles it for all. Points between the numbers stand, where nothing
    speaks against it, for the day first.
    """
    unsettled = proofs = frozenset[str]()
    for text in texts:
        proof = proof_of(text)
        if proof:
            proofs |= {proof}
        elif may_be_either(text):
            unsettled |= {"." if "." in tidy(text).split()[0] else "/"}
    if proofs:
        return set(proofs)
    return set(ORDERS) if "/" in unsettled else {DAY_FIRST}


def proof_of(text: str) -> str:
    """Return the order of a date that can only be read in one way, "" if it proves nothing."""
    found = YEAR_LAST.fullmatch(tidy(text))
    if not found:
        return ""
    first, second = int(found[1]), int(found[3])
    if 12 < first <= 31 and second <= 12:
        return DAY_FIRST
    return MONTH_FIRST if first <= 12 < second <= 31 else ""
