"""Lesson 06: the flow from clean media to full ones, and the turnover against the trade's rule."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import FLOW_ENDS, scale, step_above
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.parameters import parameter
from aqualib.units import display_unit, label, number, shown

HEADROOM = 1.16
TURN = 55.0
"""Percent of the pores; to the left of it the reading stands right of the point."""
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

    size = (7.2, 5.9)

    def frame(self, year: Year) -> Hashable:
        """Return the end of the axes."""
        return step_above(year.rated_flow, FLOW_ENDS)

    def build(self, figure: Figure, year: Year) -> list[Artist]:
        """Draw axes and the strip's rule; return all that moves."""
        self.scale = scale("L/h")
        self.high = HEADROOM * step_above(year.rated_flow, FLOW_ENDS) * self.scale
        return [*self._fall(figure), *self._strip(figure), *self._bill(figure)]

    def update(self, year: Year) -> None:
        """Move curve, point, region and marks."""
        self._move_fall(year)
        self._move_strip(year)
        self.bill.set_text(f"in a year {number(year.energy)} kWh, which cost {year.cost:.2f}")

    def _fall(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.115, 0.445, 0.85, 0.545))
        style.dress(axes, "pores full of dirt, %", f"flow, {label(display_unit('L/h'))}")
        axes.set_xlim(0.0, 100.0)
        axes.set_ylim(0.0, self.high)
        (self.box,) = axes.plot([], [], "--", color=style.ORANGE, lw=2)
        self.box_name = style.write(axes, 99.0, 0.0, size=0.9, ha="right")
        self.late = patch(axes, style.CAUTION, 0.4, 0.5)
        self.late_name = style.write(
            axes, 2.0, 0.0, "late alarm: less than half the clean flow", bbox=style.ON_PAPER
        )
        limit = 100.0 * parameter("pad_deposit_limit").value
        axes.plot([limit, limit], [0.0, self.high], "--", color=style.VERMILION, lw=1.5)
        words = f"pads are due: {number(limit)} % full"
        # Over the line of the box, where no curve, point or reading comes.
        self.due_name = style.write(
            axes, limit - 1.5, 0.95 * self.high, words, size=0.9, ha="right"
        )
        (self.curve,) = axes.plot([], [], color=style.INK, lw=2.5)
        (self.point,) = axes.plot([], [], "o", ms=12, color=style.BLUE, mec="white", zorder=5)
        self.reading = style.write(axes, 0.0, 0.0, weight="bold", bbox=style.ON_PAPER)
        lines = [self.late, self.box, self.box_name, self.curve]
        return [*lines, self.late_name, self.point, self.reading]

    def _move_fall(self, year: Year) -> None:
        self.curve.set_data(year.fillings, year.fall * self.scale)
        rated = year.rated_flow * self.scale
        self.box.set_data([0.0, 100.0], [rated, rated])
        self.box_name.set_position((99.0, rated + 0.06 * self.high))
        self.box_name.set_text(f"on the box: {shown(year.rated_flow, 'L/h')}")
        least = parameter("least_flow_share").value * year.clean_flow * self.scale
        self.late.set_xy(rectangle(0.0, 0.0, 100.0, least))
        self.late_name.set_position((2.0, 0.5 * least))
        self.late_name.set_visible(least > 0.2 * self.high)
        at = year.flow * self.scale
        self.point.set_data([year.pores], [at])
        below = at - 0.08 * self.high
        self.reading.stand_beside(year.pores, below, 2.5, right=year.pores < TURN)
        self.reading.set_text(shown(year.flow, "L/h"))

    def _strip(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.115, 0.165, 0.85, 0.115))
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
            name.set_x(min(max(turnover, low), high) * aside)

    def _bill(self, figure: Figure) -> list[Artist]:
        page = figure.add_axes((0.115, 0.0, 0.865, 0.06))
        page.set_axis_off()
        self.bill = style.write(page, 0.0, 0.5)
        return [self.bill]
