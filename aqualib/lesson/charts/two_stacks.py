"""Lesson 13: one filter as bought and as the learner stacks it, to scale, over one table."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.filter_trays import FilterTrays, draw_trays
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.words import Words
from aqualib.tank.inspection import Line
from aqualib.tank.plan import Filled

DRAWN = 0.51
"""Share of the picture's height that the two filters take."""
COLUMNS = (0.005, 0.285, 0.645)
"""Where the names and the numbers of the two filters begin, over the width."""
NAMES = ("as bought", "yours")


@dataclass(frozen=True, slots=True)
class Stacks:
    """Two fillings of one filter, and the lines of their table, in words."""

    bought: Filled
    yours: Filled
    carried: float
    """Food that yours carries, in g/day."""
    given: float
    limiting: str
    lines: tuple[Line, ...]


class TwoStacks(Chart[Stacks]):
    """The filter as bought at the left, yours at the right, what both come to beneath."""

    size = (7.4, 5.3)

    def frame(self, result: Stacks) -> tuple[object, ...]:
        """Return what the filter as bought is drawn by."""
        return result.bought.width, result.bought.places

    def build(self, figure: Figure, result: Stacks) -> list[Artist]:
        """Draw what stays, the filter as bought; return yours and its numbers."""
        low = 1.0 - DRAWN
        left = figure.add_axes((0.0, low, 0.5, DRAWN))
        right = figure.add_axes((0.5, low, 0.5, DRAWN))
        draw_trays(left, result.bought)
        self.trays = FilterTrays(right)
        sheet = figure.add_axes((0.0, 0.0, 1.0, low))
        style.bare(sheet, 1.0, 1.0)
        sheet.set_aspect("auto")
        step = 1.0 / (len(result.lines) + 1.5)
        self.numbers: list[tuple[Words, Words]] = []
        for at, line in enumerate(result.lines):
            y = 1.0 - (at + 1.75) * step
            style.write(sheet, COLUMNS[0], y, line.what, size=0.9, color=style.FAINT)
            left_word, right_word = (style.write(sheet, x, y, size=0.9) for x in COLUMNS[1:])
            self.numbers.append((left_word, right_word))
        for x, name in zip(COLUMNS[1:], NAMES, strict=True):
            style.write(sheet, x, 1.0 - 0.6 * step, name, weight="bold")
        return [*self.trays.artists, *(words for pair in self.numbers for words in pair)]

    def update(self, result: Stacks) -> None:
        """Fill the trays of yours, and write the numbers of both."""
        self.trays.move(result.yours)
        for words, line in zip(self.numbers, result.lines, strict=True):
            for one, text in zip(words, line.each, strict=True):
                one.set_text(text)
