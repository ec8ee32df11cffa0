"""Lesson 10: carbon in a tray to scale, how full it is, and the tank with and without it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import GrowingAxis, roomy_end, scale
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.room import Room
from aqualib.lesson.drawing.shapes import Array, patch, rectangle, ribbon, tint
from aqualib.units import display_unit, label, number

CARBON = style.Look("#444444", "-", "", "oo")
HELD = style.Look(style.YELLOW, "-", "", "++")
# The sheet on the left, in mm of the filter.
SHEET_WIDTH, SHEET_HEIGHT = 330.0, 600.0
LEFT, VALUES = 30.0, 222.0
TRAY_FLOOR, TRAY_HEIGHT, BELOW = 446.0, 52.0, 26.0
BARS = 15
"""Of the grid that is the floor of the tray."""
BAR_FLOOR, BAR_HEIGHT, BAR_LENGTH = 168.0, 52.0, 270.0
# What stands still beside each number, and where: few signs then have to be set anew.
ROWS = {
    "grams": ("carbon", 568.0),
    "depth": ("layer in the tray", 534.0),
    "contact": ("water is in it", 380.0),
    "held": ("it holds", 274.0),
    "room": ("dashed: it can", 136.0),
}
BOLD = ("grams", "held")
ALONG = 0.2, 0.35, 0.5, 0.65, 0.8, 0.95, 0.1
"""Shares of the days where a curve's name may stand."""
ASIDE = 0.06, 0.1, 0.15, 0.22, 0.3
"""How far from its curve, over the height of the axes."""
OVERFULL = 1.02
"""Carbon that holds this many times what it can gives back."""


class Portion(NamedTuple):
    """A portion of carbon and its tank, all that a run rests on, in SI base units."""

    mass: float
    flow: float
    production: float
    volume: float
    initial: float
    capacity: float
    exponent: float
    rate: float
    bulk_density: float
    change: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """The tank if the carbon holds less, or more, than the K set."""

    tank_less: Array
    tank_more: Array
    halved_less: float
    """The day on which its effect has halved."""
    halved_more: float


@dataclass(frozen=True, slots=True)
class CarbonDay:
    """Carbon on one day: g, L/h, mg, mg/L, mm, s, percent, days."""

    portion: Portion
    grams: float
    flow: float
    day: float
    depth: float
    width: float
    contact: float
    one_pass: float
    days: Array
    tank: Array
    without: Array
    now: float
    now_without: float
    held: float
    room: float
    room_without: float
    full_on: float
    halved_on: float
    gone_on: float
    best_change: float
    doubt: Doubt | None = None

    @property
    def fullness(self) -> float:
        """What is held over what can be held in the water of this day, in percent."""
        return 100.0 * self.held / self.room if self.room > 0.0 else 0.0


