"""The housing of an ultraviolet lamp in section, to scale, and the light that fades in it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_rgb

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.units import shown

# the sheet, in millimetres of housing; the lamp's axis is at 0, its lit part begins at 0
HALF_WIDTH = 100.0
LOW, HIGH = -47.0, 252.0
WALL = 4.0
CAP = 12.0
PORT, PORT_LENGTH = 20.0, 26.0
SCALE_BAR = 50.0

PALE = style.Look("#B2DCF4")
"""Water without light: sky blue, thinned."""
WATER, LIGHT = (np.array(to_rgb(colour)) for colour in (PALE.colour, style.YELLOW))


ENDS = ("in", "out")


class ChamberSection:
    """The moving parts: shell, water tinted by its light, sleeve, lamp and the water's way."""

    def __init__(self, axes: Axes, inner: float, length: float, strips: int) -> None:
        """Make the parts on axes measured in millimetres."""
        self.inner, self.length = inner, length
        self.shell = patch(axes, style.Look("#CCCCCC"), 1.0, 1.0)
        self.ports = [patch(axes, PALE, 1.0, 1.1) for _ in range(2)]
        self.water = patch(axes, PALE, 1.0, 1.2)
        self.lit = PolyCollection([np.zeros((4, 2))] * (2 * strips), edgecolors="none", zorder=1.3)
        self.lit.set_antialiased(False)
        axes.add_collection(self.lit, autolim=False)
        self.sleeve = patch(axes, style.Look(style.PAPER), 1.0, 1.4)
        self.sleeve.set_xy(rectangle(-inner, -CAP / 2.0, 2.0 * inner, length + CAP + 22.0))
        self.lamp = patch(axes, style.Look(style.YELLOW), 1.0, 1.5)
        self.lamp.set_xy(rectangle(-0.6 * inner, 0.0, 1.2 * inner, length))
        self.head = patch(axes, style.Look(style.GLASS), 1.0, 1.6)
        self.head.set_xy(rectangle(-1.1 * inner, length + CAP + 10.0, 2.2 * inner, 12.0))
        self.paths = [axes.plot([], [], "-", color=style.BLUE, lw=2, zorder=1.7)[0] for _ in "io"]
        self.arrows = [
            axes.plot([], [], mark, color=style.BLUE, ms=8, zorder=1.8)[0] for mark in "^>"
        ]
        self.ends = [style.write(axes, 0.0, 0.0, word, size=0.9, ha="center") for word in ENDS]
        self.artists: Sequence[Artist] = (
            self.shell, *self.ports, self.water, self.lit, self.sleeve, self.lamp, self.head,
            *self.paths, *self.arrows, *self.ends,
        )  # fmt: skip

    def move(self, radii: Array, strength: Array) -> None:
        """Show a shell, with the light's strength (0 to 1) at each radius in mm."""
        outer = float(radii[-1])
        wide, tall = outer + WALL, self.length + 2.0 * CAP
        self.shell.set_xy(rectangle(-wide, -CAP - WALL, 2.0 * wide, tall + 2.0 * WALL))
        self.water.set_xy(rectangle(-outer, -CAP, 2.0 * outer, tall))
        self._tint(radii[::2], strength[::2])
        bottom, top = 2.0, self.length - PORT - 2.0
        self.ports[0].set_xy(rectangle(-wide - PORT_LENGTH, bottom, PORT_LENGTH + WALL, PORT))
        self.ports[1].set_xy(rectangle(outer, top, PORT_LENGTH + WALL, PORT))
        self._lead_water(outer, bottom + PORT / 2.0, top + PORT / 2.0)

    def _tint(self, radii: Array, strength: Array) -> None:
        left, width = radii[:-1], np.diff(radii)
        middle = (strength[:-1] + strength[1:]) / 2.0
        colours = WATER + middle[:, None] ** 0.7 * (LIGHT - WATER)
        right_side = [rectangle(a, 0.0, w, self.length) for a, w in zip(left, width, strict=True)]
        mirror = np.array([-1.0, 1.0])
        self.lit.set_verts([*right_side, *(strip * mirror for strip in right_side)])
        self.lit.set_facecolor([tuple(colour) for colour in (*colours, *colours)])

    def _lead_water(self, outer: float, low: float, high: float) -> None:
        """Draw the water's way: in below, up on both sides of the sleeve, out above."""
        middle, end = (self.inner + outer) / 2.0, outer + WALL + PORT_LENGTH
        self.paths[0].set_data([-end, -middle, -middle], [low, low, high])
        self.paths[1].set_data([middle, middle, end], [low, high, high])
        centre = self.length / 2.0
        self.arrows[0].set_data([-middle, middle], [centre, centre])
        self.arrows[1].set_data([6.0 - end, end - 6.0], [low, high])
        for side, name, level in zip((-1.0, 1.0), self.ends, (low, high), strict=True):
            name.set_position((side * (outer + WALL + PORT_LENGTH / 2.0), level + PORT))


def label_section(axes: Axes, length: float) -> None:
    """Write the still words: what the lamp is, and the scale."""
    style.write(axes, 0.0, length + CAP + 33.0, "lamp in a quartz sleeve", size=0.9, ha="center")
    axes.plot([-SCALE_BAR / 2.0, SCALE_BAR / 2.0], [-28.0] * 2, "|-", color=style.INK, lw=1.2)
    text = f"{shown(SCALE_BAR, 'mm', 2)}, to scale"
    style.write(axes, 0.0, -42.0, text, size=0.9, ha="center")
