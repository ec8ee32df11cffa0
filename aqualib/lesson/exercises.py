"""Guesses and exercises: compare what the learner wrote with what the package computes."""

from __future__ import annotations

import html
import math
from typing import Any

from aqualib.units import number, registry, show


def compare(guess: Any, actual: Any, what: str) -> None:
    """Print the learner's guess beside the computed value; None means nothing written yet."""
    value = _magnitude(actual)
    answer = _text(actual)
    if guess is None:
        print(f"No guess written yet. {what}: {answer}.")
        return
    mine = _number(guess, actual)
    off = (mine - value) / value * 100.0 if value else math.inf
    word = "higher" if off > 0 else "lower"
    close = f"{number(abs(off), 2)} % {word}" if abs(off) >= 0.05 else "the same"
    print(f"{what}: your guess {number(mine)}, computed {answer}; the guess is {close}.")


def check(answer: Any, expected: Any, hint: str, tolerance: float = 0.02) -> None:
    """Print whether an exercise's answer is right to `tolerance` (a fraction), or the hint."""
    value = _magnitude(expected)
    if answer is None:
        print("No answer written yet.")
    elif abs(_number(answer, expected) - value) <= tolerance * abs(value):
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


def _magnitude(amount: Any) -> float:
    return float(amount.magnitude if isinstance(amount, registry.Quantity) else amount)


def _text(amount: Any) -> str:
    return show(amount) if isinstance(amount, registry.Quantity) else number(float(amount))


def _number(given: Any, like: Any) -> float:
    """Read a plain number, or a quantity in the unit of `like`."""
    if isinstance(given, registry.Quantity):
        return float(given.m_as(like.units))
    try:
        return float(given)
    except (TypeError, ValueError):
        message = f"{given!r} is not a number; write a number such as 12.5"
        raise ValueError(message) from None