class FillingCarbon(Chart[CarbonDay]):
    """A tray with its layer of carbon, a bar of what it holds, and the tank over the days."""

    size = (7.2, 4.35)

    def __init__(self, days: float) -> None:
        """Make a chart over so many days."""
        self.days = days

    def build(self, figure: Figure, carbon: CarbonDay) -> list[Artist]:
        """Draw tray and axes; return carbon, bar, curves and words."""
        wide = self.size[1] * SHEET_WIDTH / SHEET_HEIGHT / self.size[0]
        sheet = figure.add_axes((0.0, 0.0, wide, 1.0))
        style.bare(sheet, SHEET_WIDTH, SHEET_HEIGHT)
        moving = [*self._tray(sheet, carbon.width), *self._bar(sheet)]
        return [*moving, *self._curves(figure, wide)]

    def update(self, carbon: CarbonDay) -> None:
        """Move everything to the result."""
        self._move_tray(carbon)
        self._move_bar(carbon)
        self._move_curves(carbon)

    def _tray(self, axes: Axes, width: float) -> list[Artist]:
        self.tray_left = (SHEET_WIDTH - width) / 2.0
        right, top = self.tray_left + width, TRAY_FLOOR + TRAY_HEIGHT
        water = tint(axes, style.WATER, 0.3)
        water.set_xy(rectangle(self.tray_left, TRAY_FLOOR - BELOW, width, TRAY_HEIGHT + BELOW))
        for x in (self.tray_left, right):
            axes.plot([x, x], [TRAY_FLOOR - BELOW, top], color=style.GLASS, lw=2.5)
        # A tray: walls with a rim, and a floor of bars that lets the water through.
        rims = [(self.tray_left, self.tray_left - 10.0), (right, right + 10.0)]
        for wall, rim in rims:
            axes.plot([rim, wall], [top, top], color=style.GLASS, lw=2.5)
        floor = np.linspace(self.tray_left, right, 2 * BARS)
        for start, end in zip(floor[::2], floor[1::2], strict=True):
            axes.plot([start, end], [TRAY_FLOOR] * 2, color=style.GLASS, lw=3)
        for x in np.linspace(self.tray_left, right, 6)[1:-1]:
            axes.plot([x], [TRAY_FLOOR - 15.0], "^", ms=7, color=style.BLUE)
        self.carbon = patch(axes, CARBON, 1.0, 2.0)
        self.values = {}
        for name, (words, y) in ROWS.items():
            style.write(axes, LEFT, y, words, size=0.9)
            weight = "bold" if name in BOLD else "normal"
            self.values[name] = style.write(axes, VALUES, y, size=0.9, weight=weight)
        return [self.carbon, *self.values.values()]

    def _move_tray(self, carbon: CarbonDay) -> None:
        self.carbon.set_xy(rectangle(self.tray_left, TRAY_FLOOR, carbon.width, carbon.depth))
        texts = {
            "grams": in_shown(carbon.grams, "g"),
            "depth": in_shown(carbon.depth, "mm"),
            "contact": f"{number(carbon.contact, 2)} s",
            "held": f"{number(carbon.held, 2)} mg",
            "room": f"{number(carbon.room, 2)} mg",
        }
        for name, text in texts.items():
            self.values[name].set_text(text)

    def _bar(self, axes: Axes) -> list[Artist]:
        self.room = patch(axes, style.Look(style.PAPER), 1.0, 1.0)
        self.held = patch(axes, HELD, 0.9, 1.1)
        (self.limit,) = axes.plot([], [], "--", color=style.VERMILION, lw=2)
        self.back = style.write(
            axes, LEFT, 90.0, "too much for this water:\nit gives back", 0.9, va="top"
        )
        return [self.room, self.held, self.limit, self.back]

    def _move_bar(self, carbon: CarbonDay) -> None:
        most = max(carbon.room_without, carbon.room, carbon.held) or 1.0
        length = BAR_LENGTH / most
        room = length * max(carbon.room_without, carbon.room)
        self.room.set_xy(rectangle(LEFT, BAR_FLOOR, room, BAR_HEIGHT))
        self.held.set_xy(rectangle(LEFT, BAR_FLOOR, length * carbon.held, BAR_HEIGHT))
        end = LEFT + length * carbon.room
        self.limit.set_data([end, end], [BAR_FLOOR - 10.0, BAR_FLOOR + BAR_HEIGHT + 10.0])
        self.back.set_visible(carbon.held > OVERFULL * carbon.room > 0.0)

    def _curves(self, figure: Figure, wide: float) -> list[Artist]:
        axes = figure.add_axes((wide + 0.095, 0.135, 0.87 - wide, 0.78))
        style.dress(axes, "days since the carbon was put in")
        axes.set_xlim(0.0, self.days)
        self.height = GrowingAxis.upright(axes, -0.02 * self.days)
        self.marks = self.height.marks
        axes.set_xticks(np.arange(0.0, self.days + 1.0, 20.0))
        style.write(axes, -0.06 * self.days, 1.055, "dissolved organics, mg/L", size=0.9)
        self.grey = style.write(axes, self.days, 1.055, size=0.85, ha="right", color=style.FAINT)
        self.band = tint(axes, style.Look(style.INK), 0.12)
        (self.without,) = axes.plot([], [], "--", color=style.FAINT, lw=2)
        (self.tank,) = axes.plot([], [], color=style.INK, lw=2.5)
        (self.halved,) = axes.plot([], [], ":", color=style.VERMILION, lw=2)
        (self.now,) = axes.plot([], [], "o", ms=11, color=style.BLUE, mec="white", zorder=5)
        self.now.set_clip_on(False)
        self.names = {
            "without": style.write(axes, 0.0, 0.0, color=style.FAINT),
            "tank": style.write(axes, 0.0, 0.0, weight="bold"),
        }
        self.clear = Room(axes)
        self.halved_words, self.halved_day = (
            style.write(axes, 0.0, 0.0, size=0.9, bbox=style.ON_PAPER) for _ in range(2)
        )
        lines = [self.band, self.without, self.tank, self.halved, self.now]
        words = [self.grey, self.halved_words, self.halved_day]
        return [*lines, *self.marks, *words, *self.names.values()]

    def _move_curves(self, carbon: CarbonDay) -> None:
        highest = float(max(carbon.without.max(), carbon.tank.max()))
        top = roomy_end(1.3 * highest)
        self.height.grow(top)
        self.tank.set_data(carbon.days, carbon.tank / top)
        self.without.set_data(carbon.days, carbon.without / top)
        self.band.set_visible(carbon.doubt is not None)
        self.grey.set_text("")
        if carbon.doubt is not None:
            self.grey.set_text("grey: how sure that is")
            low, high = carbon.doubt.tank_more / top, carbon.doubt.tank_less / top
            self.band.set_xy(ribbon(carbon.days, np.minimum(high, 1.0), low))
        self._mark_halved(carbon.halved_on)
        self._read_off(carbon, min(carbon.now / top, 1.0))

    def _read_off(self, carbon: CarbonDay, now: float) -> None:
        """Move the point, and name the curves where none of the lines runs."""
        self.now.set_data([carbon.day], [now])
        self.names["tank"].set_text(f"{number(carbon.now, 2)} with carbon")
        self.names["without"].set_text(f"{number(carbon.now_without, 2)} without carbon")
        self.clear.empty()
        for line in (self.tank, self.without, self.halved):
            if line.get_visible():
                self.clear.line(*line.get_data())
        self.clear.dot(carbon.day, now, 13.0)
        for words in (self.halved_words, self.halved_day):
            self.clear.taken(words)
        worse = carbon.now > carbon.now_without
        for name, curve, up in (
            ("without", self.without, -1.0 if worse else 1.0),
            ("tank", self.tank, 1.0 if worse else -1.0),
        ):
            x, y = (np.asarray(part, float) for part in curve.get_data())
            days = [share * self.days for share in ALONG]
            places = [
                (day, float(np.interp(day, x, y)) + side * up * aside, "center")
                for side in (1.0, -1.0)
                for aside in ASIDE
                for day in days
            ]
            self.clear.put(self.names[name], places)

    def _mark_halved(self, halved_on: float) -> None:
        there = 0.0 < halved_on <= self.days
        self.halved.set_visible(there)
        if there:
            self.halved.set_data([halved_on, halved_on], [0.0, 1.0])
        words, day = "effect halved:", f"day {number(halved_on, 2)}"
        if not halved_on:
            words, day = "too little carbon to see", ""
        elif math.isinf(halved_on):
            words, day = "half of it lasts beyond", f"day {self.days:.0f}"
        at = halved_on if there else self.days
        right = at < 0.55 * self.days
        for line, text, y in ((self.halved_words, words, 0.965), (self.halved_day, day, 0.9)):
            line.stand_beside(at, y, 0.02 * self.days, right=right)
            line.set_text(text)


def in_shown(value: float, metric_unit: str) -> str:
    """Return an amount in the unit shown alone; the metric one stands beside its slider."""
    return f"{number(value * scale(metric_unit), 2)} {label(display_unit(metric_unit))}"
