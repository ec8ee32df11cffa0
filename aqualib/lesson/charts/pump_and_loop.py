"""Lesson 06: the pump's curve against the loop's, where they cross, and where the head goes."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import FLOW_ENDS, scale, spread, step_above
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.units import display_unit, label, shown

HEIGHTS = 1.0, 2.5, 4.0
"""Heads (m) that the axes may end with."""
ROOM = 1.06, 1.14
"""Width and height of the axes over these."""
LABEL_GAP = 0.065
"""Least distance between the lines beside the column, as a share of the axes' height."""
# part of the loop -> its look, from the bottom up
PARTS = {
    "lift": style.Look(style.YELLOW, "-", "", "--"),
    "hose": style.Look(style.SKY_BLUE),
    "fittings": style.Look(style.REDDISH_PURPLE, "-", "", ".."),
    "canister": style.Look(style.BLUISH_GREEN, "-", "", "++"),
    "media": style.SOLIDS,
}


@dataclass(frozen=True, slots=True)
class Delivery:
    """What a pump delivers: flows in L/h, heads in m, bore in mm, length in m."""

    rated_flow: float
    rated_head: float
    bore: float
    length: float
    elbows: float
    pores: float
    clogging: float
    flow: float
    head: float
    clean_flow: float
    clean_head: float
    lift: float
    hose: float
    fittings: float
    canister: float
    media: float
    flows: Array
    pump_heads: Array
    loop_heads: Array
    clean_heads: Array

    @property
    def ends(self) -> tuple[float, float]:
        """The flow (L/h) and the head (m) with which the axes end."""
        return step_above(self.rated_flow, FLOW_ENDS), step_above(self.rated_head, HEIGHTS)


