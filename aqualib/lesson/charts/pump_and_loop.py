"""The pump's curve against the loop's, where they cross, and where the head goes."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import scale, spread, step_above
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.units import display_unit, label, shown

WIDTHS = 750.0, 1500.0, 3000.0
"""Flows (L/h) that the axes may end with: few, since still parts are slow to draw."""
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
    "media": style.SOLIDS,
}


def ends(result: Any) -> tuple[float, float]:
    """Return the flow (L/h) and the head (m) with which the axes end for a pump."""
    return step_above(result.rated_flow, WIDTHS), step_above(result.rated_head, HEIGHTS)


class PumpAndLoop:
    """Lesson 06: two curves, the operating point, and a column of the head at that point."""

    size = (7.2, 4.6)

    def frame(self, result: Any) -> Hashable:
        """Return the ends of the axes."""
        return ends(result)

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw the axes; return the curves, the points and the column."""
        self.flow_scale, self.head_scale = scale("L/h"), scale("m")
        wide, high = ends(result)
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

    def update(self, result: Any) -> None:
        """Move the loop's curves, the points and the column."""
        x = result.flows * self.flow_scale
        self._move_pump(x, result)
        self.clean.set_data(x, result.clean_heads * self.head_scale)
        self.loop.set_data(x, result.loop_heads * self.head_scale)
        at, up = result.flow * self.flow_scale, result.head * self.head_scale
        self.point.set_data([at], [up])
        self.clean_point.set_data(
            [result.clean_flow * self.flow_scale], [result.clean_head * self.head_scale]
        )
        self.drop.set_data([at, at, self.wide], [0.0, up, up])
        self._name_curves(x, result)
        self.reading.set_text(shown(result.flow, "L/h").replace(" (", "\n("))
        # Beside the point, where neither curve runs: below it, on the side with more room.
        right = at < 0.35 * self.wide
        self.reading.set_ha("left" if right else "right")
        aside = 0.03 * self.wide
        self.reading.set_position(
            (at + (aside if right else -aside), max(0.5 * up, 0.09 * self.high))
        )
        self._stack(result)

    def _pump(self, axes: Any) -> list[Artist]:
        (self.pump,) = axes.plot([], [], style.PUMP.dash, color=style.PUMP.colour, lw=2.5)
        self.pump_name = style.write(axes, 0.0, 0.0, "pump", weight="bold")
        (self.box,) = axes.plot([], [], "--", color=style.ORANGE, lw=2)
        (self.box_mark,) = axes.plot([], [], "v", ms=11, color=style.ORANGE, mec="white")
        self.box_mark.set(clip_on=False, zorder=6)
        self.box_name = style.write(axes, 0.0, 0.95 * self.high, size=0.9)
        return [self.pump, self.pump_name, self.box, self.box_mark, self.box_name]

    def _move_pump(self, x: Any, result: Any) -> None:
        y = result.pump_heads * self.head_scale
        self.pump.set_data(x, y)
        middle = len(x) // 2
        beside = 0.02 * self.wide, 0.035 * self.high
        self.pump_name.set_position((x[middle] + beside[0], y[middle] + beside[1]))
        self.box.set_data(x[[-1, -1]], [0.0, self.high])
        self.box_mark.set_data(x[-1:], [0.0])
        self.box_name.set_text(f"on the box:\n{shown(result.rated_flow, 'L/h')}")
        right = x[-1] < 0.55 * self.wide
        self.box_name.set_ha("left" if right else "right")
        self.box_name.set_x(x[-1] + (0.02 if right else -0.02) * self.wide)

    def _column(self, figure: Figure) -> list[Artist]:
        side = figure.add_axes((0.65, 0.135, 0.34, 0.845))
        side.set_axis_off()
        side.set_xlim(0.0, 1.0)
        side.set_ylim(0.0, self.high)
        self.blocks = {part: patch(side, look) for part, look in PARTS.items()}
        self.names = {part: style.write(side, 0.36, 0.0, size=0.9) for part in PARTS}
        return [*self.blocks.values(), *self.names.values()]

    def _stack(self, result: Any) -> None:
        floor, middles = 0.0, []
        for part, block in self.blocks.items():
            height = getattr(result, part) * self.head_scale
            block.set_xy(rectangle(0.08, floor, 0.22, height))
            middles.append(floor + height / 2.0)
            floor += height
        metric = self.head_scale == 1.0
        line = LABEL_GAP * style.points() / style.POINTS * self.high
        gap = line if metric else 1.9 * line
        lowest = [max(middle, 0.4 * gap) for middle in middles]
        places = spread(lowest, gap, self.high - 0.5 * gap)
        for (part, name), y in zip(self.names.items(), places, strict=True):
            name.set_position((0.36, y))
            between = " " if metric else "\n"
            name.set_text(f"{part}{between}{shown(getattr(result, part), 'm', 2)}")

    def _name_curves(self, x: Any, result: Any) -> None:
        """Write the loop's names where its curves leave the axes; one name if they are one."""
        places = []
        for name, heads in ((self.name, result.loop_heads), (self.clean_name, result.clean_heads)):
            y = heads * self.head_scale
            inside = np.flatnonzero(y < 0.86 * self.high)
            last = min(int(inside[-1]) if inside.size else 0, len(x) - 2)
            places.append((x[last], y[last]))
            right = x[last] < 0.3 * self.wide or name is self.clean_name
            name.set_ha("left" if right else "right")
            name.set_position((x[last] + (0.03 if right else -0.03) * self.wide, y[last]))
        (now_x, now_y), (clean_x, clean_y) = places
        apart = (now_x - clean_x) / self.wide, (now_y - clean_y) / self.high
        self.clean_name.set_visible(max(map(abs, apart)) > 0.08)
