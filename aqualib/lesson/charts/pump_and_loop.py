"""Lesson 04: the pump's curve against the loop's, where they cross, and where the head goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import FINE_STEPS, GrowingAxis, round_above, scale, spread
from aqualib.lesson.drawing.loop_section import HIGH, WIDE, LoopSection
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.room import Place, Room, around
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.units import display_unit, label, number

ROOM = 1.04, 1.12
"""Least width and height of the axes over the flow and the head on the box."""
ALONG_PUMP = 0.2, 0.3, 0.12, 0.45, 0.6, 0.7, 0.8
ALONG_LOOP = 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3
"""Shares of the way along a curve where its name may stand."""
BLOCK, LEADER, NAME = 0.06, 0.1, 0.36
"""Across the column: where blocks begin, how long lines to their names are, where these begin."""
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
    flow: float
    head: float
    clean_flow: float
    clean_head: float
    lift: float
    """Head (m) that it costs: never more than the pump has."""
    lift_set: float
    """Height of the outlet above the water (m)."""
    hose: float
    fittings: float
    canister: float
    media: float
    flows: Array
    pump_heads: Array
    loop_heads: Array
    clean_heads: Array


class PumpAndLoop(Chart[Delivery]):
    """The loop drawn, two curves with the operating point, and a column of the head there."""

    size = (7.4, 4.6)

    def build(self, figure: Figure, _: Delivery) -> list[Artist]:
        """Draw the axes; return the loop, the curves, the points and the column."""
        sheet = figure.add_axes((0.0, 0.0, WIDE / self.size[0], HIGH / self.size[1]))
        style.bare(sheet, WIDE, HIGH)
        self.section = LoopSection(sheet, PARTS)
        axes = figure.add_axes((0.355, 0.135, 0.36, 0.825))
        units = label(display_unit("L/h")), label(display_unit("m"))
        style.dress(axes, f"flow, {units[0]}", f"head, {units[1]} of water")
        self.flows, self.heads = GrowingAxis.along(axes, -0.045), GrowingAxis.upright(axes, -0.03)
        axes.xaxis.labelpad = 15.0 * style.text_scale()
        axes.yaxis.labelpad = 26.0 * style.text_scale()
        self.room = Room(axes)
        (self.pump,) = axes.plot([], [], style.PUMP.dash, color=style.PUMP.colour, lw=2.5)
        (self.box,) = axes.plot([], [], "--", color=style.INK, lw=1.4)
        (self.box_mark,) = axes.plot([], [], "v", ms=11, color=style.ORANGE, mec="white")
        self.box_mark.set(clip_on=False, zorder=6)
        (self.clean,) = axes.plot([], [], ":", color=style.FAINT, lw=2)
        (self.loop,) = axes.plot([], [], style.LOOP.dash, color=style.LOOP.colour, lw=2.5)
        (self.clean_point,) = axes.plot([], [], "o", ms=8, mfc="white", mec=style.FAINT, mew=1.5)
        (self.drop,) = axes.plot([], [], "-", color=style.FAINT, lw=0.8)
        (self.point,) = axes.plot([], [], "o", ms=12, color=style.BLUE, mec="white", zorder=5)
        self.reading = style.write(axes, 0.0, 0.0, weight="bold")
        self.pump_name = style.write(axes, 0.0, 0.0, "pump", weight="bold")
        self.box_name = style.write(axes, 0.0, 0.0, "on the\nbox", size=0.9)
        self.name = style.write(axes, 0.0, 0.0, "loop")
        self.clean_name = style.write(axes, 0.0, 0.0, "clean", color=style.FAINT)
        lines = [self.pump, self.box, self.box_mark, self.clean, self.loop, self.drop]
        points = [self.clean_point, self.point]
        words = [self.box_name, self.pump_name, self.clean_name, self.name, self.reading]
        ticks = [*self.flows.marks, *self.heads.marks]
        column = self._column(figure)
        return [self.section.kept, self.section.lift_name, *column, *lines, *points, *words, *ticks]

    def update(self, delivery: Delivery) -> None:
        """Move the loop, the curves, the points and the column."""
        self.section.move(delivery.bore, delivery.elbows, delivery.lift_set)
        factors = scale("L/h"), scale("m")
        for axis, most in zip(
            (self.flows, self.heads),
            (
                ROOM[0] * delivery.rated_flow * factors[0],
                ROOM[1] * delivery.rated_head * factors[1],
            ),
            strict=True,
        ):
            axis.grow(round_above(most, FINE_STEPS))
        wide, high = self.flows.end / factors[0], self.heads.end / factors[1]
        x = delivery.flows / wide
        self.pump.set_data(x, delivery.pump_heads / high)
        self.clean.set_data(x, delivery.clean_heads / high)
        self.loop.set_data(x, delivery.loop_heads / high)
        self.box.set_data(x[[-1, -1]], [0.0, 1.0])
        self.box_mark.set_data(x[-1:], [0.0])
        at, up = delivery.flow / wide, delivery.head / high
        self.point.set_data([at], [up])
        self.clean_point.set_data([delivery.clean_flow / wide], [delivery.clean_head / high])
        self.drop.set_data([at, at, 1.0], [0.0, up, up])
        self._name(delivery)
        self._stack(delivery, high)

    def _name(self, delivery: Delivery) -> None:
        """Write the reading and the names where none of the lines runs."""
        self.room.empty()
        curves = self.pump, self.loop, self.clean
        for line in (*curves, self.box, self.drop):
            x, y = (np.asarray(part) for part in line.get_data())
            inside = y <= 1.2
            self.room.line(x[inside], y[inside])
        for point, wide in ((self.point, 14.0), (self.clean_point, 10.0)):
            (x,), (y,) = (np.asarray(part, float) for part in point.get_data())
            self.room.dot(float(x), float(y), wide)
        # A loop that is as good as clean has one name.
        side_by_side = delivery.clean_flow - delivery.flow > 0.03 * delivery.rated_flow
        self.clean_name.set_visible(bool(side_by_side))
        box = float(np.asarray(self.box.get_xdata())[0])
        beside = [
            Place(box + side, y, across)
            for y in np.linspace(0.94, 0.2, 10)
            for side, across in ((0.02, "left"), (-0.02, "right"))
        ]
        self.room.put(self.box_name, beside)
        self.reading.set_text(number(delivery.flow * scale("L/h")))
        (at,), (up,) = (np.asarray(part, float) for part in self.point.get_data())
        self.room.put(self.reading, around(float(at), float(up)))
        self.room.put(self.pump_name, along(self.pump, ALONG_PUMP))
        self.room.put(self.name, along(self.loop, ALONG_LOOP))
        if side_by_side:
            self.room.put(self.clean_name, along(self.clean, ALONG_LOOP))

    def _column(self, figure: Figure) -> list[Artist]:
        side = figure.add_axes((0.715, 0.135, 0.285, 0.825))
        side.set_axis_off()
        side.set_xlim(0.0, 1.0)
        side.set_ylim(0.0, 1.0)
        self.blocks = {part: patch(side, look) for part, look in PARTS.items()}
        (self.leaders,) = side.plot([], [], "-", color=style.INK, lw=0.8)
        self.names = {part: style.write(side, NAME, 0.0, size=0.9) for part in PARTS}
        return [*self.blocks.values(), self.leaders, *self.names.values()]

    def _stack(self, delivery: Delivery, high: float) -> None:
        floor, middles = 0.0, []
        for part, block in self.blocks.items():
            height = getattr(delivery, part) / high
            block.set_xy(rectangle(BLOCK, floor, NAME - LEADER - BLOCK, height))
            middles.append(floor + height / 2.0)
            floor += height
        factor, unit = scale("m"), label(display_unit("m"))
        gap = LABEL_GAP * style.text_scale()
        lowest = [max(middle, 0.4 * gap) for middle in middles]
        places = spread(lowest, gap, 1.0 - 0.5 * gap)
        x, y = [], []
        for (part, name), middle, place in zip(self.names.items(), middles, places, strict=True):
            name.set_position((NAME, place))
            head = factor * getattr(delivery, part)
            name.set_text(f"{part} {head:.2f} {unit}" if head else f"no {part}")
            x += [NAME - LEADER, NAME - 0.02, np.nan]
            y += [middle, place, np.nan]
        self.leaders.set_data(x, y)


def along(curve: Line2D, shares: tuple[float, ...]) -> Iterator[Place]:
    """Return places beside a curve, on either side, so far along the part that is in sight."""
    x, y = (np.asarray(part) for part in curve.get_data())
    inside = np.flatnonzero(y <= 1.0)
    for share in shares if len(inside) else ():
        at = inside[round(share * (len(inside) - 1))]
        for aside, up, across in ((0.025, 0.04, "left"), (-0.025, 0.02, "right"),
                                  (0.03, -0.03, "left"), (-0.03, -0.04, "right")):  # fmt: skip
            yield Place(float(x[at]) + aside, float(y[at]) + up, across)
