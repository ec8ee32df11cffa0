"""A lamp's housing cut open, the light in it, the dose against the flow, and the tank clearing."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.charts import chamber_section as section
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import scale
from aqualib.lesson.drawing.shapes import patch
from aqualib.lesson.drawing.words import Kept
from aqualib.units import display_unit, label, number, shown

FLOWS = 80.0, 3800.0
"""Ends of the axis of flow, L/h."""
DOSES = 0.05, 4000.0
"""Ends of the axis of dose, mJ/cm²."""
TICKS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
FLOW_TICKS = 30, 100, 300, 1000, 3000
TURN = 700.0
"""L/h; to the left of it the reading stands right of the point."""


WARMING = "delta_degC/day"


def _unit(metric_unit: str) -> str:
    """Return the unit shown, with the metric one behind it if that is another."""
    unit = display_unit(metric_unit)
    both = f"{label(unit)} ({label(metric_unit)})"
    return label(unit) if unit == metric_unit else both


def _both(value: float, metric_unit: str) -> str:
    """Return an amount in the unit shown, with the metric number behind it if that is another."""
    factor = scale(metric_unit)
    metric = number(value, 2)
    return metric if factor == 1.0 else f"{number(factor * value, 2)} ({metric})"


def two_digits(value: float) -> str:
    """Return a number with two digits that count, such as 1900 for 1929."""
    return number(float(f"{value:.2g}"), 2)


class UltravioletChamber:
    """Lesson 08: section and fading light, dose over flow with benchmarks, the tank clearing."""

    size = (7.2, 5.7)

    def frame(self, result: Any) -> Hashable:
        """Return the benchmarks, which never change: the still parts serve every result."""
        found: Hashable = result.benchmarks
        return found

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw the axes and the benchmarks; return what moves."""
        cut = self._section(figure, result)
        dose = self._dose(figure, result)
        tank = self._tank(figure)
        foot = self._foot(figure)
        return [*cut, *dose, *tank, *foot]

    def update(self, result: Any) -> None:
        """Move everything to the result."""
        self.kept.key = (result.shell, result.clarity, result.hours, result.sleeve)
        self.chamber.move(result.radii, result.strength)
        self.curve.move(result.radii, result.rates, result.strength)
        self._move_dose(result)
        self._move_tank(result)
        texts = (
            number(result.energy),
            _both(result.warmer, WARMING),
            number(result.days_left) if result.days_left else "overdue",
            two_digits(result.stare),
        )
        for place, text in zip(self.foot, texts, strict=True):
            place.set_text(text)

    def _foot(self, figure: Figure) -> list[Artist]:
        """Make the row of numbers under the picture; their captions are still."""
        page = figure.add_axes((0.0, 0.0, 1.0, 0.115))
        page.set_axis_off()
        degrees = _unit(WARMING)
        captions = (
            (0.02, "electricity,\nkWh a year"),
            (0.2, f"warms the tank by at\nmost, {degrees}"),
            (0.47, "new lamp in\nabout, days"),
            (0.64, f"never bare! Seconds to limit for\neyes, skin at {shown(0.5, 'm', 2)}"),
        )
        for x, caption in captions:
            style.write(page, x, 0.97, caption, size=0.85, color=style.FAINT, va="top")
        self.foot = [style.write(page, x, 0.42, weight="bold", va="top") for x, _ in captions]
        return list(self.foot)

    def _section(self, figure: Figure, result: Any) -> list[Artist]:
        tall = section.HIGH - section.LOW
        width = 0.34
        height = width * self.size[0] / self.size[1] * tall / (2.0 * section.HALF_WIDTH)
        axes = figure.add_axes((0.0, 0.99 - height, width, height))
        axes.set_axis_off()
        axes.set_xlim(-section.HALF_WIDTH, section.HALF_WIDTH)
        axes.set_ylim(section.LOW, section.HIGH)
        section.label_section(axes, result.length)
        strips = len(result.radii) // 2
        self.chamber = section.ChamberSection(axes, result.inner, result.length, strips)
        self.kept = Kept(figure, self.chamber.parts)
        below = figure.add_axes((0.0, 0.135, width, 0.815 - height))
        below.set_axis_off()
        below.set_xlim(-section.HALF_WIDTH, section.HALF_WIDTH)
        below.set_ylim(0.0, section.TOP)
        self.curve = section.FadingCurve(below, result.inner)
        return [self.kept, *self.curve.moving]

    def _dose(self, figure: Figure, result: Any) -> list[Artist]:
        self.flow_scale = scale("L/h")
        axes = figure.add_axes((0.465, 0.505, 0.325, 0.405))
        style.dress(axes, f"flow, {label(display_unit('L/h'))}", "dose in one pass, mJ/cm²")
        axes.set_xscale("log")
        axes.set_yscale("log")
        axes.set_xlim(*(end * self.flow_scale for end in FLOWS))
        axes.set_ylim(*DOSES)
        flows = [tick for tick in FLOW_TICKS if FLOWS[0] < tick / self.flow_scale < FLOWS[1]]
        axes.set_xticks(flows, [str(tick) for tick in flows])
        axes.set_yticks([0.1, 1, 10, 100, 1000], ["0.1", "1", "10", "100", "1000"])
        axes.minorticks_off()
        for name, dose in result.benchmarks:
            axes.axhline(dose, ls=":", color=style.FAINT, lw=1.0)
            style.write(axes, FLOWS[1] * self.flow_scale * 1.08, dose, name, size=0.8)
        self.band = patch(axes, style.Look(style.BLUE), 0.2, 0.5)
        self.band.set_edgecolor("none")
        (self.line,) = axes.plot([], [], "-", color=style.BLUE, lw=2.2)
        (self.aim,) = axes.plot([], [], "--", color=style.INK, lw=1.8)
        (self.drop,) = axes.plot([], [], "-", color=style.FAINT, lw=0.8)
        (self.point,) = axes.plot([], [], "o", ms=11, color=style.BLUE, mec="white", zorder=5)
        self.reading = style.write(axes, 1.0, 1.0, weight="bold", bbox=style.ON_PAPER)
        head = figure.add_axes((0.4, 0.92, 0.6, 0.08))
        head.set_axis_off()
        self.aim_name = style.write(head, 0.0, 0.5, size=0.9)
        lines = [self.line, self.aim, self.drop, self.point]
        return [self.band, *lines, self.reading, self.aim_name]

    def _move_dose(self, result: Any) -> None:
        flows = np.array(FLOWS)
        x = flows * self.flow_scale
        # The dose is in proportion to 1 / flow: a straight line here.
        low, best, high = (
            end * result.flow / flows for end in (result.low, result.best, result.high)
        )
        self.band.set_xy(np.column_stack([[*x, *x[::-1]], [*low, *high[::-1]]]))
        self.line.set_data(x, best)
        self.aim.set_data(x, [result.aim_dose] * 2)
        self.aim_name.set_text(
            f"dashed: {100 * result.aim_share:.2g} % inactivated of\n{result.organism}"
        )
        at = result.flow * self.flow_scale
        self.drop.set_data([at, at, x[0]], [DOSES[0], result.best, result.best])
        self.point.set_data([at], [result.best])
        self.reading.set_text(two_digits(result.best))
        right = result.flow < TURN
        self.reading.set_ha("left" if right else "right")
        place = (1.15 * at, 1.9 * result.best) if right else (at / 1.15, result.best / 1.9)
        self.reading.set_position(place)

    def _tank(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.465, 0.21, 0.515, 0.18))
        style.dress(axes, "", "% left")
        axes.set_xlim(0.0, 1.0)
        axes.set_ylim(0.0, 104.0)
        axes.set_yticks([0, 50, 100])
        axes.set_xticks(TICKS, [""] * len(TICKS))
        self.marks = [style.write(axes, tick, -15.0, ha="center", size=0.9) for tick in TICKS]
        style.write(axes, 0.5, -37.0, "hours of light on the tank's water", ha="center")
        style.write(
            axes, 0.99, 74.0, "dots: if nothing survived a pass", size=0.85, ha="right",
        )  # fmt: skip
        self.left_band = patch(axes, style.Look(style.BLUE), 0.2, 0.5)
        self.left_band.set_edgecolor("none")
        (self.fastest,) = axes.plot([], [], ":", color=style.INK, lw=1.6)
        (self.left,) = axes.plot([], [], "-", color=style.BLUE, lw=2.4)
        (self.cleared,) = axes.plot([], [], "o", ms=9, color=style.BLUE, mec="white", zorder=5)
        self.cleared.set_clip_on(False)
        style.write(axes, 0.84, 97.0, "hours until 99 % are gone", ha="right")
        self.answer = style.write(axes, 0.86, 97.0, weight="bold")
        lines = [self.left_band, self.left, self.fastest, self.cleared]
        return [*lines, *self.marks, self.answer]

    def _move_tank(self, result: Any) -> None:
        end = float(result.times[-1])
        x = result.times / end
        low, best, high = (100.0 * share for share in result.left)
        self.left_band.set_xy(np.column_stack([[*x, *x[::-1]], [*low, *high[::-1]]]))
        self.left.set_data(x, best)
        self.fastest.set_data(x, 100.0 * result.left_at_most)
        self.cleared.set_data([result.clear_hours / end], [1.0])
        for tick, mark in zip(TICKS, self.marks, strict=True):
            mark.set_text(f"{end * tick:g}")
        self.answer.set_text(two_digits(result.clear_hours))
