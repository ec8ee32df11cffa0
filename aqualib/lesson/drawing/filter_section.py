"""A filter in cross-section, to scale: the water's path, the trays, and the dirt in them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_rgb

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import Array, patch, rectangle, wall

# the sheet, in millimetres of filter
SHEET_WIDTH, SHEET_HEIGHT = 640.0, 352.0
FLOOR = 24.0
MIDDLE = 213.0
TRAY_GAP = 6.0
HEAD = 46.0
PIPE = 20.0
ABOVE = 26.0
WALL = 4.0

DIRT = to_rgb(style.SOLIDS.colour)
DARKEST = 0.6
"""Strength of the grey behind a layer that is quite full."""
SPONGE = "#FBF7CF"
"""Yellow, thinned."""

# The finer the pad, the closer its dots.
PADS = {
    "coarse": style.Look(SPONGE, "-", "", "o"),
    "medium": style.Look(SPONGE, "-", "", "oo"),
    "fine": style.Look(SPONGE, "-", "", "...."),
    "empty": style.Look("none"),
}


class FilterSection:
    """The moving parts of a canister filter: settling space below, trays above, the pump on top."""

    def __init__(self, axes: Axes, trays: int) -> None:
        """Make the parts on axes measured in millimetres."""
        self.water = patch(axes, style.WATER, 0.3, 1.0)
        self.wall = wall(axes, 1.6, 2.5)
        self.head = patch(axes, style.Look("#DDDDDD"), 1.0, 1.1)
        self.pads = [patch(axes, PADS["empty"], 1.0, 1.2) for _ in range(trays)]
        self.shade = PolyCollection([], zorder=1.25, edgecolor="none")
        axes.add_collection(self.shade)
        self.dirt = [patch(axes, style.SOLIDS, 0.9, 1.3) for _ in range(trays + 1)]
        self.pipe = patch(axes, style.Look(style.PAPER), 1.0, 1.4)
        (self.path,) = axes.plot([], [], "-", color=style.BLUE, lw=2, zorder=1.7)
        self.arrows = [
            axes.plot([], [], mark, color=style.BLUE, ms=9, zorder=1.8)[0] for mark in "v>^"
        ]
        self.names = [
            style.write(axes, 0.0, 0.0, ha="center", bbox={**style.ON_PAPER, "alpha": 1.0})
            for _ in range(trays + 1)
        ]
        self.pump = style.write(axes, 0.0, 0.0, "pump", ha="center")
        self.ends = [
            style.write(axes, 0.0, 0.0, word, size=0.9, color=style.FAINT, ha=side)
            for word, side in (("in", "right"), ("out, to the tank", "left"))
        ]
        self.kept: Sequence[Artist] = (
            self.water, self.head, *self.pads, self.pipe, self.wall, self.pump, *self.ends,
        )  # fmt: skip
        self.moving: Sequence[Artist] = (
            self.shade,
            *self.dirt,
            self.path,
            *self.arrows,
            *self.names,
        )
        self.floors: list[float] = []

    def move(
        self,
        width: float,
        settling: float,
        depth: float,
        grades: Sequence[str],
        filled: Sequence[Sequence[float]],
        edges: Sequence[float],
    ) -> None:
        """Show a filter, all in mm: what each place holds, from below.

        `filled` is the share of its room that is full in each layer of a place; `edges` are where
        the layers of a pad end, from below. Each layer of dirt reaches across its pad as far as it
        is full, and is the darker the fuller.
        """
        left = MIDDLE - width / 2.0
        self.floors = stage_floors(settling, depth, len(self.pads))
        lid = self.floors[-1] + depth + TRAY_GAP
        self._build(left, width, lid)
        self._lay_pads(left, width, depth, grades)
        heights = [settling, *[depth] * len(self.pads)]
        self._settle(left, width, settling, filled[0])
        self._fill_pads(left + PIPE, width - PIPE, filled[1:], np.asarray(edges))
        for at, (name, height) in enumerate(zip(self.names, heights, strict=True)):
            # The name stands above the water's way across the settling space, and above the face
            # of a pad, where its dirt is.
            name.set_position((MIDDLE - 0.18 * width + PIPE, self.floors[at] + 0.7 * height))
            name.set_text(f"{at}: {grades[at]}" if at else grades[at])
        self._lead_water(left, width, settling, lid)

    def _build(self, left: float, width: float, lid: float) -> None:
        self.water.set_xy(rectangle(left, FLOOR, width, lid - FLOOR))
        around = left - WALL, FLOOR - WALL
        self.wall.set_xy(rectangle(*around, width + 2 * WALL, lid + HEAD - FLOOR + WALL))
        self.head.set_xy(rectangle(left, lid, width, HEAD))
        self.pump.set_position((MIDDLE, lid + HEAD / 2.0))

    def _lay_pads(self, left: float, width: float, depth: float, grades: Sequence[str]) -> None:
        for pad, floor, grade in zip(self.pads, self.floors[1:], grades[1:], strict=True):
            look = PADS[grade]
            pad.set_facecolor(look.colour)
            pad.set_hatch(look.hatch)
            pad.set_xy(rectangle(left + PIPE, floor, width - PIPE, depth))

    def _settle(self, left: float, width: float, settling: float, filled: Sequence[float]) -> None:
        tall = min(filled[0], 1.0) * settling
        self.dirt[0].set_xy(rectangle(left, self.floors[0], width, tall))
        self.dirt[0].set_visible(tall > 0.0)

    def _fill_pads(
        self, left: float, width: float, filled: Sequence[Sequence[float]], edges: Array
    ) -> None:
        strips: list[Array] = []
        shades: list[float] = []
        for dirt, floor, shares in zip(self.dirt[1:], self.floors[1:], filled, strict=True):
            there = len(shares) > 0 and max(shares) > 0.0
            dirt.set_visible(there)
            if there:
                dirt.set_xy(stairs(left, width, floor + edges, shares))
                strips += [
                    rectangle(left, floor + low, width, high - low) for low, high in pairwise(edges)
                ]
                shades += shares
        self.shade.set_verts(strips)
        self.shade.set_facecolor([(*DIRT, DARKEST * min(share, 1.0)) for share in shades])

    def _lead_water(self, left: float, width: float, settling: float, lid: float) -> None:
        """Draw the way of the water: down the pipe, across the settling space, up and out."""
        down, up = left + PIPE / 2.0, MIDDLE + 0.22 * width
        top, low = lid + HEAD + ABOVE, FLOOR + 0.25 * settling
        end = FLOOR + 0.8 * settling
        self.pipe.set_xy(rectangle(left, end, PIPE, lid - end))
        self.path.set_data([down, down, up, up, up], [top, low, low, lid, top])
        rise = [floor - TRAY_GAP / 2.0 for floor in self.floors[1:]] + [lid + HEAD + ABOVE / 2.0]
        self.arrows[0].set_data([down, down], [lid + HEAD + ABOVE / 2.0, (lid + FLOOR) / 2.0])
        self.arrows[1].set_data([(down + up) / 2.0], [low])
        self.arrows[2].set_data(np.full(len(rise), up), rise)
        self.ends[0].set_position((down - 6.0, top - 6.0))
        self.ends[1].set_position((up + 8.0, top - 6.0))


def stairs(left: float, width: float, edges: Array, shares: Sequence[float]) -> Array:
    """Return the outline of layers that each reach across a pad as far as they are full."""
    right = left + width * np.repeat(np.minimum(shares, 1.0), 2)
    heights = np.repeat(edges, 2)[1:-1]
    outline = np.column_stack([right, heights])
    return np.concatenate([outline, [[left, edges[-1]], [left, edges[0]]]])


def stage_floors(settling: float, depth: float, trays: int) -> list[float]:
    """Return the height of the settling space's floor and of each tray's, in mm on the sheet."""
    first = FLOOR + settling + TRAY_GAP
    return [FLOOR, *(first + place * (depth + TRAY_GAP) for place in range(trays))]
