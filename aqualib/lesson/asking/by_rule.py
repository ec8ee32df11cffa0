"""An answer to a field whose rule is known: read, shown again, and asked for again in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from aqualib.lesson.asking.typed import NotReadError, read
from aqualib.units import Q, shown
from aqualib.validity import OneOf, Range, ValidityError

Reader = Callable[[object, str], float]


def read_by_rule(rule: OneOf | Range, given: object, reader: Reader = read) -> Any:
    """Return an answer as a record takes it, or raise in words; `reader` reads its number."""
    if isinstance(rule, OneOf):
        if given not in rule.words:
            raise NotReadError(f"Choose one of: {', '.join(rule.words)}.")
        return given
    value = reader(given, rule.unit)
    if not rule.holds(value):
        ends = f"{shown(rule.low, rule.unit)} and {shown(rule.high, rule.unit)}"
        raise NotReadError(f"Between {ends}, please.")
    if rule.whole and value != round(value):
        raise NotReadError("A whole number, please.")
    return Q(value, rule.unit) if rule.unit else value


def shown_by_rule(rule: object, value: Any) -> str:
    """Return a value in the reader's units."""
    if isinstance(rule, Range):
        return shown(value.m_as(rule.unit) if rule.unit else value, rule.unit)
    return str(value)


def asked_again(refused: Exception) -> str:
    """Return a refusal as a sentence for a reader."""
    if isinstance(refused, ValidityError):
        return f"{refused.why[0].upper()}{refused.why[1:]}; wanted: {refused.valid}."
    return str(refused)
