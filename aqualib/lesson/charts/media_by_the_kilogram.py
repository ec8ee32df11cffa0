"""Lesson 06: a tray cut open, filled to scale with pieces, and the surface they give as bars."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.draws import Span
from aqualib.filtration.media import MediaBed, MediaKind
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import Bars, scale
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.pieces import (
    drawn_width,
    is_threads,
    outline,
    places,
    reach,
    step_between,
)
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.lesson.drawing.tank_section import CUBIC_CM
from aqualib.units import display_unit, label, number, shown

TRAYS = (10.0, 14.0, 20.0, 28.0, 40.0, 56.0, 80.0, 112.0, 160.0, 224.0)
"""Widths in cm of square trays, as high as wide; the first that the media do not overfill."""
FULL = 0.85
TRAY_LEFT, TRAY_FLOOR, TRAY_WIDE, TRAY_HIGH = 0.1, 0.42, 2.6, 2.6
SHEET = 2.95, 4.5
"""The sheet of the tray, in inches, like the picture."""
SMALLEST = 0.03
"""Pieces narrower than this on the sheet, in inches, are shown as a tint."""
POINTS_PER_INCH = 72.0

DECADES = 8
FIRST = {"metric": -3, "other": -2}
"""The power of ten at which the axis starts, in m² and in ft²."""
BAR, ROW = 0.3, 1.0
ROWS = {"outer_area": 2.0, "in_reach": 1.0, "walls": 0.0}
NAMES = {
    "outer_area": "outside of the pieces: the working area",
    "in_reach": "pore walls in reach of oxygen: spare room",
    "walls": "all pore walls: mostly on paper",
}
LOOKS = {
    "outer_area": style.Look(style.AMMONIA.colour, "-", "", "//"),
    "in_reach": style.Look(style.OXYGEN.colour),
    "walls": style.Look("#BBBBBB", "-", "", ".."),
}
PIECE = "#C98A1B"
TINT = style.Look("#E3BC73")


@dataclass(frozen=True, slots=True)
class Kilograms:
    """Media in a filter: mass in kg, sizes in mm, pores in µm, shares in percent, money for 1 kg.

    The bed is that of `media_bed.bare`, with its volume in L.
    """

    kind: MediaKind
    mass: float
    size: float
    inner_porosity: float
    voidage: float
    pore_size: float
    working_depth: float
    price: float
    bed: MediaBed

    @property
    def cost(self) -> float:
        """Money for 1 m² of outside."""
        return self.price * self.mass / float(self.bed.outer_area.best)

    @property
    def has_pores(self) -> bool:
        """Whether water can enter the pieces at all."""
        return bool(self.bed.open_porosity > 0.0)


def tray_width(litres: float) -> float:
    """Return the width in cm of the first tray that is not overfull."""
    return next((w for w in TRAYS if CUBIC_CM * litres <= FULL * w**3), TRAYS[-1])


class AreaAxis:
    """Axes for bars of areas, each step ten times more, in the unit set in force."""

    length = float(DECADES)

    def __init__(self, axes: Axes) -> None:
        """Dress axes with a name and ticks."""
        unit = display_unit("m**2")
        self.scale = scale("m**2")
        self.first = FIRST["metric" if unit == "m**2" else "other"]
        style.dress(axes, f"{label(unit)}, each step ten times more")
        axes.spines["left"].set_visible(False)
        axes.set_yticks([])
        axes.set_xlim(0.0, DECADES)
        axes.set_ylim(-0.15, 2.95)
        powers = list(range(DECADES + 1))
        # Every other one is named: long numbers need room.
        axes.set_xticks(powers, ["" if at % 2 else tick(self.first + at) for at in powers])

    def place(self, value: float) -> float:
        """Return where an area in m² stands, no further than the end."""
        if value <= 0.0:
            return 0.0
        return min(max(math.log10(value * self.scale) - self.first, 0.0), self.length)

    def is_beyond(self, value: float) -> bool:
        """Return whether an area lies beyond the end."""
        return value * self.scale > 10.0 ** (self.first + DECADES)


class MediaByTheKilogram(Chart[Kilograms]):
    """A tray with its media at the left; at the right, a bar for each kind of surface."""

    size = (7.4, 4.5)

    def build(self, figure: Figure, _: Kilograms) -> list[Artist]:
        """Draw the axis; return the tray, the pieces, the bars and their words."""
        return [*self._tray(figure), *self._bars(figure), *self._foot(figure)]

    def _tray(self, figure: Figure) -> list[Artist]:
        wide, high = self.size
        sheet = figure.add_axes((0.01, 0.0, SHEET[0] / wide, SHEET[1] / high))
        style.bare(sheet, *SHEET)
        self.media = patch(sheet, TINT, 1.0, 1.0)
        self.media.set(linewidth=0.0)
        (self.pieces,) = sheet.plot([], [], "", color=PIECE, lw=0, zorder=1.2)
        (self.levels,) = sheet.plot([], [], ":", color=style.INK, lw=1.4, zorder=1.4)
        (self.wall,) = sheet.plot([], [], "-", color=style.GLASS, lw=2.5, zorder=1.5)
        top = TRAY_FLOOR + TRAY_HIGH
        self.wall.set_data(
            [TRAY_LEFT, TRAY_LEFT, TRAY_LEFT + TRAY_WIDE, TRAY_LEFT + TRAY_WIDE],
            [top, TRAY_FLOOR, TRAY_FLOOR, top],
        )
        lines = [4.22, 3.95, 3.68, 3.41]
        self.words = [style.write(sheet, TRAY_LEFT, y) for y in lines[:3]]
        style.write(sheet, TRAY_LEFT, lines[3], "dotted: how sure that is")
        self.below = style.write(sheet, TRAY_LEFT, 0.2, size=0.85, color=style.FAINT)
        return [self.media, self.pieces, self.levels, self.wall, *self.words, self.below]

    def _bars(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.44, 0.245, 0.505, 0.735))
        self.scale, self.unit = scale("m**2"), label(display_unit("m**2"))
        self.axis = AreaAxis(axes)
        self.bars = Bars(axes, LOOKS, ROWS, BAR)
        self.amounts = {}
        for name, floor in ROWS.items():
            style.write(axes, 0.0, floor + 0.77, NAMES[name])
            self.amounts[name] = style.write(axes, 0.0, floor + 0.5, size=0.95)
        self.share = style.write(axes, DECADES, ROWS["in_reach"] + 0.5, size=0.95, ha="right")
        words = [*self.amounts.values(), self.share]
        return [*self.bars.artists, *words]

    def _foot(self, figure: Figure) -> list[Artist]:
        foot = figure.add_axes((0.44, 0.0, 0.535, 0.1))
        style.bare(foot, 3.96, 0.45)
        self.cost = style.write(foot, 0.0, 0.2, size=0.95)
        return [self.cost]

    def update(self, result: Kilograms) -> None:
        """Fill the tray and move the bars."""
        self._fill(result)
        areas = {name: getattr(result.bed, name) for name in ROWS}
        # None at all has no place where each step is ten times more.
        some = {name: area for name, area in areas.items() if area.high > 0.0}
        self.bars.show(self.axis, some)
        for name, words in self.amounts.items():
            self.bars.blocks[name].set_visible(areas[name].best > 0.0)
            words.set_text(self._amount(name, areas[name], result))
        self.share.set_text(f"{number(100.0 * result.bed.shell_share, 2)} % of each piece")
        self.share.set_visible(result.bed.in_reach.best > 0.0)
        each = result.cost / self.scale
        self.cost.set_text(
            f"{number(result.price)} for 1 kg: {rough(each)} for 1 {self.unit} of outside"
        )

    def _amount(self, name: str, amount: Span, result: Kilograms) -> str:
        if amount.best == 0.0:
            return "none: too narrow for bacteria" if result.has_pores else "none: no pores"
        text = f"{rough(self.scale * amount.best)} {self.unit}"
        if name == "outer_area":
            # Setting type is dear, so the sentence tells the other ranges.
            low, high = (rough(self.scale * end) for end in (amount.low, amount.high))
            text += f", {low} to {high}"
        return text

    def _fill(self, result: Kilograms) -> None:
        litres, kind = result.bed.volume, result.kind
        wide = tray_width(litres.best)
        inches = TRAY_WIDE / wide
        full = TRAY_HIGH * 1.02
        low, best, high = (min(CUBIC_CM * end / wide**2 * inches, full) for end in litres)
        self.media.set_xy(rectangle(TRAY_LEFT, TRAY_FLOOR, TRAY_WIDE, best))
        self._place_pieces(result, 0.1 * inches, best)
        right = TRAY_LEFT + TRAY_WIDE
        self.levels.set_data(
            [TRAY_LEFT, right, math.nan, TRAY_LEFT, right],
            [TRAY_FLOOR + low, TRAY_FLOOR + low, math.nan, TRAY_FLOOR + high, TRAY_FLOOR + high],
        )
        litre = rough(scale("L") * litres.best)
        self.words[0].set_text(f"{shown(result.mass, 'kg', 2)} of")
        self.words[1].set_text(kind.name)
        self.words[2].set_text(f"fill {litre} {label(display_unit('L'))}")
        tray = f"tray {shown(wide, 'cm', 2)} wide, as deep"
        drawn = np.size(self.pieces.get_xdata()) > 0
        self.below.set_text(tray if drawn else f"{tray}; no piece drawn")

    def _place_pieces(self, result: Kilograms, inches: float, high: float) -> None:
        """Draw the pieces to scale, `inches` for a mm, if they are wide enough to be seen."""
        kind = result.kind
        piece = drawn_width(kind, result.size) * inches
        step = step_between(kind, result.size, result.voidage / 100.0) * inches
        found = places(step, piece, TRAY_WIDE, high) if piece >= SMALLEST else np.empty((0, 2))
        self.pieces.set_data(TRAY_LEFT + found[:, 0], TRAY_FLOOR + found[:, 1])
        self.media.set_alpha(0.25 if len(found) else 0.8)
        self.pieces.set_marker(outline(kind))
        points = POINTS_PER_INCH * piece
        # A marker fills the size given by its largest reach, and a reach of 0.5 is half of it.
        self.pieces.set_markersize(points * 2.0 * reach(kind))
        threads = is_threads(kind)
        self.pieces.set_markerfacecolor("none" if threads else PIECE)
        self.pieces.set_markeredgewidth(min(0.06 * points, 1.2) if threads else 0.4)
        self.pieces.set_markeredgecolor(PIECE if threads else style.INK)
        # Paler pieces hold more pores.
        self.pieces.set_alpha(1.0 if threads else 1.0 - 0.007 * result.inner_porosity)


def rough(value: float) -> str:
    """Return a number to two digits; thousands stand apart."""
    if value < 1000.0:
        return number(value, 2) if value < 100.0 else f"{float(f'{value:.2g}'):.0f}"
    return f"{float(f'{value:.2g}'):,.0f}".replace(",", " ")


def tick(exponent: int) -> str:
    """Return a power of ten as a word under the axis."""
    if exponent == 6:
        return "million"
    return rough(10.0**exponent) if exponent > 0 else f"{10.0**exponent:g}"
