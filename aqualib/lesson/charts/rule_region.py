"""Lesson 08: where a rule of thumb holds: a map of food for each 100 L against temperature."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import as_shown, scale
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.room import Room
from aqualib.lesson.drawing.shapes import Array, patch, rectangle, upright_ribbon
from aqualib.lesson.drawing.words import Kept
from aqualib.parameters import parameter
from aqualib.units import Plain, display_unit, label, number

FOOD = "g/hL/day"
LEAST, MOST = 0.05, 125.0
"""Food (g for 100 L a day) with which the map begins and ends."""
TICKS = [step * 10.0**power for power in range(-3, 3) for step in (1.0, 3.0)]
COLD, WARM = parameter("tank_temperature").low, parameter("tank_temperature").high
ROOM_FOR_NAME, ROOM_FOR_WORDS, ROOM_FOR_BOTH = 0.13, 0.3, 0.5
"""Least width of what is named, as a share of the map's: a region; what a reactor did; both."""
HEIGHTS = 0.05, 0.12, 0.2, 0.3, 0.4, 0.5, 0.6, 0.72, 0.84, 0.93
"""Where names may stand, from the cold end up."""
OWN = 2.5, -2.5, 4.0, -4.0, 6.0, -6.0, 9.0, -9.0, 12.0, -12.0
"""How far over or under it the name of the tank may stand, in fortieths of the map."""
STOCKS = "light", "heavy"

# line -> its name and dash: dashes tell them apart without colour
LINES = {"low": ("at worst", "--"), "best": ("likely", "-"), "high": ("at best", ":")}
REGIONS = ("holds", "depends", "fails")


@dataclass(frozen=True, slots=True)
class RuleMap:
    """A rule on the map; food in g for 100 L a day, rates in g/m² a day, areas in m²."""

    celsius: float
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
    media_rate: float
    """What a litre of media must take out so that no nitrate is left, in mg of nitrogen a day."""
    reactor: tuple[float, float]
    """What a litre of reactor did that was fed for it, at least and at most."""
    reactor_food: tuple[float, float]
    """The food with which the media must do as much."""
    stocks: dict[str, float]
    """What tanks of light and of heavy stock eat."""
    warning: str
    """What is said of the ammonia that may remain, where it harms over weeks."""

    @property
    def verdict(self) -> str:
        """In which of the three regions the tank lies."""
        if self.feed_density <= self.low_here:
            return "holds"
        return "depends" if self.feed_density <= self.high_here else "fails"

    @property
    def nitrate_verdict(self) -> str:
        """Whether a reactor that was fed for it did what the media must do."""
        least, most = self.reactor
        return "fed" if self.media_rate <= least else "best" if self.media_rate <= most else "fails"


