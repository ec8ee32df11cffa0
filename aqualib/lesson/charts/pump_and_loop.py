"""The pump's curve against the loop's, where they cross, and where the head goes."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.charts import style
from aqualib.lesson.charts.shapes import patch, rectangle
from aqualib.units import display_unit, label, line_to, shown

ROOM = 1.06
"""Height and width of the axes over the numbers on the box."""
LABEL_GAP = 0.075
"""Least distance between the names beside the column, as a share of the axes' height."""

# part of the loop -> its look, from the bottom up
PARTS = {
    "lift": style.Look(style.YELLOW, "-", "", "--"),
    "hose": style.Look(style.SKY_BLUE),
    "fittings": style.Look(style.REDDISH_PURPLE, "-", "", ".."),
    "media": style.SOLIDS,
}


def scale(metric_unit: str) -> float:
    """Return the factor from a metric unit to the one shown."""
    unit = display_unit(metric_unit)
    return 1.0 if unit == metric_unit else line_to(metric_unit, unit)[0]


def spread(places: list[float], gap: float) -> list[float]:
    """Return rising places moved up just enough to stand at least `gap` apart."""
    out: list[float] = []
    for place in places:
        out.append(max(place, out[-1] + gap) if out else place)
    return out


class PumpAndLoop:
    """Lesson 06: two curves, the operating point, and a column of the head at that point."""

    size = (7.2, 4.6)

    def frame(self, result: Any) -> Hashable:
        """Return the pump: its curve and the axes stand still while the loop changes."""
        return result.rated_flow, result.rated_head

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw axes and pump curve; return the loop's curves, the points and the column."""
        self.flow_scale, self.head_scale = scale("L/h"), scale("m")
        self.wide = ROOM * result.rated_flow * self.flow_scale
        self.high = ROOM * result.rated_head * self.head_scale
        axes = figure.add_axes((0.1, 0.135, 0.55, 0.845))
        units = label(display_unit("L/h")), label(display_unit("m"))
        style.dress(axes, f"flow, {units[0]}", f"head, {units[1]} of water")
        axes.set_xlim(0.0, self.wide)
        axes.set_ylim(0.0, self.high)
        self._still_curve(axes, result)
        (self.clean,) = axes.plot([], [], ":", color=style.FAINT, lw=2)
        (self.loop,) = axes.plot([], [], style.LOOP.dash, color=style.LOOP.colour, lw=2.5)
        (self.clean_point,) = axes.plot([], [], "o", ms=8, mfc="white", mec=style.FAINT, mew=1.5)
        (self.drop,) = axes.plot([], [], "-", color=style.FAINT, lw=0.8)
        (self.point,) = axes.plot([], [], "o", ms=12, color=style.BLUE, mec="white", zorder=5)
        self.reading = style.write(axes, 0.0, 0.0, weight="bold", bbox=style.ON_PAPER)
        self.name = style.write(axes, 0.0, 0.0, "loop", color=style.LOOP.colour, ha="right")
        column = self._column(figure)
        lines = [self.clean, self.loop, self.drop, self.clean_point, self.point]
        return [*column, *lines, self.name, self.reading]

    def update(self, result: Any) -> None:
        """Move the loop's curves, the points and the column."""
        x = result.flows * self.flow_scale
        self.clean.set_data(x, result.clean_heads * self.head_scale)
        self.loop.set_data(x, result.loop_heads * self.head_scale)
        at, up = result.flow * self.flow_scale, result.head * self.head_scale
        self.point.set_data([at], [up])
        self.clean_point.set_data(
            [result.clean_flow * self.flow_scale], [result.clean_head * self.head_scale]
        )
        self.drop.set_data([at, at, self.wide], [0.0, up, up])
        self._name_the_loop(x, result.loop_heads * self.head_scale)
        self.reading.set_text(shown(result.flow, "L/h").replace(" (", "\n("))
        # Beside the point, where neither curve runs: below it, on the side with more room.
        right = at < 0.35 * self.wide
        self.reading.set_ha("left" if right else "right")
        aside = 0.03 * self.wide
        self.reading.set_position(
            (at + (aside if right else -aside), max(0.5 * up, 0.09 * self.high))
        )
        self._stack(result)

    def _still_curve(self, axes: Any, result: Any) -> None:
        x = result.flows * self.flow_scale
        y = result.pump_heads * self.head_scale
        axes.plot(x, y, style.PUMP.dash, color=style.PUMP.colour, lw=2.5)
        place = len(x) // 4
        above = y[place] - 0.085 * self.high
        style.write(axes, x[place], above, "pump", weight="bold", ha="right")
        (end,) = axes.plot(x[-1:], [0.0], "v", ms=11, color=style.ORANGE, mec="white")
        end.set(clip_on=False, zorder=6)
        name = shown(result.rated_flow, "L/h").replace(" (", "\n(")
        text = f"on the box:\n{name}"
        style.write(
            axes,
            x[-1],
            0.06 * self.high,
            text,
            size=0.9,
            ha="right",
            va="bottom",
            multialignment="right",
            bbox=style.ON_PAPER,
        ) if False else style.write(
            axes, x[-1], 0.05 * self.high, text, size=0.9, ha="right", va="bottom"
        )

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
        gap = LABEL_GAP * style.points() / style.POINTS * self.high
        lowest = [max(middle, 0.025 * self.high) for middle in middles]
        for (part, name), y in zip(self.names.items(), spread(lowest, gap), strict=True):
            name.set_position((0.36, y))
            name.set_text(f"{part} {shown(getattr(result, part), 'm', 2)}")

    def _name_the_loop(self, x: Any, y: Any) -> None:
        """Write the loop's name where its curve leaves the axes, or at its end."""
        inside = np.flatnonzero(y < 0.93 * self.high)
        last = int(inside[-1]) if inside.size else 0
        self.name.set_position((x[last] - 0.02 * self.wide, min(y[last], 0.95 * self.high)))
