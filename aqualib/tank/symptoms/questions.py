"""Which questions were asked, and how were they answered: numbers, each set against a line."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from aqualib.parameters import parameter
from aqualib.units import Q, Quantity, from_si, shown


class Figure(NamedTuple):
    """A number in SI base units, and the metric unit in which it is shown ("" for a plain one)."""

    bare: float
    unit: str = ""

    @property
    def amount(self) -> Quantity | float:
        """The number with its unit, or the plain number if it has none."""
        return Q(from_si(self.bare, self.unit), self.unit) if self.unit else self.bare

    @property
    def text(self) -> str:
        """The number as a reader sees it, in the unit set in force."""
        if math.isinf(self.bare):
            return "no end"
        return shown(from_si(self.bare, self.unit) if self.unit else self.bare, self.unit, 2)

    def __format__(self, _how: str) -> str:
        """Put the number into a sentence."""
        return self.text


class Step(NamedTuple):
    """One question of a tree: is this number above that line, or `below` it?"""

    number: Figure
    line: Figure
    below: bool = False

    @property
    def yes(self) -> bool:
        """Whether the answer is yes; a number that stands on the line is not above it."""
        if self.below:
            return self.number.bare <= self.line.bare
        return self.number.bare > self.line.bare

    @property
    def text(self) -> str:
        """The number and the line as a reader sees them."""
        sign = ">" if self.number.bare > self.line.bare else "≤"
        return f"{self.number.text} {sign} {self.line.text}"


class Worked(NamedTuple):
    """A tree with its numbers in it: the questions in order, and the sums for its leaves."""

    steps: tuple[Step, ...]
    figures: Mapping[str, Figure]

    @property
    def place(self) -> int:
        """The leaf that is reached: that of the first yes, or the last of all."""
        answers = (place for place, step in enumerate(self.steps) if step.yes)
        return next(answers, len(self.steps))


def line_of(row: str) -> Figure:
    """Return the value of a row of parameters as a line to set numbers against."""
    found = parameter(row)
    return Figure(found.bare, found.unit)


def bare_of(row: str) -> float:
    """Return the value of a row of parameters in SI base units."""
    return parameter(row).bare
