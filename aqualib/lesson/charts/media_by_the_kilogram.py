"""Lesson 05: a tray cut open, filled to scale with pieces, and the surface they give as bars."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure
from matplotlib.path import Path

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import Whiskers, scale
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.parameters import parameter
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


def _circle(radius: float, turn: int = 1) -> Path:
    angles = np.linspace(0.0, 2.0 * math.pi, 25)[::turn]
    return Path(radius * np.column_stack([np.cos(angles), np.sin(angles)]), closed=True)


def outline(kind: Any) -> Path:
    """Return the outline of a piece, one wide, as a marker."""
    if kind.shape == "ring":
        # The hole is drawn the other way round, which leaves it open.
        return Path.make_compound_path(_circle(0.5), _circle(0.5 * kind["hole_share"].value, -1))
    if kind.shape == "broken":
        angles = np.radians([10, 60, 95, 150, 200, 235, 290, 330, 370])
        reach = np.array([0.5, 0.42, 0.5, 0.46, 0.5, 0.38, 0.5, 0.41, 0.5])
        return Path(np.column_stack([np.cos(angles), np.sin(angles)]) * reach[:, None], closed=True)
    if kind.shape == "foam":
        angles = np.radians(np.arange(30, 391, 60))
        return Path(np.column_stack([np.cos(angles), np.sin(angles)]) / math.sqrt(3.0), closed=True)
    if kind.shape == "carrier":
        cross = Path([[-0.5, 0], [0.5, 0], [0, -0.5], [0, 0.5]], [1, 2, 1, 2])
        return Path.make_compound_path(_circle(0.5), cross)
    return _circle(0.5)


def is_threads(kind: Any) -> bool:
    """Return whether a kind is drawn as lines: it is nearly all water."""
    return kind.shape in {"foam", "carrier"}


def drawn_width(kind: Any, size: float) -> float:
    """Return the width of what is drawn, in the unit of `size`: of foam, a cell."""
    return size * parameter("foam_cell_ratio").value if kind.shape == "foam" else size


def step_between(kind: Any, size: float, voidage: float) -> float:
    """Return how far apart pieces stand in equal rows so that solid and room are as they are."""
    width = drawn_width(kind, size)
    if is_threads(kind):
        return width
    hole = kind["hole_share"].value if kind.shape == "ring" else 0.0
    solid = math.pi / 4.0 * width**2 * (1.0 - hole**2)
    # In equal rows each piece has 0.866 of the square of the step.
    return max(width, math.sqrt(solid / (1.0 - voidage) / (math.sqrt(3.0) / 2.0)))


def places(step: float, piece: float, wide: float, high: float) -> Any:
    """Return the middles of pieces in equal rows inside a rectangle from 0, 0, as (n, 2)."""
    x = np.arange(piece / 2.0, wide - piece / 2.0 + 1e-9, step)
    y = np.arange(piece / 2.0, high - piece / 2.0 + 1e-9, step * math.sqrt(3.0) / 2.0)
    if not len(x) or not len(y):
        return np.empty((0, 2))
    across, up = np.meshgrid(x, y)
    across[1::2] += step / 2.0
    found = np.column_stack([across.ravel(), up.ravel()])
    return found[found[:, 0] <= wide - piece / 2.0 + 1e-9]


def tray_width(litres: float) -> float:
    """Return the width in cm of the first tray that is not overfull."""
    return next((w for w in TRAYS if 1000.0 * litres <= FULL * w**3), TRAYS[-1])


class MediaByTheKilogram:
    """A tray with its media at the left; at the right, a bar for each kind of surface."""

    size = (7.4, 4.5)

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - nothing still depends on it
        """Return nothing that changes."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw the axis; return the tray, the pieces, the bars and their words."""
        return [*self._tray(figure), *self._bars(figure)]

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
        unit = display_unit("m**2")
        self.scale, self.unit = scale("m**2"), label(unit)
        self.first = FIRST["metric" if unit == "m**2" else "other"]
        style.dress(axes, f"{self.unit}, each step ten times more")
        axes.spines["left"].set_visible(False)
        axes.set_yticks([])
        axes.set_xlim(0.0, DECADES)
        axes.set_ylim(-0.15, 2.95)
        powers = list(range(DECADES + 1))
        # Every other one is named: long numbers need room.
        texts = ["" if at % 2 else tick(self.first + at) for at in powers]
        axes.set_xticks(powers, labels=texts)
        self.blocks = {name: patch(axes, look, 0.75, 1.0) for name, look in LOOKS.items()}
        self.doubt = Whiskers(axes)
        self.whiskers, self.beyond = self.doubt.line, self.doubt.beyond
        self.amounts = {}
        for name, floor in ROWS.items():
            style.write(axes, 0.0, floor + 0.77, NAMES[name])
            self.amounts[name] = style.write(axes, 0.0, floor + 0.5, size=0.95)
        self.share = style.write(axes, DECADES, ROWS["in_reach"] + 0.5, size=0.95, ha="right")
        foot = figure.add_axes((0.44, 0.0, 0.535, 0.1))
        style.bare(foot, 3.96, 0.45)
        self.cost = style.write(foot, 0.0, 0.2, size=0.95)
        return [
            *self.blocks.values(), self.whiskers, self.beyond, *self.amounts.values(),
            self.share, self.cost,
        ]  # fmt: skip

    def update(self, result: Any) -> None:
        """Fill the tray and move the bars."""
        self._fill(result)
        spans: list[tuple[float, float, float]] = []
        beyond: list[float] = []
        for name, block in self.blocks.items():
            amount, floor = getattr(result.bed, name), ROWS[name]
            low, best, high = map(self.place, amount)
            block.set_xy(rectangle(0.0, floor, best, BAR))
            block.set_visible(amount.best > 0.0)
            if amount.high > 0.0:
                spans.append((low, high, floor + 0.5 * BAR))
            if amount.high * self.scale > 10.0 ** (self.first + DECADES):
                beyond.append(floor + 0.5 * BAR)
            self.amounts[name].set_text(self._amount(name, amount, result))
        self.doubt.show(spans, 0.3 * BAR, beyond, float(DECADES))
        self.share.set_text(f"{number(100.0 * result.bed.shell_share, 2)} % of each piece")
        self.share.set_visible(result.bed.in_reach.best > 0.0)
        each = result.cost / self.scale
        self.cost.set_text(
            f"{number(result.price)} for 1 kg: {rough(each)} for 1 {self.unit} of outside"
        )

    def place(self, area: float) -> float:
        """Return where an area in m² stands on the axis."""
        if area <= 0.0:
            return 0.0
        return min(max(math.log10(area * self.scale) - self.first, 0.0), float(DECADES))

    def _amount(self, name: str, amount: Any, result: Any) -> str:
        if amount.best == 0.0:
            return "none: too narrow for bacteria" if result.has_pores else "none: no pores"
        text = f"{rough(self.scale * amount.best)} {self.unit}"
        if name == "outer_area":
            # Setting type is dear, so the sentence tells the other ranges.
            low, high = (rough(self.scale * end) for end in (amount.low, amount.high))
            text += f", {low} to {high}"
        return text

    def _fill(self, result: Any) -> None:
        litres, kind = result.bed.volume, result.kind
        wide = tray_width(litres.best)
        inches = TRAY_WIDE / wide
        low, best, high = (min(1000.0 * end / wide**2 * inches, TRAY_HIGH * 1.02) for end in litres)
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

    def _place_pieces(self, result: Any, inches: float, high: float) -> None:
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


def reach(kind: Any) -> float:
    """Return how far a kind's outline goes from its middle, along either axis."""
    return float(np.abs(outline(kind).vertices).max())


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
