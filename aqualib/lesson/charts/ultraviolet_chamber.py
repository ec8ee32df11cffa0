"""Lesson 09: a lamp's housing cut open, its light, the dose against the flow, the tank clearing."""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import chamber_section as section
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import GrowingAxis, scale
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.room import Room
from aqualib.lesson.drawing.shapes import Array, ribbon, tint
from aqualib.lesson.drawing.words import Kept
from aqualib.parameters import parameter
from aqualib.units import display_unit, label, number

FLOWS = 80.0, 3800.0
"""Ends of the axis of flow, L/h."""
DOSES = 0.05, 4000.0
"""Ends of the axis of dose, mJ/cm²."""
FLOW_TICKS = 30, 100, 300, 1000, 3000
DOSE_TICKS = ["0.1", "1", "10", "100", "1000"]
SECTION_WIDTH = 0.34
CLEARED = parameter("cleared_share").value
"""Percent that must be gone from a tank that is called cleared."""
AWAY = parameter("bare_lamp_distance").value
"""m; how near somebody looks at a bare lamp in the warning."""
BLUE = style.Look(style.BLUE)


class Dose(NamedTuple):
    """What is sure of a dose: its low end, best guess and high end, in mJ/cm²."""

    low: float
    best: float
    high: float


@dataclass(frozen=True, slots=True)
class Lamp:
    """A lamp as it is: hours run; shares of light as fractions."""

    hours: float
    clarity: float
    """Of its light, what passes 1 cm of the water."""
    sleeve: float
    """Of its light, what passes the sleeve."""


@dataclass(frozen=True, slots=True)
class Housing:
    """The water round the lamp, in mm, and the light in it."""

    inner: float
    shell: float
    length: float
    radii: Array
    rates: Array
    """The light at each radius, in mW/cm²."""
    strength: Array
    """The same over that of a new lamp in a clean sleeve at the sleeve."""


@dataclass(frozen=True, slots=True)
class OnePass:
    """What the water gets on its way through: L/h, seconds, mJ/cm², steps of ten."""

    flow: float
    seconds: float
    dose: Dose
    logs: tuple[float, float, float]
    """The inactivation at each end of the dose and at its best guess, in log10."""
    last_log: float
    """Where the organism's table ends; an inactivation this high is "at least"."""

    def is_beyond(self, which: int) -> bool:
        """Whether a dose lies beyond the organism's table: 0 the low, 1 the best, 2 the high."""
        return self.logs[which] >= self.last_log - 1e-9


@dataclass(frozen=True, slots=True)
class Aim:
    """The dose that an organism's table asks for a share inactivated."""

    organism: str
    dose: float
    share: float
    grows: bool = False
    """Whether it multiplies in the tank while the lamp works."""


@dataclass(frozen=True, slots=True)
class Clearing:
    """The tank that the lamp serves: L, hours."""

    volume: float
    hours: float
    """Until `CLEARED` percent are gone; infinite if the lamp is too weak for that."""
    fast: float
    """The same with the high end of the dose."""
    slow: float
    """The same with its low end."""
    times: Array
    left: tuple[Array, Array, Array]
    """Share left in the tank at each time, with the low, the best and the high dose."""
    left_at_most: Array
    """Share left if nothing survived a pass."""


@dataclass(frozen=True, slots=True)
class Upkeep:
    """What the lamp asks of its keeper: days until it is due, kWh a year, °C a day, seconds."""

    days_left: float
    energy: float
    warmer: float
    seconds_to_limit: float
    """To the day's limit of eyes and skin, near a new lamp that is bare."""


@dataclass(frozen=True, slots=True)
class LitWater:
    """A lamp at work, the water that passes it, and the tank that it serves."""

    lamp: Lamp
    housing: Housing
    one_pass: OnePass
    aim: Aim
    clearing: Clearing
    upkeep: Upkeep
    benchmarks: tuple[tuple[str, float], ...]
    """Names and doses to compare with, mJ/cm²."""

    @property
    def clear_hours(self) -> float:
        """Hours of light until the tank is cleared."""
        return self.clearing.hours