class RuleRegion(Chart[RuleMap]):
    """Where a rule holds, depends or fails for ammonia; under it the same for nitrate."""

    size = (7.2, 4.9)

    def build(self, figure: Figure, _: RuleMap) -> list[Artist]:
        """Draw the axes; return regions, lines, their names and the marks."""
        axes, strip = self._axes(figure)
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
        still = [self.paper, *self.regions, *self.lines.values(), *self._strip(strip)]
        # All this stays where it is when only the tank moves.
        self.map = Kept(figure, still)
        self.names = [
            style.write(axes, 1.0, 0.0, name, 0.9, ha="center", weight="bold", bbox=style.ON_PAPER)
            for name in REGIONS
        ]
        self.line_names = {
            name: style.write(axes, 1.0, 0.0, words, 0.9, bbox=style.ON_PAPER)
            for name, (words, _) in LINES.items()
        }
        words = [*self.names, *self.line_names.values(), *self.strip_names]
        return [self.map, *self._marks(axes, strip), *words, *self.stock_names, self.own]

    def _axes(self, figure: Figure) -> tuple[Axes, Axes]:
        food, warmth = (label(display_unit(unit)) for unit in (FOOD, "degC"))
        axes = figure.add_axes((0.1, 0.36, 0.88, 0.555))
        style.dress(axes, "", f"temperature, {warmth}")
        axes.set_xlim(0.0, 1.0)
        axes.set_ylim(_up(COLD), _up(WARM))
        axes.set_xticks([])
        strip = figure.add_axes((0.1, 0.125, 0.88, 0.135))
        style.dress(strip, f"food, {food}")
        strip.set_xlim(0.0, 1.0)
        strip.set_ylim(0.0, 1.0)
        strip.set_yticks([])
        factor = scale(FOOD)
        inside = [tick for tick in TICKS if LEAST <= tick / factor <= MOST]
        places = [float(_across(tick / factor)) for tick in inside]
        strip.set_xticks(places, [number(tick, 1) for tick in inside])
        style.write(
            axes, 1.0, _up(WARM) + 0.09 * (_up(WARM) - _up(COLD)), "for ammonia", ha="right"
        )
        style.write(strip, 0.0, 1.28, "for nitrate: mg a litre of media must take out a day")
        self.room = Room(axes)
        return axes, strip

    def _strip(self, strip: Axes) -> list[Artist]:
        """Make the regions of nitrate: what a fed reactor did, and beyond it."""
        (_, (caution, strong), (fails, strength)) = style.ZONES
        patch(strip, fails, strength, 0.3).set_xy(rectangle(0.0, 0.0, 1.0, 1.0))
        self.under = patch(strip, style.Look(style.PAPER), 1.0, 0.4)
        self.fed = patch(strip, caution, strong, 0.5)
        (self.reactor,) = strip.plot([], [], "-", color=style.INK, lw=2.2)
        look: dict[str, Any] = {"size": 0.9, "bbox": style.ON_PAPER}
        texts = (("only if fed", "center"), ("", "right"), ("", "left"))
        self.strip_names = [style.write(strip, 0.0, 0.5, text, ha=ha, **look) for text, ha in texts]
        return [self.under, self.fed, self.reactor]

    def _marks(self, axes: Axes, strip: Axes) -> list[Artist]:
        """Make the marks of light and heavy stock and of the learner's tank, on both."""
        (self.level,) = axes.plot([], [], "-", color=style.FAINT, lw=0.8)
        (self.crossing,) = axes.plot([], [], "D", ms=7, color=style.PAPER, mec=style.INK, zorder=4)
        self.posts = [
            one.plot([], [], "v", ms=8, mfc=style.PAPER, mec=style.INK, zorder=4, clip_on=False)[0]
            for one in (axes, strip)
        ]
        self.points = [
            one.plot([], [], "o", ms=12, color=style.BLUE, mec="white", mew=1.5, zorder=5)[0]
            for one in (axes, strip)
        ]
        for point in self.points:
            point.set_clip_on(False)
        self.point = self.points[0]
        above = _up(WARM) + 0.09 * (_up(WARM) - _up(COLD))
        self.stock_names = [
            style.write(axes, 0.0, above, name, 0.9, ha="center") for name in STOCKS
        ]
        self.own = style.write(axes, 1.0, 0.0, "your tank", weight="bold", bbox=style.ON_PAPER)
        return [self.level, *self.posts, self.crossing, *self.points]

    def update(self, rule: RuleMap) -> None:
        """Move the regions, the lines and the marks."""
        height = _up(rule.celsius_grid)
        curves = {name: _across(getattr(rule, name)) for name in LINES}
        self.map.key = (rule.low[0], rule.high[0], rule.low[-1], rule.high[-1], rule.reactor_food)
        left = np.zeros_like(height)
        low, high = (np.clip(curves[name], 0.0, 1.0) for name in ("low", "high"))
        self.paper.set_xy(upright_ribbon(left, high, height))
        for region, start, end in zip(self.regions, (left, low), (low, high), strict=True):
            region.set_xy(upright_ribbon(start, end, height))
        for name, line in self.lines.items():
            line.set_data(curves[name], height)
        self._move_strip(rule)
        self._move_marks(rule)
        self._name(rule, height, [left, low, high, np.ones_like(height)])

    def _move_strip(self, rule: RuleMap) -> None:
        first, last = (min(max(float(_across(food)), 0.0), 1.0) for food in rule.reactor_food)
        for region in (self.under, self.fed):
            region.set_xy(rectangle(0.0, 0.0, last, 1.0))
        self.reactor.set_data([first, first, np.nan, last, last], [0.0, 1.0, np.nan, 0.0, 1.0])
        only, least, most = self.strip_names
        ends = [number(rate, 2) for rate in rule.reactor]
        least.set_text(f"a fed reactor did {ends[0]}")
        most.set_text(f"to {ends[1]}; beyond it fails")
        only.set_visible(first > ROOM_FOR_BOTH)
        only.set_position((0.09, 0.5))
        least.set_visible(first > ROOM_FOR_WORDS)
        least.set_position((first - 0.01, 0.5))
        most.set_visible(last < 1.0 - ROOM_FOR_WORDS)
        most.set_position((last + 0.01, 0.5))

    def _move_marks(self, rule: RuleMap) -> None:
        x, y = float(_across(rule.feed_density)), _up(rule.celsius)
        self.points[0].set_data([x], [y])
        self.points[1].set_data([x], [1.0])
        self.level.set_data([0.0, 1.0], [y, y])
        self.crossing.set_data([float(_across(rule.best_here))], [y])
        places = [float(_across(food)) for food in rule.stocks.values()]
        for posts, top in zip(self.posts, (_up(WARM), 1.0), strict=True):
            inside = [place if 0.0 <= place <= 1.0 else np.nan for place in places]
            posts.set_data(inside, [top] * len(places))
        for name, stock, place in zip(self.stock_names, STOCKS, places, strict=True):
            name.set_text(stock if 0.0 <= place <= 1.0 else "")
            name.set_position((min(max(place, 0.0), 0.8), name.get_position()[1]))

    def _name(self, rule: RuleMap, height: Array, edges: list[Array]) -> None:
        """Write the names where no line runs: the tank's first, then the regions', the lines'."""
        room, step = self.room, (_up(WARM) - _up(COLD)) / 40.0
        room.empty()
        for line in (*self.lines.values(), self.level):
            room.line(*line.get_data())
        x, y = float(_across(rule.feed_density)), _up(rule.celsius)
        room.dot(x, y, 15.0)
        room.dot(float(_across(rule.best_here)), y, 10.0)
        beside = (0.015, "left"), (-0.015, "right"), (0.08, "left"), (-0.08, "right")
        own = [(x + aside, y + up * step, side) for up in OWN for aside, side in beside]
        room.put(self.own, own)
        levels = [_up(COLD) + share * (_up(WARM) - _up(COLD)) for share in HEIGHTS]
        for words, start, end in zip(self.names, edges[:-1], edges[1:], strict=True):
            ends = [(float(np.interp(at, height, start)), float(np.interp(at, height, end)))
                    for at in levels]  # fmt: skip
            words.set_visible(max(b - a for a, b in ends) > ROOM_FOR_NAME)
            if words.get_visible():
                room.put(words, ((a + part * (b - a), at, "center") for part in (0.5, 0.27, 0.75)
                         for (a, b), at in zip(ends, levels, strict=True)))  # fmt: skip
        sides = (0.012, "left"), (-0.012, "right")
        for name, line in self.lines.items():
            x = np.interp(levels, height, np.asarray(line.get_xdata()))
            places = [(float(at), up) for at, up in zip(x, levels, strict=True) if 0.0 < at < 1.0]
            room.put(
                self.line_names[name],
                [(at + aside, up, side) for at, up in places for aside, side in sides],
            )


def _across(food: Array | float) -> Array:
    """Return places on the map, 0 to 1 and even in ratios, for food in g for 100 L a day."""
    return np.asarray(np.log(np.maximum(food, 1e-9) / LEAST) / np.log(MOST / LEAST))


def _up(celsius: Plain) -> Plain:
    return as_shown(celsius, "degC")
