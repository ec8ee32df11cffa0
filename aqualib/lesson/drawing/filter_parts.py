"""Two parts of a canister filter, drawn large: the ring in its groove, and the impeller."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import Array, patch, rectangle

METAL, PLASTIC, RUBBER = (style.Look(grey) for grey in ("#BBBBBB", "#DDDDDD", "#999999"))
BLADES = 4
TURN = np.linspace(0.0, 2.0 * np.pi, 41)


class RingInGroove:
    """The ring of the lid in section: a round ring in its groove, pressed flat by the lid."""

    def __init__(self, axes: Axes, left: float, low: float) -> None:
        """Draw it with its lower left corner there, 170 wide and 80 high."""
        looks = (METAL, 1.1), (PLASTIC, 1.1), (RUBBER, 1.3), (style.WATER, 1.2)
        rim, lid, ring, fat = (patch(axes, look, 1.0, order) for look, order in looks)
        groove = [(0, 0), (170, 0), (170, 34), (110, 34), (110, 10), (60, 10), (60, 34), (0, 34)]
        rim.set_xy(np.array(groove, float) + np.array([left, low]))
        lid.set_xy(rectangle(left, low + 52.0, 170.0, 22.0))
        fat.set_xy(ellipse(left + 85.0, low + 30.0, 24.0, 21.0))
        ring.set_xy(ellipse(left + 85.0, low + 31.0, 21.0, 19.0))
        fat.set_edgecolor("none")
        self.words = [
            style.write(axes, left + 85.0, low + 63.0, "lid", 0.85, ha="center"),
            style.write(axes, left + 30.0, low + 17.0, "rim", 0.85, ha="center"),
            style.write(axes, left + 85.0, low + 31.0, "ring", 0.85, ha="center"),
        ]
        self.parts: Sequence[Artist] = (rim, lid, fat, ring, *self.words)


class Impeller:
    """The impeller beside its well: a round magnet on a shaft, with blades on top."""

    def __init__(self, axes: Axes, left: float, low: float) -> None:
        """Draw it with its lower left corner there, 170 wide and 80 high."""
        looks = (METAL, 1.1), (RUBBER, 1.2), (PLASTIC, 1.2)
        shaft, magnet, hub = (patch(axes, look, 1.0, order) for look, order in looks)
        shaft.set_xy(rectangle(left + 4.0, low + 36.0, 162.0, 8.0))
        magnet.set_xy(rectangle(left + 24.0, low + 18.0, 76.0, 44.0))
        hub.set_xy(rectangle(left + 104.0, low + 28.0, 8.0, 24.0))
        blades = [patch(axes, PLASTIC, 1.0, 1.2) for _ in range(BLADES)]
        for at, blade in enumerate(blades):
            blade.set_xy(rectangle(left + 114.0, low + 4.0 + 19.0 * at, 34.0, 13.0))
        self.words = [
            style.write(axes, left + 62.0, low + 40.0, "magnet", 0.85, ha="center"),
            style.write(axes, left + 131.0, low + 86.0, "blades", 0.85, ha="center"),
            style.write(axes, left + 4.0, low + 10.0, "shaft", 0.85),
        ]
        self.parts: Sequence[Artist] = (shaft, magnet, hub, *blades, *self.words)


def ellipse(x: float, y: float, across: float, up: float) -> Array:
    """Return an ellipse about a middle, with its half width and half height."""
    return np.column_stack([x + across * np.cos(TURN), y + up * np.sin(TURN)])