def two_digits(value: float) -> str:
    """Return a number with two digits that count, such as 1900 for 1929."""
    return number(float(f"{value:.2g}"), 2)


class UltravioletChamber(Chart[LitWater]):
    """Section, dose over flow with benchmarks, the tank clearing."""

    size = (7.2, 4.9)

    def frame(self, water: LitWater) -> Hashable:
        """Return the benchmarks, which never change: the still parts serve every result."""
        return water.benchmarks

    def build(self, figure: Figure, water: LitWater) -> list[Artist]:
        """Draw the axes and the benchmarks; return what moves."""
        cut = self._section(figure, water.housing)
        dose = self._dose(figure, water.benchmarks)
        return [*cut, *dose, *self._tank(figure)]

    def update(self, water: LitWater) -> None:
        """Move everything to the result."""
        lamp, housing = water.lamp, water.housing
        self.kept.key = (housing.shell, lamp.clarity, lamp.hours, lamp.sleeve)
        self.chamber.move(housing.radii, housing.strength)
        self._move_aim(water.aim)
        self._move_dose(water.one_pass)
        self._move_tank(water.clearing)

    def _section(self, figure: Figure, housing: Housing) -> list[Artist]:
        tall = section.HIGH - section.LOW
        wide = SECTION_WIDTH * self.size[0] / self.size[1]
        height = wide * tall / (2.0 * section.HALF_WIDTH)
        axes = self._sheet(figure, 0.5 * (1.0 - height), height, (section.LOW, section.HIGH))
        section.label_section(axes, housing.length)
        strips = len(housing.radii) // 2
        self.chamber = section.ChamberSection(axes, housing.inner, housing.length, strips)
        self.kept = Kept(figure, self.chamber.artists)
        return [self.kept]

    @staticmethod
    def _sheet(figure: Figure, floor: float, height: float, ends: tuple[float, float]) -> Axes:
        """Return axes at the left, as wide as the housing, from a floor up."""
        axes = figure.add_axes((0.0, floor, SECTION_WIDTH, height))
        axes.set_axis_off()
        axes.set_xlim(-section.HALF_WIDTH, section.HALF_WIDTH)
        axes.set_ylim(*ends)
        return axes

    def _dose(self, figure: Figure, benchmarks: tuple[tuple[str, float], ...]) -> list[Artist]:
        axes = self._dose_axes(figure)
        for name, dose in benchmarks:
            axes.axhline(dose, ls=":", color=style.FAINT, lw=1.0)
            style.write(axes, FLOWS[1] * self.flow_scale * 1.08, dose, name, size=0.85)
        self.band = tint(axes, BLUE, 0.2)
        (self.line,) = axes.plot([], [], "-", color=style.BLUE, lw=2.2)
        (self.aim,) = axes.plot([], [], "--", color=style.INK, lw=1.8)
        (self.drop,) = axes.plot([], [], "-", color=style.FAINT, lw=0.8)
        (self.point,) = axes.plot([], [], "o", ms=11, color=style.BLUE, mec="white", zorder=5)
        self.reading = style.write(axes, 1.0, 1.0, weight="bold", bbox=style.ON_PAPER)
        self.room = Room(axes)
        head = figure.add_axes((0.4, 0.91, 0.6, 0.09))
        head.set_axis_off()
        self.aim_name = style.write(head, 0.0, 0.5, size=0.9)
        lines = [self.line, self.aim, self.drop, self.point]
        return [self.band, *lines, self.reading, self.aim_name]

    def _dose_axes(self, figure: Figure) -> Axes:
        self.flow_scale = scale("L/h")
        axes = figure.add_axes((0.465, 0.555, 0.335, 0.345))
        style.dress(axes, f"flow, {label(display_unit('L/h'))}", "dose, mJ/cm²")
        axes.set_xscale("log")
        axes.set_yscale("log")
        low, high = (end * self.flow_scale for end in FLOWS)
        axes.set_xlim(low, high)
        axes.set_ylim(*DOSES)
        flows = [tick for tick in FLOW_TICKS if low < tick < high]
        axes.set_xticks(flows, [str(tick) for tick in flows])
        axes.set_yticks([float(tick) for tick in DOSE_TICKS], DOSE_TICKS)
        axes.minorticks_off()
        return axes

    def _move_dose(self, one_pass: OnePass) -> None:
        flows = np.array(FLOWS)
        x = flows * self.flow_scale
        # The dose is in proportion to 1 / flow: a straight line here.
        low, best, high = (end * one_pass.flow / flows for end in one_pass.dose)
        self.band.set_xy(ribbon(x, low, high))
        self.line.set_data(x, best)
        at, dose = one_pass.flow * self.flow_scale, one_pass.dose.best
        self.drop.set_data([at, at, x[0]], [DOSES[0], dose, dose])
        self.point.set_data([at], [dose])
        self.reading.set_text(two_digits(dose))
        self.room.empty()
        for line in (self.line, self.aim, self.drop):
            self.room.line(*line.get_data())
        self.room.dot(at, dose, 13.0)
        steps = (1.9, 1 / 1.9, 3.0, 1 / 3.0, 5.0, 0.2)
        sides = (1.15, "left"), (1 / 1.15, "right"), (1.4, "left"), (1 / 1.4, "right")
        self.room.put(
            self.reading, [(at * aside, dose * up, side) for up in steps for aside, side in sides]
        )

    def _move_aim(self, aim: Aim) -> None:
        self.aim.set_data(np.array(FLOWS) * self.flow_scale, [aim.dose] * 2)
        share = f"{100.0 * aim.share:.2g} %"
        self.aim_name.set_text(f"dashed: {share} inactivated of\n{aim.organism}")

    def _tank(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.465, 0.15, 0.515, 0.24))
        style.dress(axes, "", "% left")
        axes.set_ylim(0.0, 104.0)
        axes.set_yticks([0, 50, 100])
        self.axis = GrowingAxis.along(axes, -12.0)
        style.write(axes, 0.5, -31.0, "hours of light on the tank's water", ha="center")
        dots = "dots: if nothing survived a pass"
        self.dots = style.write(axes, 0.99, 0.0, dots, size=0.85, ha="right")
        self.left_band = tint(axes, BLUE, 0.2)
        (self.fastest,) = axes.plot([], [], ":", color=style.INK, lw=1.6)
        (self.left,) = axes.plot([], [], "-", color=style.BLUE, lw=2.4)
        (self.cleared,) = axes.plot([], [], "o", ms=9, color=style.BLUE, mec="white", zorder=5)
        self.cleared.set_clip_on(False)
        until = f"hours until {CLEARED:g} % are gone"
        self.until = style.write(axes, 0.84, 0.0, until, ha="right")
        self.answer = style.write(axes, 0.86, 0.0, weight="bold")
        lines = [self.left_band, self.left, self.fastest, self.cleared]
        return [*lines, *self.axis.marks, self.until, self.answer, self.dots]

    def _move_tank(self, clearing: Clearing) -> None:
        end = float(clearing.times[-1])
        x = clearing.times / end
        low, best, high = (100.0 * share for share in clearing.left)
        self.left_band.set_xy(ribbon(x, low, high))
        self.left.set_data(x, best)
        self.fastest.set_data(x, 100.0 * clearing.left_at_most)
        clears = math.isfinite(clearing.hours)
        self.cleared.set_visible(clears)
        self.cleared.set_data([min(clearing.hours / end, 1.0)], [100.0 - CLEARED])
        self.axis.grow(end)
        self.answer.set_text(two_digits(clearing.hours) if clears else "never")
        # The words stand where the curve is not: above it, or under one that stays high.
        above, below = (97.0, 74.0) if clears else (55.0, 32.0)
        self.until.set_position((0.84, above))
        self.answer.set_position((0.86, above))
        self.dots.set_position((0.99, below))
