"""Lesson 08: where a rule of thumb holds: a map of food for each 100 L against temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import as_shown, scale
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, rectangle, upright_ribbon
from aqualib.lesson.drawing.words import Kept, Words
from aqualib.parameters import parameter
from aqualib.units import Plain, display_unit, label, number

FOOD = "g/hL/day"
LEAST, MOST = 0.05, 125.0
"""Food (g for 100 L a day) with which the map begins and ends."""
TICKS = [step * 10.0**power for power in range(-3, 3) for step in (1.0, 3.0)]
COLD, WARM = parameter("tank_temperature").low, parameter("tank_temperature").high
ROOM_FOR_NAME = 0.15
"""Least width of a region that is named, as a share of the map's."""

# line -> its name and dash: dashes tell them apart without colour
LINES = {"low": ("at worst", "--"), "best": ("likely", "-"), "high": ("at best", ":")}
REGIONS = ("holds", "depends", "fails")


@dataclass(frozen=True, slots=True)
class RuleMap:
    """A rule on the map; food in g for 100 L a day, rates in g/m² a day, areas in m²."""

    rule: float
    salinity: float
    celsius: float
    protein: float
    ammonia: float
    area: float
    feed_density: float
    celsius_grid: Array
    low: Array
    best: Array
    high: Array
    rates: tuple[float, float, float]
    """What a square metre takes out: at worst, likely, at best."""
    low_here: float
    best_here: float
    high_here: float
    rate_needed: float
    warning: str
    """What is said of the ammonia that may remain, where it harms over weeks."""

    @property
    def verdict(self) -> str:
        """In which of the three regions the tank lies."""
        if self.feed_density <= self.low_here:
            return "holds"
        return "depends" if self.feed_density <= self.high_here else "fails"


class RuleRegion(Chart[RuleMap]):
    """The region where a rule holds, depends or fails, and the learner's tank."""

    size = (6.5, 4.1)

    def build(self, figure: Figure, _: RuleMap) -> list[Artist]:
        """Draw the axes; return regions, lines, their names and the point."""
        axes = self._axes(figure)
        # Hatches are dear to draw: the region that fails is still, and the others lie over it.
        (*over, (fails, strength)) = style.ZONES
        patch(axes, fails, strength, 0.3).set_xy(
            rectangle(0.0, _up(COLD), 1.0, _up(WARM) - _up(COLD))
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
        tank = self._tank(axes)
        # All this stays where it is when only the tank moves.
        self.map = Kept(figure, [self.paper, *self.regions, *self.lines.values()])
        return [self.map, *self.names, *self.line_names.values(), *tank]

    def _axes(self, figure: Figure) -> Axes:
        axes = figure.add_axes((0.095, 0.135, 0.89, 0.845))
        food, warmth = (label(display_unit(unit)) for unit in (FOOD, "degC"))
        style.dress(axes, f"food, {food}", f"temperature, {warmth}")
        axes.set_xlim(0.0, 1.0)
        axes.set_ylim(_up(COLD), _up(WARM))
        factor = scale(FOOD)
        inside = [tick for tick in TICKS if LEAST <= tick / factor <= MOST]
        places = [float(_across(tick / factor)) for tick in inside]
        axes.set_xticks(places, [number(tick, 1) for tick in inside])
        return axes

    def _tank(self, axes: Axes) -> list[Artist]:
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
        return [self.level, self.crossing, self.point, self.reading, self.own]

    def update(self, rule: RuleMap) -> None:
        """Move the regions, the lines and the point."""
        height = _up(rule.celsius_grid)
        curves = {name: _across(getattr(rule, name)) for name in LINES}
        self.map.key = (rule.low[0], rule.high[0], rule.low[-1], rule.high[-1])
        left, right = np.zeros_like(height), np.ones_like(height)
        low, high = (np.clip(curves[name], 0.0, 1.0) for name in ("low", "high"))
        # Names stand in the half of the map where the tank is not.
        tank_is_warm = rule.celsius > 0.5 * (COLD + WARM)
        at = _up(10.5 if tank_is_warm else 23.5)
        edges = (left, low, high, right)
        self.paper.set_xy(upright_ribbon(left, high, height))
        for region, start, end in zip(self.regions, edges[:-2], edges[1:-1], strict=True):
            region.set_xy(upright_ribbon(start, end, height))
        for words, start, end in zip(self.names, edges[:-1], edges[1:], strict=True):
            self._name(words, np.interp(at, height, start), np.interp(at, height, end), at)
        foot = _up(5.3 if tank_is_warm else 28.7)
        for name, line in self.lines.items():
            line.set_data(curves[name], height)
            x = float(np.interp(foot, height, curves[name]))
            self.line_names[name].set_position((x, foot))
            self.line_names[name].set_visible(0.06 < x < 0.94)
        self._move_tank(rule)

    def _name(self, words: Words, start: float, end: float, at: float) -> None:
        """Put a region's name in its middle, or hide it where there is no room."""
        words.set_visible(bool(end - start > ROOM_FOR_NAME))
        words.set_position((0.5 * float(start + end), at))

    def _move_tank(self, rule: RuleMap) -> None:
        x, y = float(_across(rule.feed_density)), _up(rule.celsius)
        holds_to = float(_across(rule.best_here))
        self.point.set_data([x], [y])
        self.level.set_data([0.0, 1.0], [y, y])
        self.crossing.set_data([holds_to], [y])
        # Reading and name stand on the two sides of the line across, or one behind the other.
        step = _up(1.6) - _up(0.0)
        side = -1.0 if rule.celsius > 0.5 * (COLD + WARM) else 1.0
        near_an_end = min(rule.celsius - COLD, WARM - rule.celsius) < 3.0
        self.reading.set_position((min(max(holds_to, 0.1), 0.9), y + side * step))
        self.reading.set_visible(0.0 <= holds_to <= 1.0)
        self.own.set_position((x, y + side * step * (2.2 if near_an_end else -1.2)))
        self.own.set_ha("right" if x > 0.88 else "left" if x < 0.12 else "center")


def _across(food: Array | float) -> Array:
    """Return places on the map, 0 to 1 and even in ratios, for food in g for 100 L a day."""
    return np.asarray(np.log(np.maximum(food, 1e-9) / LEAST) / np.log(MOST / LEAST))


def _up(celsius: Plain) -> Plain:
    return as_shown(celsius, "degC")
