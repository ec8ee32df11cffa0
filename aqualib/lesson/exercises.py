"""Guesses and exercises: compare what the learner wrote with what the package computes."""

from __future__ import annotations

import html
import math
from typing import Any

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
from aqualib.validity import ValidityError


def compare(guess: Any, actual: Any, what: str) -> None:
    """Print the learner's guess beside the computed value; None means nothing written yet.

    A plain number is read in the unit in which the answer is shown.
    """
    if guess is None:
        print(f"No guess written yet. {what}: {_text(actual)}.")
        return
    mine, value = _metric(guess, actual), _metric(actual, actual)
    off = mine - value
    if abs(off) <= 5e-4 * abs(value):
        verdict = "the same"
    else:
        word = "higher" if off > 0 else "lower"
        share = f"{number(abs(off / value) * 100.0, 2)} % " if value else ""
        verdict = share + word
    print(f"{what}: your guess {_shown(mine, actual)}, computed {_text(actual)}; {verdict}.")


def check(answer: Any, expected: Any, hint: str, tolerance: float = 0.02) -> None:
    """Print whether an exercise's answer is right to `tolerance` (a fraction), or the hint.

    A plain number is read in the unit in which the answer is shown.
    """
    if answer is None:
        print("No answer written yet.")
        return
    value = _metric(expected, expected)
    if abs(_metric(answer, expected) - value) <= max(tolerance * abs(value), 1e-12):
        print(f"Yes: {_text(expected)}.")
    else:
        print(f"Not yet. Hint: {hint}")


class Folded:
    """An answer that shows itself only when the learner opens it."""

    def __init__(self, heading: str, text: str) -> None:
        self.heading = heading
        self.text = text

    def __repr__(self) -> str:
        return f"{self.heading}: {self.text}"

    def _repr_html_(self) -> str:
        return (
            f"<details><summary>{html.escape(self.heading)}</summary>"
            f"{html.escape(self.text)}</details>"
        )


def folded(heading: str, words: str, amount: Any) -> Folded:
    """Return a computed answer, folded under its heading."""
    return Folded(heading, f"{words} {_text(amount)}.")


def _text(amount: Any) -> str:
    return show(amount) if isinstance(amount, registry.Quantity) else number(float(amount))


def _shown(metric: float, like: Any) -> str:
    return shown(metric, metric_unit_of(like)) if _has_unit(like) else number(metric)


def _has_unit(amount: Any) -> bool:
    return isinstance(amount, registry.Quantity)


def _metric(given: Any, like: Any) -> float:
    """Return what was given as a plain number in the metric unit of `like`."""
    unit = metric_unit_of(like) if _has_unit(like) else ""
    if _has_unit(given) and (not unit or not given.is_compatible_with(unit)):
        raise _refused(given, unit)
    if _has_unit(given):
        value = float(given.m_as(unit))
    else:
        value = _plain(given, unit)
        if unit:
            factor, offset = line_to(display_unit(unit), unit)
            value = factor * value + offset
    if not math.isfinite(value):
        raise _refused(given, unit)
    return value


def _plain(given: Any, unit: str) -> float:
    if isinstance(given, bool):
        raise _refused(given, unit)
    try:
        return float(given)
    except (TypeError, ValueError, OverflowError):
        raise _refused(given, unit) from None


def _refused(given: Any, unit: str) -> ValidityError:
    valid = f"a number such as 12.5, in {label(display_unit(unit))}" if unit else "a number"
    return ValidityError("your answer", repr(given)[:60], valid, "", "cannot be compared")
