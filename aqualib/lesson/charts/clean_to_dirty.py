"""The flow from clean media to full ones, and the turnover against the rule of the trade."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.charts.pump_and_loop import WIDTHS
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import scale, step_above
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.parameters import parameter
from aqualib.units import display_unit, label, number, shown

HEADROOM = 1.16
LEAST, MOST = 0.1, 100.0
"""Ends of the strip of turnovers, per hour."""


class CleanToDirty:
    """Lesson 06: flow over dirt, with the region that calls for cleaning; a strip of turnovers."""

    size = (7.2, 5.9)

    def frame(self, result: Any) -> Hashable:
        """Return the end of the axes."""
        return step_above(result.delivery.rated_flow, WIDTHS)

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw axes and the strip's rule; return all that moves."""
        self.scale = scale("L/h")
        self.high = HEADROOM * step_above(result.delivery.rated_flow, WIDTHS) * self.scale
        axes = figure.add_axes((0.115, 0.445, 0.85, 0.545))
        style.dress(axes, "pores full of dirt, %", f"flow, {label(display_unit('L/h'))}")
        axes.set_xlim(0.0, 100.0)
        axes.set_ylim(0.0, self.high)
        (self.box,) = axes.plot([], [], "--", color=style.ORANGE, lw=2)
        self.box_name = style.write(axes, 99.0, 0.0, size=0.9, ha="right")
        self.late = patch(axes, style.CAUTION, 0.4, 0.5)
        self.late_name = style.write(
            axes, 2.0, 0.0, "time to clean: less than half the clean flow", bbox=style.ON_PAPER
        )
        (self.curve,) = axes.plot([], [], color=style.INK, lw=2.5)
        (self.point,) = axes.plot([], [], "o", ms=12, color=style.BLUE, mec="white", zorder=5)
        self.reading = style.write(axes, 0.0, 0.0, weight="bold", bbox=style.ON_PAPER)
        strip = self._strip(figure)
        moving = [
            self.late,
            self.box,
            self.box_name,
            self.curve,
            self.late_name,
            self.point,
            self.reading,
        ]
        return [*moving, *strip]

    def update(self, result: Any) -> None:
        """Move curve, point, region and marks."""
        delivery = result.delivery
        self.curve.set_data(result.fillings, result.fall * self.scale)
        rated = delivery.rated_flow * self.scale
        self.box.set_data([0.0, 100.0], [rated, rated])
        self.box_name.set_position((99.0, rated + 0.06 * self.high))
        self.box_name.set_text(f"on the box: {shown(delivery.rated_flow, 'L/h')}")
        least = parameter("least_flow_share").value * delivery.clean_flow * self.scale
        self.late.set_xy(rectangle(0.0, 0.0, 100.0, least))
        self.late_name.set_position((2.0, 0.5 * least))
        self.late_name.set_visible(least > 0.2 * self.high)
        self.bill.set_text(f"in a year {number(result.energy)} kWh, which cost {result.cost:.2f}")
        at = delivery.flow * self.scale
        self.point.set_data([delivery.pores], [at])
        left = delivery.pores < 55.0
        self.reading.set_ha("left" if left else "right")
        self.reading.set_position((delivery.pores + (2.5 if left else -2.5), at - 0.08 * self.high))
        self.reading.set_text(shown(delivery.flow, "L/h"))
        for mark, turnover in zip(
            self.marks, (result.rated_turnover, result.turnover), strict=True
        ):
            mark.set_xdata([min(max(turnover, LEAST), MOST)])
        for name, word, turnover, aside in zip(
            self.mark_names,
            ("on the box", "delivered"),
            (result.rated_turnover, result.turnover),
            (1.2, 1.0 / 1.2),
            strict=True,
        ):
            name.set_text(f"{word} {number(turnover, 2)}")
            name.set_x(min(max(turnover, 0.8), 40.0) * aside)

    def _strip(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.115, 0.165, 0.85, 0.115))
        style.dress(axes, "turnover: tank volumes through the filter in an hour")
        axes.set_xscale("log")
        axes.set_xlim(LEAST, MOST)
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        ticks = [0.1, 1.0, 10.0, 100.0]
        axes.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
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
        page = figure.add_axes((0.115, 0.0, 0.865, 0.06))
        page.set_axis_off()
        self.bill = style.write(page, 0.0, 0.5)
        return [*self.marks, *self.mark_names, self.bill]
