"""Lesson 14: a tree of questions with the path that was taken, its numbers, and what to do."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Hashable
from dataclasses import dataclass
from typing import NamedTuple

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, arrow, patch, rectangle
from aqualib.lesson.drawing.words import Words
from aqualib.tank.symptoms import Diagnosis

# The sheet, in points.
WIDE, HIGH = 490.0, 572.0
TOP, FOOT = 564.0, 220.0
"""Between them stands the tree; below, what to do."""
TALLEST = 58.0
"""Of a row of the tree."""
QUESTION = 24.0, 322.0
LEAF = 352.0, 486.0
SPINE = 10.0
"""Where the path runs down."""
GAP = 6.0


class Said(NamedTuple):
    """How one part of what to do is set, at the size of the page."""

    name: str
    part: str
    size: float
    weight: str
    letters: int
    """In a line."""

    @property
    def line(self) -> float:
        """Between two lines, in points."""
        return 15.5 * self.size


PATH = 4.0
TO_DO = (
    # What to mind comes before what to do: a hand follows the words as they are read.
    Said("Mind", "minds", 0.88, "normal", 92),
    Said("Tonight", "tonight", 0.98, "bold", 74),
    Said("This week", "week", 0.9, "normal", 88),
    Said("Call", "call", 0.9, "normal", 88),
    Said("It could also be", "otherwise", 0.9, "normal", 88),
)
REACHED = style.Look(style.YELLOW)


@dataclass(frozen=True, slots=True)
class Reached:
    """A diagnosis: the tree of its symptom and the leaf reached; its numbers bear their units."""

    diagnosis: Diagnosis

    @property
    def place(self) -> int:
        """Which leaf was reached, from the top."""
        return self.diagnosis.worked.place

    @property
    def numbers(self) -> list[str]:
        """What stands under each question: its number and its line."""
        return [step.text for step in self.diagnosis.worked.steps]


class TreeOfQuestions(Chart[Reached]):
    """Questions down the left, leaves on the right, the path between them, and the action."""

    size = (WIDE / 72.0, HIGH / 72.0)

    def frame(self, result: Reached) -> Hashable:
        """Return the symptom: each has a tree of its own."""
        return result.diagnosis.symptom.code

    def build(self, figure: Figure, result: Reached) -> list[Artist]:
        """Draw the boxes; return the path, the words that change, and what to do."""
        axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
        style.bare(axes, WIDE, HIGH)
        leaves = result.diagnosis.symptom.leaves
        self.high = min((TOP - FOOT) / len(leaves), TALLEST)
        self.middles = [TOP - (row + 0.5) * self.high for row in range(len(leaves))]
        for middle in self.middles[:-1]:
            self._box(axes, QUESTION, middle)
        for middle in self.middles:
            self._box(axes, LEAF, middle)
        self.reached = patch(axes, REACHED, 0.75, 1.2)
        (self.path,) = axes.plot([], [], "-", color=style.BLUE, lw=PATH, zorder=1.1)
        self.tip = patch(axes, style.Look(style.BLUE), 1.0, 1.3)
        self.tip.set_edgecolor("none")
        self.asked, self.idle, self.told, self.said = [], [], [], []
        for leaf, middle in zip(leaves[:-1], self.middles, strict=False):
            place, up = QUESTION[0] + GAP, middle + 0.21 * self.high
            self.asked.append(style.write(axes, place, up, leaf.question, 0.9))
            self.idle.append(style.write(axes, place, up, leaf.question, 0.9, color=style.FAINT))
            below = middle - 0.21 * self.high
            self.told.append(style.write(axes, place, below, "", 0.85, color=style.FAINT))
            end = QUESTION[1] - GAP
            self.said.append(style.write(axes, end, up, "", 0.9, weight="bold", ha="right"))
        right = LEAF[0] + GAP
        names = [(leaf.name, middle) for leaf, middle in zip(leaves, self.middles, strict=True)]
        self.chosen = [style.write(axes, right, y, name, 0.86, weight="bold") for name, y in names]
        self.others = [
            style.write(axes, right, y, name, 0.86, color=style.FAINT) for name, y in names
        ]
        self.to_do = self._lines(axes)
        words = (*self.asked, *self.idle, *self.told, *self.said, *self.chosen, *self.others)
        return [self.path, self.reached, self.tip, *words, *self.to_do]

    def _box(self, axes: Axes, ends: tuple[float, float], middle: float) -> None:
        box = patch(axes, style.Look("none"), 1.0, 1.0)
        box.set(fill=False, edgecolor=style.FAINT)
        box.set_xy(self._outline(ends, middle))

    def _outline(self, ends: tuple[float, float], middle: float) -> Array:
        high = self.high - GAP
        return rectangle(ends[0], middle - high / 2.0, ends[1] - ends[0], high)

    def _lines(self, axes: Axes) -> list[Words]:
        """Return what to mind, what to do, and what else it could be, one under the other."""
        return [
            style.write(axes, GAP, 0.0, "", said.size, weight=said.weight, va="top")
            for said in TO_DO
        ]

    def update(self, result: Reached) -> None:
        """Lead the path to the leaf that was reached, and say what to do."""
        place, middles = result.place, self.middles
        height = middles[place]
        # Past the question that was answered with yes, not through its words.
        x = [SPINE, SPINE, QUESTION[0], math.nan, QUESTION[1], LEAF[0] - 2.0 * GAP]
        if place == len(self.told):
            x[2:5] = [x[2]] * 3
        self.path.set_data(x, [TOP, *[height] * 5])
        self.tip.set_xy(arrow((LEAF[0] - 3.0 * GAP, height), (LEAF[0], height), PATH))
        self.reached.set_xy(self._outline(LEAF, height))
        for at, (asked, idle, told) in enumerate(
            zip(self.asked, self.idle, self.told, strict=True)
        ):
            asked.set_visible(at <= place)
            idle.set_visible(at > place)
            told.set_text(result.numbers[at])
            self.said[at].set_text("" if at > place else "yes" if at == place else "no")
        for at, (chosen, other) in enumerate(zip(self.chosen, self.others, strict=True)):
            chosen.set_visible(at == place)
            other.set_visible(at != place)
        self._say(result)

    def _say(self, result: Reached) -> None:
        told, height = result.diagnosis.words, self.middles[-1] - self.high / 2.0 - 2.0 * GAP
        told = {**told, "minds": result.diagnosis.minds}
        scale = style.text_scale()
        for words, said in zip(self.to_do, TO_DO, strict=True):
            lines = textwrap.wrap(f"{said.name}: {told[said.part]}", int(said.letters / scale))
            words.set_position((GAP, height))
            words.set_text("\n".join(lines))
            height -= (len(lines) * said.line + GAP) * scale
