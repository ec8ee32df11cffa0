"""A guess in words: what the learner wrote beside what the package computes."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from aqualib.units import (
    display_unit,
    label,
    line_to,
    metric_unit_of,
    number,
    registry,
    show,
    shown,
)
from aqualib.validity import ValidityError, quoted

YOURS = "your guess"


def compare(guess: Any, actual: Any, what: str) -> None:
    """Print the learner's guess beside the computed value; None means nothing written yet.

    A plain number is read in the unit in which the answer is shown.
    """
    print(verdict(guess, actual, what))


def verdict(guess: Any, actual: Any, what: str) -> str:
    """Return a sentence that sets a guess beside the computed value."""
    _words("what", what)
    value = _metric("actual", actual, actual)
    if guess is None:
        return f"No guess written yet. {what}: {_text(actual)}."
    mine = _metric(YOURS, guess, actual)
    off = mine - value
    if abs(off) <= 5e-4 * abs(value):
        found = "the same"
    else:
        word = "higher" if off > 0 else "lower"
        share = f"{number(abs(off / value) * 100.0, 2)} % " if value else ""
        found = share + word
    return f"{what}: your guess {_shown(mine, actual)}, computed {_text(actual)}; {found}."


def _text(amount: Any) -> str:
    return show(amount) if isinstance(amount, registry.Quantity) else number(float(amount))


def _shown(metric: float, like: Any) -> str:
    return shown(metric, metric_unit_of(like)) if _has_unit(like) else number(metric)


def _has_unit(amount: Any) -> bool:
    return isinstance(amount, registry.Quantity)


def _words(name: str, given: Any) -> str:
    if not isinstance(given, str):
        raise ValidityError(name, quoted(given), "words in quotation marks", "", "is no text")
    return given


def _metric(name: str, given: Any, like: Any) -> float:
    """Return what was given as a plain number in the metric unit of `like`."""
    unit = metric_unit_of(like) if _has_unit(like) else ""
    if _has_unit(given):
        value = _in_unit(given, unit)
    else:
        value = _number(given)
        if unit:
            factor, offset = line_to(display_unit(unit), unit)
            value = factor * value + offset
    if not math.isfinite(value):
        valid = f"a number such as 12.5, in {label(display_unit(unit))}" if unit else "a number"
        why = "cannot be compared" if name == YOURS else "is not one finite number"
        raise ValidityError(name, quoted(given), valid, "", why)
    return value


def _in_unit(given: Any, unit: str) -> float:
    """Return one amount in `unit`; NaN if it is several, or of another kind."""
    if not unit or not given.is_compatible_with(unit):
        return math.nan
    return _number(given.m_as(unit))


def _number(given: Any) -> float:
    """Return one plain number; NaN for anything else."""
    if isinstance(given, bool | np.bool_) or getattr(given, "ndim", None):
        return math.nan
    try:
        return float(given)
    except Exception:  # noqa: BLE001 - whatever was written, it is refused in words
        return math.nan