class PumpAndLoop(Chart[Delivery]):
    """Two curves, the operating point, and a column of the head at that point."""

    size = (7.2, 4.6)

    def frame(self, delivery: Delivery) -> Hashable:
        """Return the ends of the axes."""
        return delivery.ends

    def build(self, figure: Figure, delivery: Delivery) -> list[Artist]:
        """Draw the axes; return the curves, the points and the column."""
        self.flow_scale, self.head_scale = scale("L/h"), scale("m")
        wide, high = delivery.ends
        self.wide = ROOM[0] * wide * self.flow_scale
        self.high = ROOM[1] * high * self.head_scale
        axes = figure.add_axes((0.1, 0.135, 0.55, 0.845))
        units = label(display_unit("L/h")), label(display_unit("m"))
        style.dress(axes, f"flow, {units[0]}", f"head, {units[1]} of water")
        axes.set_xlim(0.0, self.wide)
        axes.set_ylim(0.0, self.high)
        pump = self._pump(axes)
        (self.clean,) = axes.plot([], [], ":", color=style.FAINT, lw=2)
        (self.loop,) = axes.plot([], [], style.LOOP.dash, color=style.LOOP.colour, lw=2.5)
        (self.clean_point,) = axes.plot([], [], "o", ms=8, mfc="white", mec=style.FAINT, mew=1.5)
        (self.drop,) = axes.plot([], [], "-", color=style.FAINT, lw=0.8)
        (self.point,) = axes.plot([], [], "o", ms=12, color=style.BLUE, mec="white", zorder=5)
        self.reading = style.write(axes, 0.0, 0.0, weight="bold", bbox=style.ON_PAPER)
        self.name = style.write(
            axes, 0.0, 0.0, "loop now", color=style.LOOP.colour, bbox=style.ON_PAPER
        )
        self.clean_name = style.write(
            axes, 0.0, 0.0, "clean", color=style.FAINT, ha="left", bbox=style.ON_PAPER
        )
        column = self._column(figure)
        lines = [self.clean, self.loop, self.drop, self.clean_point, self.point]
        return [*column, *pump, *lines, self.clean_name, self.name, self.reading]

    def update(self, delivery: Delivery) -> None:
        """Move the loop's curves, the points and the column."""
        x = delivery.flows * self.flow_scale
        self._move_pump(x, delivery)
        self.clean.set_data(x, delivery.clean_heads * self.head_scale)
        self.loop.set_data(x, delivery.loop_heads * self.head_scale)
        at, up = delivery.flow * self.flow_scale, delivery.head * self.head_scale
        self.point.set_data([at], [up])
        self.clean_point.set_data(
            [delivery.clean_flow * self.flow_scale], [delivery.clean_head * self.head_scale]
        )
        self.drop.set_data([at, at, self.wide], [0.0, up, up])
        self._name_curves(x, delivery)
        self.reading.set_text(shown(delivery.flow, "L/h").replace(" (", "\n("))
        # Beside the point, where neither curve runs: below it, on the side with more room.
        below = max(0.5 * up, 0.09 * self.high)
        self.reading.stand_beside(at, below, 0.03 * self.wide, right=at < 0.35 * self.wide)
        self._stack(delivery)

    def _pump(self, axes: Axes) -> list[Artist]:
        (self.pump,) = axes.plot([], [], style.PUMP.dash, color=style.PUMP.colour, lw=2.5)
        self.pump_name = style.write(axes, 0.0, 0.0, "pump", weight="bold")
        (self.box,) = axes.plot([], [], "--", color=style.ORANGE, lw=2)
        (self.box_mark,) = axes.plot([], [], "v", ms=11, color=style.ORANGE, mec="white")
        self.box_mark.set(clip_on=False, zorder=6)
        self.box_name = style.write(axes, 0.0, 0.0, size=0.9)
        return [self.pump, self.pump_name, self.box, self.box_mark, self.box_name]

    def _move_pump(self, x: Array, delivery: Delivery) -> None:
        y = delivery.pump_heads * self.head_scale
        self.pump.set_data(x, y)
        # On the side of the crossing where there is more room.
        early = delivery.flow > 0.4 * delivery.rated_flow
        at = len(x) // 4 if early else 5 * len(x) // 8
        beside = 0.02 * self.wide, 0.035 * self.high
        self.pump_name.set_position((x[at] + beside[0], y[at] + beside[1]))
        self.box.set_data(x[[-1, -1]], [0.0, self.high])
        self.box_mark.set_data(x[-1:], [0.0])
        box = shown(delivery.rated_flow, "L/h").replace(" (", "\n(")
        self.box_name.set_text(f"on the box:\n{box}")
        right = bool(x[-1] < 0.77 * self.wide)
        self.box_name.stand_beside(x[-1], 0.95 * self.high, 0.02 * self.wide, right=right)

    def _column(self, figure: Figure) -> list[Artist]:
        side = figure.add_axes((0.65, 0.135, 0.34, 0.845))
        side.set_axis_off()
        side.set_xlim(0.0, 1.0)
        side.set_ylim(0.0, self.high)
        self.blocks = {part: patch(side, look) for part, look in PARTS.items()}
        self.names = {part: style.write(side, 0.36, 0.0, size=0.9) for part in PARTS}
        return [*self.blocks.values(), *self.names.values()]

    def _stack(self, delivery: Delivery) -> None:
        floor, middles = 0.0, []
        for part, block in self.blocks.items():
            height = getattr(delivery, part) * self.head_scale
            block.set_xy(rectangle(0.08, floor, 0.22, height))
            middles.append(floor + height / 2.0)
            floor += height
        metric = self.head_scale == 1.0
        line = LABEL_GAP * style.text_scale() * self.high
        gap = line if metric else 1.9 * line
        lowest = [max(middle, 0.4 * gap) for middle in middles]
        places = spread(lowest, gap, self.high - 0.5 * gap)
        for (part, name), y in zip(self.names.items(), places, strict=True):
            name.set_position((0.36, y))
            between = " " if metric else "\n"
            name.set_text(f"{part}{between}{shown(getattr(delivery, part), 'm', 2)}")

    def _name_curves(self, x: Array, delivery: Delivery) -> None:
        """Write the loop's names where its curves leave the axes; one name if they are one."""
        now_x, now_y = self._leaves(x, delivery.loop_heads, 0.86)
        clean_x, clean_y = self._leaves(x, delivery.clean_heads, 0.66)
        aside = 0.03 * self.wide
        self.name.stand_beside(now_x, now_y, aside, right=now_x < 0.3 * self.wide)
        self.clean_name.stand_beside(clean_x, clean_y, aside, right=True)
        side_by_side = np.interp(clean_y, delivery.loop_heads * self.head_scale, x)
        self.clean_name.set_visible(bool(clean_x - side_by_side > 0.04 * self.wide))

    def _leaves(self, x: Array, heads: Array, share: float) -> tuple[float, float]:
        """Return the last place of a curve that has room for its name, so far up the axes."""
        y = heads * self.head_scale
        inside = np.flatnonzero(y < share * self.high)
        last = min(int(inside[-1]) if inside.size else 0, len(x) - 2)
        return float(x[last]), float(y[last])
