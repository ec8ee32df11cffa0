"""Lesson 04: the flow from clean media to full ones, and the turnover against the trade's rule."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import FINE_STEPS, GrowingAxis, round_above, scale
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.room import Room, around
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.parameters import parameter
from aqualib.units import display_unit, label, number, shown

HEADROOM = 1.12
LEAST_REGION = 0.16
"""A region of late alarm lower than this share of the axes has no name."""
LEAST, MOST = 0.1, 100.0
"""Ends of the strip of turnovers, per hour."""
TICKS = 0.1, 1.0, 10.0, 100.0
ROOM_FOR_NAMES = 0.8, 40.0
"""Turnovers between which a name finds room beside its mark."""
ASIDE = 1.2
"""A name stands this many times further along than its mark."""


@dataclass(frozen=True, slots=True)
class Year:
    """Flow from clean to dirty, and what a year costs: L/h, percent, turnovers an hour, kWh."""

    pores: float
    rated_flow: float
    clean_flow: float
    flow: float
    fillings: Array
    fall: Array
    """The flow at each of `fillings`."""
    litres: float
    energy: float
    cost: float
    power: float

    @property
    def share(self) -> float:
        """The flow over the clean flow."""
        return self.flow / self.clean_flow if self.clean_flow else 0.0

    @property
    def turnover(self) -> float:
        """Tank volumes that pass the filter in an hour."""
        return self.flow / self.litres

    @property
    def rated_turnover(self) -> float:
        """The turnover if the box were right."""
        return self.rated_flow / self.litres


class CleanToDirty(Chart[Year]):
    """Flow over dirt, where pads are due and where the flow tells it; a strip of turnovers."""

    size = (7.2, 5.2)

    def build(self, figure: Figure, _: Year) -> list[Artist]:
        """Draw axes and the strip's rule; return all that moves."""
        return [*self._fall(figure), *self._strip(figure)]

    def update(self, year: Year) -> None:
        """Move curve, point, region and marks."""
        self._move_fall(year)
        self._move_strip(year)

    def _fall(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.125, 0.42, 0.84, 0.565))
        style.dress(axes, "pores full of dirt, %", f"flow, {label(display_unit('L/h'))}")
        axes.set_xlim(0.0, 100.0)
        self.flows = GrowingAxis.upright(axes, -1.5)
        axes.yaxis.labelpad = 34.0 * style.text_scale()
        self.room = Room(axes)
        (self.box,) = axes.plot([], [], "--", color=style.INK, lw=1.4)
        self.late = patch(axes, style.CAUTION, 0.4, 0.5)
        limit = 100.0 * parameter("pad_deposit_limit").value
        (self.due,) = axes.plot([limit, limit], [0.0, 1.0], "--", color=style.VERMILION, lw=1.5)
        (self.curve,) = axes.plot([], [], color=style.INK, lw=2.5)
        (self.point,) = axes.plot([], [], "o", ms=12, color=style.BLUE, mec="white", zorder=5)
        self.box_name = style.write(axes, 0.0, 0.0, size=0.9)
        self.due_name = style.write(axes, 0.0, 0.0, f"pads are due: {number(limit)} % full", 0.9)
        self.late_name = style.write(
            axes, 0.0, 0.0, "late alarm: under half\nthe clean flow", 0.9, bbox=style.ON_PAPER
        )
        self.reading = style.write(axes, 0.0, 0.0, weight="bold", bbox=style.ON_PAPER)
        lines = [self.late, self.box, self.due, self.curve, self.late_name, self.point]
        return [*lines, self.box_name, self.due_name, self.reading, *self.flows.marks]

    def _move_fall(self, year: Year) -> None:
        factor = scale("L/h")
        self.flows.grow(round_above(HEADROOM * year.rated_flow * factor, FINE_STEPS))
        high = self.flows.end / factor
        self.curve.set_data(year.fillings, year.fall / high)
        rated, at = year.rated_flow / high, year.flow / high
        self.box.set_data([0.0, 100.0], [rated, rated])
        least = parameter("least_flow_share").value * year.clean_flow / high
        self.late.set_xy(rectangle(0.0, 0.0, 100.0, least))
        self.point.set_data([year.pores], [at])
        self.box_name.set_text(f"on the box: {shown(year.rated_flow, 'L/h')}")
        self.reading.set_text(shown(year.flow, "L/h"))
        self._name(year, rated, at, least)

    def _name(self, year: Year, rated: float, at: float, least: float) -> None:
        """Put the words where none of the lines runs."""
        self.room.empty()
        for line in (self.curve, self.box, self.due):
            self.room.line(*line.get_data())
        self.room.dot(year.pores, at, 14.0)
        x = float(np.asarray(self.due.get_xdata())[0])
        beside = (x + 1.5, "left"), (x - 1.5, "right")
        self.room.put(
            self.due_name, [(at_x, up, side) for up in (0.95, 0.05) for at_x, side in beside]
        )
        ends = (99.0, "right"), (1.0, "left"), (x - 2.0, "right")
        over = [rated + step for step in (0.06, -0.06, 0.1, -0.1)]
        self.room.put(self.box_name, [(at_x, up, side) for up in over for at_x, side in ends])
        self.late_name.set_visible(least > LEAST_REGION)
        if least > LEAST_REGION:
            self.room.put(self.late_name, [(start, 0.5 * least) for start in (2.0, x + 2.0)])
        self.room.put(self.reading, around(year.pores / 100.0, at, 100.0))

    def _strip(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.125, 0.135, 0.84, 0.115))
        style.dress(axes, "turnover: tank volumes through the filter in an hour")
        axes.set_xscale("log")
        axes.set_xlim(LEAST, MOST)
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.set_xticks(TICKS, [f"{tick:g}" for tick in TICKS])
        axes.minorticks_off()
        rule = parameter("turnover_rule")
        usual = patch(axes, style.SAFE, 0.3, 0.5)
        usual.set_xy(rectangle(rule.low, 0.0, rule.high - rule.low, 1.0))
        text = f"a rule of the trade: {rule.low:g} to {rule.high:g} (no source)"
        style.write(axes, rule.value, 1.14, text, size=0.85, ha="center", color=style.FAINT)
        looks = (("v", style.ORANGE), ("o", style.BLUE))
        self.marks = [
            axes.plot([1.0], [y], shape, ms=11, color=colour, mec="white", clip_on=False)[0]
            for (shape, colour), y in zip(looks, (0.72, 0.28), strict=True)
        ]
        self.mark_names = [
            style.write(axes, 1.0, y, size=0.9, ha=ha, bbox=style.ON_PAPER)
            for y, ha in ((0.72, "left"), (0.28, "right"))
        ]
        return [*self.marks, *self.mark_names]

    def _move_strip(self, year: Year) -> None:
        turnovers = year.rated_turnover, year.turnover
        for mark, turnover in zip(self.marks, turnovers, strict=True):
            mark.set_xdata([min(max(turnover, LEAST), MOST)])
        words, asides = ("on the box", "delivered"), (ASIDE, 1.0 / ASIDE)
        low, high = ROOM_FOR_NAMES
        for name, word, turnover, aside in zip(
            self.mark_names, words, turnovers, asides, strict=True
        ):
            name.set_text(f"{word} {number(turnover, 2)}")
            # Towards the middle where it stands near an end.
            away = 1.0 / ASIDE if turnover > high else ASIDE if turnover < low else aside
            name.set_ha("left" if away > 1.0 else "right")
            name.set_x(min(max(turnover, LEAST), MOST) * away)
