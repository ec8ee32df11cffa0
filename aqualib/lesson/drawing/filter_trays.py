"""The trays of one filter in section, to scale, the first in the water's way at the bottom.

The water comes down a pipe at the side and rises through the trays over their whole width.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection, PolyCollection

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import scale_bar
from aqualib.lesson.drawing.filter_section import PADS
from aqualib.lesson.drawing.shapes import Array, arrow, patch, rectangle, wall
from aqualib.lesson.drawing.tank_and_filter import MEDIA
from aqualib.tank.inspection import in_kg_and_lb
from aqualib.tank.plan import Filled
from aqualib.tank.plan.parts import CHEMICALS, FLOSS, MOST_TRAYS, NOTHING, SETTLING
from aqualib.tank.plan.trays import Place, fitting_mass
from aqualib.units import from_si, shown

LOOKS = {
    SETTLING: style.Look("none", "-", "", "--"),
    **{f"{grade} pad": look for grade, look in PADS.items() if grade != "empty"},
    FLOSS: PADS["fine"],
    **dict.fromkeys(CHEMICALS, style.Look("#BBBBBB", "-", "", "xxx")),
    NOTHING: style.Look("none"),
}
"""What may stand in a tray; all kinds of media look alike, and so do chemical ones."""
LEFT, FLOOR, ABOVE = 0.12, 0.3, 0.62
"""Room beside, under and over the trays, in inches: scale below, head and hoses above."""
HEAD, PIPE, WALL = 0.22, 0.14, 0.03
MOST_WIDE = 0.43
"""Share of the sheet that the filter may take; the rest is for words."""
BESIDE, WORDS = 0.2, 0.85
"""From the filter to its words, and the size of their letters."""
LINE = 1.45
"""Height of a line over the size of its letters."""
POINTS_PER_INCH = 72.0
PER_INCH, SHAFT = 50.0, 2.5
"""Arrows are made on a sheet of so many parts an inch, and are so wide on it."""
BAR = 0.3
"""How long the bar of the scale is about, over the width of the filter."""
CM = 100.0


class FilterTrays:
    """The moving parts of a filter's trays, on axes of their own."""

    def __init__(self, axes: Axes) -> None:
        """Make the parts; the sheet is measured in inches of the axes."""
        box, dots = axes.bbox, float(axes.figure.dpi)
        self.wide, self.high = box.width / dots, box.height / dots
        style.bare(axes, self.wide, self.high)
        self.water = patch(axes, style.WATER, 0.3, 1.0)
        self.head = patch(axes, style.Look("#DDDDDD"), 1.0, 1.1)
        self.fillings = [patch(axes, style.Look("none"), 1.0, 1.2) for _ in range(MOST_TRAYS)]
        self.pipe = patch(axes, style.Look(style.PAPER), 1.0, 1.3)
        self.wall = wall(axes, 1.5, 2.0)
        self.floors = LineCollection([], colors=style.GLASS, linewidths=1.2, zorder=1.4)
        self.leaders = LineCollection([], colors=style.FAINT, linewidths=0.8, zorder=1.4)
        self.arrows = PolyCollection([], facecolor=style.BLUE, edgecolor="none", zorder=1.7)
        for lines in (self.floors, self.leaders, self.arrows):
            axes.add_collection(lines)
        (self.bar,) = axes.plot([], [], "-", color=style.FAINT, lw=3)
        self.names = [style.write(axes, 0.0, 0.0, size=WORDS) for _ in range(MOST_TRAYS)]
        ends = (style.write(axes, 0.0, 0.0, word, size=WORDS, color=style.FAINT)
                for word in ("in", "out", ""))  # fmt: skip
        self.in_word, self.out_word, self.bar_word = ends
        self.artists: list[Artist] = [
            self.water, self.head, *self.fillings, self.pipe, self.floors, self.leaders,
            self.wall, self.arrows, self.bar, *self.names, self.in_word, self.out_word,
            self.bar_word,
        ]  # fmt: skip

    def move(self, whole: Filled) -> None:
        """Show the trays of a system."""
        heights = [place.height for place in whole.places]
        room = self.high - FLOOR - ABOVE, MOST_WIDE * self.wide - PIPE
        inches = min(room[0] / sum(heights), room[1] / whole.width)
        width = inches * whole.width
        left = LEFT + PIPE
        floors = [FLOOR + inches * low for low in accumulate(heights, initial=0.0)]
        self._build(left, width, floors)
        self._fill(whole, left, width, floors)
        self._lead(left, width, floors[-1])
        self._name(whole, left + width, floors)
        self._scale(left, whole.width, inches)

    def _build(self, left: float, width: float, floors: Sequence[float]) -> None:
        high = floors[-1] - FLOOR
        self.water.set_xy(rectangle(left, FLOOR, width, high))
        self.pipe.set_xy(rectangle(LEFT, FLOOR, PIPE, high + HEAD))
        self.head.set_xy(rectangle(left, floors[-1], width, HEAD))
        self.wall.set_xy(
            rectangle(LEFT - WALL, FLOOR - WALL, PIPE + width + 2.0 * WALL, high + HEAD + WALL)
        )
        self.floors.set_segments([[(left, y), (left + width, y)] for y in floors[1:-1]])

    def _fill(self, whole: Filled, left: float, width: float, floors: Sequence[float]) -> None:
        for at, filling in enumerate(self.fillings):
            there = at < len(whole.places)
            filling.set_visible(there)
            if there:
                place = whole.places[at]
                look = LOOKS.get(place.holds, MEDIA)
                high = filled_share(whole, place) * (floors[at + 1] - floors[at])
                filling.set_xy(rectangle(left, floors[at], width, high))
                filling.set_facecolor(look.colour)
                filling.set_hatch(look.hatch)

    def _lead(self, left: float, width: float, top: float) -> None:
        """Draw the water's way: down the pipe, up through all trays, out of the head."""
        down, above = LEFT + 0.5 * PIPE, top + HEAD + 0.24
        rises = [left + share * width for share in (0.2, 0.5, 0.8)]
        out = left + 0.8 * width
        self.arrows.set_verts(
            [
                upright(down, above, FLOOR + 0.02),
                *(upright(x, FLOOR + 0.03, top - 0.02) for x in rises),
                upright(out, top + 0.05, above),
            ]
        )
        self.in_word.set_position((down + 0.12, above - 0.08))
        self.out_word.set_position((out + 0.12, above - 0.08))

    def _name(self, whole: Filled, right: float, floors: Sequence[float]) -> None:
        """Write beside each tray what it is; lines lead from trays to words that had to move."""
        texts = [words_of(place, at) for at, place in enumerate(whole.places, start=1)]
        line = LINE * style.points(WORDS) / POINTS_PER_INCH
        if sum(text.count("\n") + 1 for text in texts) * line > self.high - line:
            texts = [text.partition("\n")[0] for text in texts]
        tall = [(text.count("\n") + 1) * line for text in texts]
        middles = [0.5 * (low + high) for low, high in pairwise(floors)]
        at = apart(middles, tall, self.high)
        for place, name in enumerate(self.names):
            there = place < len(texts)
            name.set_text(texts[place] if there else "")
            name.set_position((right + BESIDE, at[place] if there else 0.0))
        start, end = right + WALL, right + BESIDE - 0.04
        self.leaders.set_segments(
            [[(start, middle), (end, y)] for middle, y in zip(middles, at, strict=True)]
        )

    def _scale(self, left: float, width: float, inches: float) -> None:
        length, words = scale_bar(max(BAR * width * CM, 1.0), "cm")
        end = left + length / CM * inches
        self.bar.set_data([left, end], [0.12, 0.12])
        self.bar_word.set_text(words)
        self.bar_word.set_position((end + 0.08, 0.12))


