"""A canister filter in cross-section, to scale: the water's way, the trays, the dirt in them.

The water enters through the head on top, goes down a pipe at the side into the settling space,
rises through the trays over their whole width and leaves through the head, which holds the motor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_rgb

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import Array, arrow, patch, rectangle, wall

# the sheet, in millimetres of filter
SHEET_WIDTH, SHEET_HEIGHT = 640.0, 352.0
RIM, CORNER = 7.0, 16.0
"""Height of the seal between body and head, and how far the round corners reach."""
MOTOR = 0.3
"""Width of the motor over that of the filter."""
STUB, VALVE = 12.0, 7.0
"""Half the width of a valve over a stub, and its height."""
RISES = 0.22, 0.5, 0.78
"""Where the water is drawn rising, over the width of the trays."""
MOST_FLOW, WIDEST = 1400.0, 16.0
"""L/h, and the width of an arrow that stands for so much."""
TRAY = 3.0
"""How far the walls of a tray stand under and over its pad."""
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
        self.motor = patch(axes, style.Look("#BBBBBB"), 1.0, 1.15)
        self.fittings = PolyCollection([], zorder=1.12, facecolor="#DDDDDD", edgecolor=style.GLASS)
        axes.add_collection(self.fittings)
        (self.trays,) = axes.plot([], [], "-", color=style.GLASS, lw=1.5, zorder=1.35)
        (self.open_floors,) = axes.plot([], [], ":", color=style.GLASS, lw=1.5, zorder=1.35)
        self.pads = [patch(axes, PADS["empty"], 1.0, 1.2) for _ in range(trays)]
        self.shade = PolyCollection([], zorder=1.25, edgecolor="none")
        axes.add_collection(self.shade)
        self.dirt = [patch(axes, style.SOLIDS, 0.9, 1.3) for _ in range(trays + 1)]
        self.pipe = patch(axes, style.Look(style.PAPER), 1.0, 1.4)
        self.arrows = PolyCollection([], zorder=1.7, facecolor=style.BLUE, edgecolor="none")
        self.arrows.set_alpha(0.65)
        axes.add_collection(self.arrows)
        self.names = [
            style.write(axes, 0.0, 0.0, ha="center", bbox={**style.ON_PAPER, "alpha": 1.0})
            for _ in range(trays + 1)
        ]
        self.pump = style.write(axes, 0.0, 0.0, "pump", ha="center", size=0.9)
        self.ends = [
            style.write(axes, 0.0, 0.0, word, size=0.9, color=style.FAINT)
            for word in ("in", "out, to the tank")
        ]
        self.kept: Sequence[Artist] = (
            self.water, self.fittings, self.head, self.motor, *self.pads, self.trays,
            self.open_floors, self.pipe, self.wall, self.pump, *self.ends,
        )  # fmt: skip
        self.moving: Sequence[Artist] = (self.shade, *self.dirt, self.arrows, *self.names)
        self.floors: list[float] = []

    def move(
        self,
        width: float,
        settling: float,
        depth: float,
        grades: Sequence[str],
        filled: Sequence[Sequence[float]],
        edges: Sequence[float],
        flow: float,
    ) -> None:
        """Show a filter, all in mm, with a flow in L/h: what each place holds, from below.

        `filled` is the share of its room that is full in each layer of a place; `edges` are where
        the layers of a pad end, from below. Each layer of dirt reaches across its pad as far as it
        is full, and is the darker the fuller.
        """
        left = MIDDLE - width / 2.0
        self.floors = stage_floors(settling, depth, len(self.pads))
        lid = self.floors[-1] + depth + TRAY_GAP
        self._build(left, width, lid)
        self._lay_pads(left, width, depth, grades)
        self._wall_trays(left, width, depth)
        heights = [settling, *[depth] * len(self.pads)]
        self._settle(left, width, settling, filled[0])
        self._fill_pads(left + PIPE, width - PIPE, filled[1:], np.asarray(edges))
        for at, (name, height) in enumerate(zip(self.names, heights, strict=True)):
            # Above the face of a pad, where its dirt is.
            name.set_position((MIDDLE + PIPE / 2.0, self.floors[at] + 0.7 * height))
            name.set_text(f"{at}: {grades[at]}" if at else grades[at])
        self._lead_water(left, width, settling, lid, flow)

    def _build(self, left: float, width: float, lid: float) -> None:
        self.water.set_xy(rounded(left, FLOOR, width, lid - FLOOR, bottom=CORNER))
        body = lid + HEAD - FLOOR + WALL
        around = rounded(left - WALL, FLOOR - WALL, width + 2 * WALL, body, CORNER + WALL, CORNER)
        self.wall.set_xy(around)
        self.head.set_xy(rounded(left, lid, width, HEAD, top=CORNER - WALL))
        motor = MOTOR * width
        self.motor.set_xy(rounded(MIDDLE - motor / 2.0, lid + 5.0, motor, HEAD - 12.0, 4.0, 4.0))
        self.pump.set_position((MIDDLE, lid + HEAD / 2.0))
        top = lid + HEAD
        seal = rectangle(left - 2.5 * WALL, lid - RIM / 2.0, width + 5.0 * WALL, RIM)
        clips = [rectangle(x, lid - 14.0, 6.0, 30.0) for x in (left - 11.0, left + width + 5.0)]
        stubs = [rectangle(x - PIPE / 2.0, top, PIPE, ABOVE - 8.0) for x in _stubs(left, width)]
        valves = [rectangle(x - STUB, top + 3.0, 2.0 * STUB, VALVE) for x in _stubs(left, width)]
        self.fittings.set_verts([seal, *clips, *stubs, *valves])

    def _wall_trays(self, left: float, width: float, depth: float) -> None:
        """Draw the walls of the trays, and their floors, which are open."""
        ends = left + PIPE, left + width
        x: list[float] = []
        y: list[float] = []
        for floor in self.floors[1:]:
            for side in ends:
                x += [side, side, math.nan]
                y += [floor - TRAY, floor + depth + TRAY, math.nan]
        self.trays.set_data(x, y)
        floors = [[floor - TRAY] * 2 + [math.nan] for floor in self.floors[1:]]
        self.open_floors.set_data([*ends, math.nan] * len(floors), np.ravel(floors))

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

    def _lead_water(
        self, left: float, width: float, settling: float, lid: float, flow: float
    ) -> None:
        """Draw the way of the water; the arrows are the wider, the more of it there is."""
        down, out = _stubs(left, width)
        top, end = lid + HEAD + ABOVE, FLOOR + 0.8 * settling
        self.pipe.set_xy(rectangle(left, end, PIPE, lid + HEAD - end))
        shaft = WIDEST * min(flow / MOST_FLOW, 1.0)
        trays = left + PIPE, width - PIPE
        low, high = FLOOR + 0.35 * settling, lid - 1.0
        rises = [(trays[0] + share * trays[1]) for share in RISES]
        self.arrows.set_verts(
            [
                arrow((down, top), (down, end + 2.0), shaft),
                *(arrow((x, low), (x, high), shaft) for x in rises),
                arrow((out, lid + HEAD - 10.0), (out, top + 4.0), shaft),
            ]
        )
        self.ends[0].set_position((down + STUB + 4.0, top - 8.0))
        self.ends[1].set_position((out + STUB + 4.0, top - 8.0))


def _stubs(left: float, width: float) -> tuple[float, float]:
    """Return where the stubs for the hoses stand on the head: in, and out."""
    return left + PIPE / 2.0, left + 0.82 * width


def rounded(
    left: float, low: float, width: float, high: float, bottom: float = 0.0, top: float = 0.0
) -> Array:
    """Return a rectangle whose lower and upper corners are round, with these radii."""
    quarter = np.linspace(0.0, np.pi / 2.0, 7)
    right, up = left + width, low + high
    outline = []
    for x, y, radius, turn in (
        (left + bottom, low + bottom, bottom, np.pi),
        (right - bottom, low + bottom, bottom, 1.5 * np.pi),
        (right - top, up - top, top, 0.0),
        (left + top, up - top, top, 0.5 * np.pi),
    ):
        angle = quarter + turn
        outline.append(np.column_stack([x + radius * np.cos(angle), y + radius * np.sin(angle)]))
    return np.concatenate(outline)


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
