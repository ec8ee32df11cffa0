"""A canister and its tank from the side: pump, hoses, bends and lift, in the looks of their heads.

The sketch is not to scale but in three things: how wide the hoses are, how long, and how high the
outlet stands above the water.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from matplotlib.artist import Artist
from matplotlib.axes import Axes

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import patch, rectangle, wall
from aqualib.lesson.drawing.words import Kept
from aqualib.parameters import parameter

# the sheet, in inches
WIDE, HIGH = 1.95, 4.6
TANK = 0.3, 2.75, 1.35, 0.75
"""Left, floor, width and depth of the water."""
CANISTER = 0.62, 0.3, 0.7, 0.95
HEAD = 0.24
"""Height of the canister's head with the pump in it."""
OUT, BACK = 0.13, 1.82
"""Where the hoses hang, across the sheet."""
LOWEST, LIFTED = 0.1, 0.62
"""Heights of the outlet above the water: the lowest, and how much higher the highest is."""
THIN, THICK, EDGE = 2.0, 8.0, 1.6
"""Points: the narrowest and the widest hose, and the two sides of its edge."""


class LoopSection:
    """Tank above, canister below, two hoses; parts in the looks of what they cost."""

    def __init__(self, axes: Axes, looks: Mapping[str, style.Look]) -> None:
        """Make the parts on axes measured in inches; `looks` are those of the parts of the loop."""
        left, floor, wide, deep = TANK
        water, glass = patch(axes, style.WATER, 0.35, 0.8), wall(axes)
        water.set_xy(rectangle(left, floor, wide, deep))
        glass.set_xy(rectangle(left, floor, wide, deep + 0.12))
        self._canister(axes, looks)
        # Two lines each: a pale hose has a dark edge.
        self.edges, self.hoses = (
            [axes.plot([], [], "-", color=colour, zorder=order)[0] for _ in range(2)]
            for colour, order in ((style.INK, 1.1), (looks["hose"].colour, 1.15))
        )
        (self.bends,) = axes.plot([], [], "o", color=looks["fittings"].colour, mec=style.INK, ms=6)
        self.bends.set_zorder(1.6)
        (self.lift,) = axes.plot([], [], "-", color=looks["lift"].colour, lw=5, zorder=0.9)
        self.lift_name = style.write(axes, 0.0, 0.0, "lift", size=0.9, ha="right")
        self.arrows = [
            axes.plot([], [], mark, color=style.BLUE, ms=8, zorder=1.7)[0] for mark in "v^"
        ]
        style.write(axes, OUT + 0.13, 2.0, "hose", size=0.9)
        parts: Sequence[Artist] = (
            self.lift, *self.edges, *self.hoses, self.bends, *self.arrows, self.lift_name,
        )  # fmt: skip
        self.kept = Kept(axes.figure, parts)

    @staticmethod
    def _canister(axes: Axes, looks: Mapping[str, style.Look]) -> None:
        left, floor, wide, high = CANISTER
        media, body = (patch(axes, looks[part], 0.85, 1.2) for part in ("media", "canister"))
        head = patch(axes, style.Look(style.PAPER), 1.0, 1.2)
        head.set(linewidth=2.5, edgecolor=style.PUMP.colour)
        body.set_xy(rectangle(left, floor, wide, high))
        media.set_xy(rectangle(left + 0.07, floor + 0.07, wide - 0.14, high - 0.14))
        media.set_zorder(1.3)
        head.set_xy(rectangle(left, floor + high, wide, HEAD))
        middle, pump = left + 0.5 * wide, floor + high + 0.5 * HEAD
        style.write(axes, middle, pump, "pump", 0.9, ha="center")
        style.write(
            axes, middle, floor + 0.5 * high, "media", 0.9, ha="center", bbox=style.ON_PAPER
        )
        style.write(axes, middle, floor - 0.15, "canister", 0.9, ha="center")

    def move(self, bore: float, elbows: float, lift: float) -> None:
        """Show hoses so wide (mm), with so many bends, and an outlet so high (m) over the water."""
        drawn = bore, elbows, lift
        if drawn == self.kept.key:
            return
        self.kept.key = drawn
        left, floor, wide, deep = TANK
        surface = floor + deep
        outlet = surface + LOWEST + LIFTED * lift / parameter("outlet_lift").high
        under, pump = CANISTER[1] + 0.12, CANISTER[1] + CANISTER[3] + 0.5 * HEAD
        # Over the rim and down into the canister; from the pump up to the outlet.
        inside, spout = left + 0.15, left + wide - 0.2
        rim = surface + 0.22
        down = [
            (inside, floor + 0.15), (inside, rim), (OUT, rim), (OUT, under), (CANISTER[0], under)
        ]  # fmt: skip
        up = [
            (CANISTER[0] + CANISTER[2], pump), (BACK, pump), (BACK, outlet), (spout, outlet),
            (spout, outlet - 0.12),
        ]  # fmt: skip
        row = parameter("hose_bore")
        share = (bore - row.low) / (row.high - row.low)
        for edge, hose, way in zip(self.edges, self.hoses, (down, up), strict=True):
            for line, more in ((edge, EDGE), (hose, 0.0)):
                line.set_data(*zip(*way, strict=True))
                line.set_linewidth(THIN + share * (THICK - THIN) + more)
        # As many as there is room for; the words beside tell the number.
        bends = [*down[1:-1], *up[1:-1]][: round(elbows)]
        self.bends.set_data([x for x, _ in bends], [y for _, y in bends])
        self.arrows[0].set_data([OUT], [1.6])
        self.arrows[1].set_data([BACK], [2.2])
        beside = spout - 0.12
        self.lift.set_data([beside, beside], [surface, outlet])
        self.lift.set_visible(lift > 0.0)
        self.lift_name.set_position((beside - 0.08, max(0.5 * (surface + outlet), surface + 0.2)))
        self.lift_name.set_visible(lift > 0.0)