def draw_trays(axes: Axes, whole: Filled) -> list[Artist]:
    """Draw the trays of a system on axes of their own, to scale, and return what was drawn."""
    trays = FilterTrays(axes)
    trays.move(whole)
    return trays.artists


def upright(x: float, start: float, end: float) -> Array:
    """Return an arrow straight up or down, in inches."""
    return arrow((PER_INCH * x, PER_INCH * start), (PER_INCH * x, PER_INCH * end), SHAFT) / PER_INCH


def filled_share(whole: Filled, place: Place) -> float:
    """Return how high a tray is filled; media may lie low in it."""
    if place.holds == NOTHING:
        return 0.0
    if not place.media:
        return 1.0 if place.holds in LOOKS else 0.0
    return min(place.media / fitting_mass(place.holds, whole.floor * place.height), 1.0)


def words_of(place: Place, at: int) -> str:
    """Return what is written beside a tray: its place and what it holds, then how much."""
    name = "empty" if place.holds == NOTHING else place.holds
    if place.media:
        return f"{at} {name}\n{in_kg_and_lb(place.media)}"
    return f"{at} {name}\n{shown(from_si(place.height, 'cm'), 'cm', 2)} high"


def apart(middles: Sequence[float], tall: Sequence[float], high: float) -> list[float]:
    """Return where words so tall stand near their middles, apart, between 0 and `high`."""
    found: list[float] = []
    floor = 0.0
    for middle, height in zip(middles, tall, strict=True):
        found.append(max(middle, floor + 0.5 * height))
        floor = found[-1] + 0.5 * height
    ceiling = high
    for at in reversed(range(len(found))):
        found[at] = min(found[at], ceiling - 0.5 * tall[at])
        ceiling = found[at] - 0.5 * tall[at]
    return found
