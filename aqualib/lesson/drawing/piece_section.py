"""A piece of medium cut open, to scale: from its middle to its surface, the film, and the water."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes

from aqualib.filtration.porous_piece.piece import (
    CLOSED,
    DENITRIFYING,
    IDLE,
    KINDS,
    NITRIFYING,
    STARVED,
    Piece,
    Zone,
)
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import round_below
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.units import from_si, shown

# the sheet, in tenths of an inch
WIDTH, HEIGHT = 34.0, 46.0
LEFT, MIDDLE, LONG, BEYOND = 2.5, 19.0, 25.0, 5.5
"""The middle of the piece, the drawn length from there to the surface, and water beyond."""
TURN = np.radians(27.0)
HALF_WALL = 11.0
ROW, FIRST_ROW = 2.5, 33.0
NARROWEST = 9.0
"""A zone at least this long holds its own name."""
BRACKET = 6.2
LETTER = 0.76
"""About the width of a letter."""

LOOKS = {
    NITRIFYING: style.Look(style.AMMONIA.colour, "-", "", "//"),
    STARVED: style.Look(style.OXYGEN.colour),
    DENITRIFYING: style.Look(style.NITRATE.colour, "-", "", "xx"),
    IDLE: style.Look("#999999", "-", "", ".."),
    CLOSED: style.Look("#DDDDDD", "-", "", "oo"),
}
STRENGTH = {NITRIFYING: 0.55, STARVED: 0.25, DENITRIFYING: 0.45, IDLE: 0.45, CLOSED: 0.6}
SHORT = {
    NITRIFYING: "most of\nthe work",
    STARVED: "oxygen,\nlittle\nwork",
    DENITRIFYING: "no oxygen:\nremoves\nnitrate",
    IDLE: "no oxygen,\nno food:\nidle",
    CLOSED: "too narrow\nfor bacteria",
}


class PieceSection:
    """The moving parts of a slice: zones, the film's edge, their names, and a scale bar."""

    def __init__(self, axes: Axes) -> None:
        """Make the parts on a sheet."""
        self.water = patch(axes, style.WATER, 0.2, 0.9)
        self.water.set(edgecolor="none", linewidth=0.0)
        self.zones = {k: patch(axes, LOOKS[k], STRENGTH[k], 1.0) for k in KINDS}
        (self.edge,) = axes.plot([], [], "-", color=style.INK, lw=1.2, zorder=2.0)
        (self.leaders,) = axes.plot([], [], "-", color=style.INK, lw=0.7, zorder=2.1)
        self.names = {
            kind: style.write(axes, 0.0, 0.0, size=0.9, ha="center", bbox=style.ON_PAPER)
            for kind in KINDS
        }
        self.film = style.write(axes, 0.0, 0.0, size=0.9, ha="right")
        (self.bar,) = axes.plot([], [], "-", color=style.FAINT, lw=3)
        self.length = style.write(axes, 0.0, 0.0, size=0.85, color=style.FAINT)
        self.middle = style.write(
            axes, 0.0, 0.0, "middle", size=0.85, color=style.FAINT, bbox=style.ON_PAPER
        )
        style.write(
            axes, LEFT + LONG, BRACKET - 1.6, "larger on the right", 0.85, ha="right",
            color=style.FAINT,
        )  # fmt: skip
        self.wet = style.write(
            axes, LEFT + LONG + BEYOND / 2.0, MIDDLE, "water", size=0.85, ha="center"
        )
        self.artists: Sequence[Artist] = (
            self.water, *self.zones.values(), self.edge, self.leaders, *self.names.values(),
            self.film, self.bar, self.length, self.middle, self.wet,
        )  # fmt: skip
        self.lines: list[tuple[list[float], list[float]]] = []

    def move(self, piece: Piece, zones: Sequence[Zone], window: float) -> None:
        """Show a piece and its zones; lengths in m, `window` is the depth drawn larger beside."""
        self.piece, self.per_metre = piece, LONG / piece.outer
        self.water.set_xy(self._outline(piece.outer, piece.outer + BEYOND / self.per_metre))
        found = {zone.kind: zone for zone in zones}
        for kind, polygon in self.zones.items():
            zone = found.get(kind)
            polygon.set_visible(zone is not None)
            if zone is not None:
                polygon.set_xy(self._outline(piece.outer - zone.bottom, piece.outer - zone.top))
        self.edge.set_data(*self._across(piece.radius))
        self._name(found)
        self._measure(window)

    def _name(self, found: Mapping[str, Zone]) -> None:
        """Name each zone inside if there is room, else above, with a line to it."""
        self.lines, row = [], FIRST_ROW
        for kind, name in self.names.items():
            name.set_visible(kind in found)
        for zone in sorted(found.values(), key=lambda each: -float(each.top)):
            if (zone.bottom - zone.top) * self.per_metre >= NARROWEST:
                self._name_inside(zone)
            else:
                self._name_above(zone, row)
                row += ROW
        x, y = self._edge_at(self.piece.outer - self.piece.film / 2.0)
        self.film.set_text(f"film, {shown(from_si(self.piece.film, 'mm'), 'mm', 1)}")
        self.film.set_position((x + 0.9, row))
        self.lines.append(([x + 0.4, x + 0.4], [y, row - 1.0]))

    def _name_inside(self, zone: Zone) -> None:
        # Towards the outside, where a wedge is wider.
        at = self.piece.outer - 0.55 * zone.top - 0.45 * zone.bottom
        name = self.names[zone.kind]
        name.set_text(SHORT[zone.kind])
        name.set_ha("center")
        name.set_position((LEFT + at * self.per_metre, MIDDLE))

    def _name_above(self, zone: Zone, row: float) -> None:
        """Write a zone's name at a height, left of its line if there is room, else under it."""
        x, y = self._edge_at(self.piece.outer - (zone.top + zone.bottom) / 2.0)
        name, text = self.names[zone.kind], KINDS[zone.kind]
        name.set_text(text)
        if x > LETTER * len(text) * style.text_scale():
            name.set_ha("right")
            name.set_position((x - 0.6, row))
            self.lines.append(([x, x, x - 0.5], [y, row, row]))
        else:
            name.set_ha("left")
            name.set_position((0.5, row))
            self.lines.append(([x, x], [y, row - 1.1]))

    def _measure(self, window: float) -> None:
        """Draw the scale bar, and what is drawn larger beside."""
        surface = LEFT + LONG
        start = surface - window * self.per_metre
        tick = [BRACKET + 0.8, BRACKET, BRACKET, BRACKET + 0.8]
        self.lines.append(([start, start, surface, surface], tick))
        x, y = (
            [place for line in self.lines for place in (*line[axis], math.nan)] for axis in (0, 1)
        )
        self.leaders.set_data(x, y)
        bar = round_below(self.piece.outer / 3.0)
        end = LEFT + bar * self.per_metre
        self.bar.set_data([LEFT, end], [1.6, 1.6])
        self.length.set_text(shown(from_si(bar, "mm"), "mm", 1))
        self.length.set_position((end + 1.0, 1.6))
        flat = self.piece.dimensions == 1
        self.middle.set_position(
            (LEFT + 0.5, MIDDLE - HALF_WALL + 1.5) if flat else (LEFT - 1.0, MIDDLE - 2.6)
        )

    def _outline(self, inner: float, outer: float) -> Array:
        """Return the outline of what lies between two distances from the middle."""
        if self.piece.dimensions == 1:
            start, end = LEFT + inner * self.per_metre, LEFT + outer * self.per_metre
            return rectangle(start, MIDDLE - HALF_WALL, end - start, 2.0 * HALF_WALL)
        there, back = self._across(outer), self._across(inner)
        return np.column_stack([np.append(t, b[::-1]) for t, b in zip(there, back, strict=True)])

    def _across(self, distance: float) -> tuple[Array, Array]:
        """Return the line across the slice at a distance from the middle."""
        along = distance * self.per_metre
        if self.piece.dimensions == 1:
            return np.full(2, LEFT + along), MIDDLE + np.array([-HALF_WALL, HALF_WALL])
        turn = np.linspace(-TURN, TURN, 25)
        return LEFT + along * np.cos(turn), MIDDLE + along * np.sin(turn)

    def _edge_at(self, distance: float) -> tuple[float, float]:
        """Return the place on the upper edge of the slice at a distance from the middle."""
        x, y = self._across(distance)
        return float(x[-1]), float(y[-1])
