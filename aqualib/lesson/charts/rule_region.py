"""Where a rule of thumb holds: a map of food for each 100 L against temperature."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.charts.safety_map import between
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.lesson.drawing.words import Kept
from aqualib.units import display_unit, label, line_to, number

FOOD = "g/hL/day"
LEAST, MOST = 0.05, 125.0
"""Food (g for 100 L a day) with which the map begins and ends."""
TICKS = [step * 10.0**power for power in range(-3, 3) for step in (1.0, 3.0)]
COLD, WARM = 4.0, 30.0
ROOM_FOR_NAME = 0.15
"""Least width of a region that is named, as a share of the map's."""

# line -> its name and dash: dashes tell them apart without colour
LINES = {"low": ("at worst", "--"), "best": ("likely", "-"), "high": ("at best", ":")}
REGIONS = ("holds", "depends", "fails")


class RuleRegion:
    """Lesson 07: the region where a rule holds, depends or fails, and the learner's tank."""

    size = (6.5, 4.1)

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - the axes never change
        """Return nothing that changes: the axes stay."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw the axes; return regions, lines, their names and the point."""
        self.food_scale = line_to(FOOD, display_unit(FOOD))[0]
        self.warmth = line_to("degC", display_unit("degC"))
        axes = figure.add_axes((0.095, 0.135, 0.89, 0.845))
        style.dress(
            axes,
            f"food, {label(display_unit(FOOD))}",
            f"temperature, {label(display_unit('degC'))}",
        )
        axes.set_xlim(0.0, 1.0)
        axes.set_ylim(self._up(COLD), self._up(WARM))
        inside = [tick for tick in TICKS if LEAST <= tick / self.food_scale <= MOST]
        places = [float(self._across(tick / self.food_scale)) for tick in inside]
        axes.set_xticks(places, [number(tick, 1) for tick in inside])
        # Hatches are dear to draw: the region that fails is still, and the others lie over it.
        (*over, (fails, strength)) = style.ZONES
        patch(axes, fails, strength, 0.3).set_xy(
            rectangle(0.0, self._up(COLD), 1.0, self._up(WARM) - self._up(COLD))
        )
        self.paper = patch(axes, style.Look(style.PAPER), 1.0, 0.4)
        self.regions = [patch(axes, look, strength, 0.5) for look, strength in over]
        self.lines = {
            name: axes.plot([], [], dash, color=style.INK, lw=2.2 if name == "best" else 1.6)[0]
            for name, (_, dash) in LINES.items()
        }
        self.names = [
            style.write(axes, 1.0, 0.0, name, ha="center", weight="bold", bbox=style.ON_PAPER)
            for name in REGIONS
        ]
        self.line_names = {
            name: style.write(axes, 1.0, 0.0, words, 0.85, ha="center", bbox=style.ON_PAPER)
            for name, (words, _) in LINES.items()
        }
        self._tank(axes)
        tank = [self.level, self.crossing, self.point, self.reading, self.own]
        # All this stays where it is when only the tank moves.
        self.map = Kept(figure, [self.paper, *self.regions, *self.lines.values()])
        return [self.map, *self.names, *self.line_names.values(), *tank]

    def _tank(self, axes: Any) -> None:
        (self.level,) = axes.plot([], [], "-", color=style.FAINT, lw=0.8)
        (self.crossing,) = axes.plot([], [], "D", ms=7, color=style.PAPER, mec=style.INK, zorder=4)
        (self.point,) = axes.plot(
            [], [], "o", ms=12, color=style.BLUE, mec="white", mew=1.5, zorder=5, clip_on=False
        )
        # The number itself stands beside the picture: new type at every step would be slow.
        self.reading = style.write(
            axes, 1.0, 0.0, "likely limit", 0.9, ha="center", bbox=style.ON_PAPER
        )
        self.own = style.write(axes, 1.0, 0.0, "your tank", weight="bold", bbox=style.ON_PAPER)

    def update(self, result: Any) -> None:
        """Move the regions, the lines and the point."""
        height = self._up(result.celsius_grid)
        curves = {name: self._across(getattr(result, name)) for name in LINES}
        self.map.key = (result.low[0], result.high[0], result.low[-1], result.high[-1])
        left, right = np.zeros_like(height), np.ones_like(height)
        low, high = (np.clip(curves[name], 0.0, 1.0) for name in ("low", "high"))
        # Names stand in the half of the map where the tank is not.
        tank_is_warm = result.celsius > 0.5 * (COLD + WARM)
        at = self._up(10.5 if tank_is_warm else 23.5)
        edges = (left, low, high, right)
        self.paper.set_xy(between(left, high, height))
        for region, start, end in zip(self.regions, edges[:-2], edges[1:-1], strict=True):
            region.set_xy(between(start, end, height))
        for name, start, end in zip(self.names, edges[:-1], edges[1:], strict=True):
            self._name(name, np.interp(at, height, start), np.interp(at, height, end), at)
        foot = self._up(5.3 if tank_is_warm else 28.7)
        for name, line in self.lines.items():
            line.set_data(curves[name], height)
            x = float(np.interp(foot, height, curves[name]))
            self.line_names[name].set_position((x, foot))
            self.line_names[name].set_visible(0.06 < x < 0.94)
        self._move_tank(result)

    def _name(self, name: Any, start: float, end: float, at: float) -> None:
        """Put a region's name in its middle, or hide it where there is no room."""
        name.set_visible(bool(end - start > ROOM_FOR_NAME))
        name.set_position((0.5 * float(start + end), at))

    def _move_tank(self, result: Any) -> None:
        x, y = float(self._across(result.feed_density)), self._up(result.celsius)
        holds_to = float(self._across(result.best_here))
        self.point.set_data([x], [y])
        self.level.set_data([0.0, 1.0], [y, y])
        self.crossing.set_data([holds_to], [y])
        # Reading and name stand on the two sides of the line across, or one behind the other.
        step = self._up(1.6) - self._up(0.0)
        side = -1.0 if result.celsius > 0.5 * (COLD + WARM) else 1.0
        near_an_end = min(result.celsius - COLD, WARM - result.celsius) < 3.0
        self.reading.set_position((min(max(holds_to, 0.1), 0.9), y + side * step))
        self.reading.set_visible(0.0 <= holds_to <= 1.0)
        self.own.set_position((x, y + side * step * (2.2 if near_an_end else -1.2)))
        self.own.set_ha("right" if x > 0.88 else "left" if x < 0.12 else "center")

    def _across(self, food: Any) -> Any:
        """Return places on the map, 0 to 1 and even in ratios, for food in g for 100 L a day."""
        return np.log(np.maximum(food, 1e-9) / LEAST) / np.log(MOST / LEAST)

    def _up(self, celsius: Any) -> Any:
        factor, offset = self.warmth
        return factor * celsius + offset
