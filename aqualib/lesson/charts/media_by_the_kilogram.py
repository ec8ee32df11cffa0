"""Lesson 06: a tray cut open, filled to scale with pieces, and the surface they give as bars."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.draws import Span
from aqualib.filtration.media import MediaBed, MediaKind
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import AmountAxis, Bars, scale
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

BAR = 0.3
ROWS = {"outer_area": 2.0, "in_reach": 1.0, "walls": 0.0}
TOP = 2.95
ROOM = 2.5
"""End of the axis over the outside: the surface to count fills the picture, not that on paper."""
NAMES = {
    "outer_area": "outside of the pieces: count this",
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
    """Media in a filter: mass in kg, sizes in mm, shares in percent, money for 1 kg.

    The bed is that of `media_bed.bare`, with its volume in L.
    """

    kind: MediaKind
    mass: float
    size: float
    inner_porosity: float
    voidage: float
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
        (self.pieces,) = sheet.plot([], [], ls="none", color=PIECE, zorder=1.2)
        (self.levels,) = sheet.plot([], [], ":", color=style.INK, lw=1.4, zorder=1.4)
        (self.wall,) = sheet.plot([], [], "-", color=style.GLASS, lw=2.5, zorder=1.5)
        top = TRAY_FLOOR + TRAY_HIGH
        self.wall.set_data(
            [TRAY_LEFT, TRAY_LEFT, TRAY_LEFT + TRAY_WIDE, TRAY_LEFT + TRAY_WIDE],
            [top, TRAY_FLOOR, TRAY_FLOOR, top],
        )
        lines = [4.22, 3.95, 3.68, 3.41]
        self.words = [style.write(sheet, TRAY_LEFT, y) for y in lines[:3]]
        style.write(sheet, TRAY_LEFT, lines[3], "dotted: how sure that is", size=0.9)
        self.below = style.write(sheet, TRAY_LEFT, 0.37, size=0.85, color=style.FAINT, va="top")
        return [self.media, self.pieces, self.levels, self.wall, *self.words, self.below]

    def _bars(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.44, 0.245, 0.52, 0.735))
        self.scale, self.unit = scale("m**2"), label(display_unit("m**2"))
        self.axis = AmountAxis(axes, "surface", "m**2", TOP)
        self.bars = Bars(axes, LOOKS, ROWS, BAR)
        self.amounts = {}
        for name, floor in ROWS.items():
            weight = "bold" if name == "outer_area" else "normal"
            style.write(axes, 0.0, floor + 0.77, NAMES[name], size=0.95, weight=weight)
            self.amounts[name] = style.write(axes, 0.0, floor + 0.5, size=0.95)
        return [*self.bars.artists, *self.axis.numbers.marks, *self.amounts.values()]

    def _foot(self, figure: Figure) -> list[Artist]:
        foot = figure.add_axes((0.44, 0.0, 0.535, 0.1))
        style.bare(foot, 3.96, 0.45)
        self.cost = style.write(foot, 0.0, 0.2, size=0.95)
        return [self.cost]

    def update(self, result: Kilograms) -> None:
        """Fill the tray and move the bars."""
        self._fill(result)
        areas = {name: getattr(result.bed, name) for name in ROWS}
        self.axis.grow(max(ROOM * result.bed.outer_area.best, result.bed.outer_area.high))
        self.bars.show(self.axis, {name: area for name, area in areas.items() if area.high > 0.0})
        for name, words in self.amounts.items():
            self.bars.blocks[name].set_visible(areas[name].best > 0.0)
            words.set_text(self._amount(name, areas[name], result))
        self.cost.set_text(f"price of 1 {self.unit} to count: {rough(result.cost / self.scale)}")

    def _amount(self, name: str, amount: Span, result: Kilograms) -> str:
        if amount.best == 0.0:
            return "none: too narrow for bacteria" if result.has_pores else "none: no pores"
        text = f"{rough(self.scale * amount.best)} {self.unit}"
        if name == "outer_area":
            return text
        return f"{text}, {rough(amount.best / result.bed.outer_area.best)} times the outside"

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
        self.below.set_text(tray if drawn else f"{tray}\npieces too small to draw")

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
