"""Lesson 02: one day's nitrogen as bands from food to water, and what the water would read."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import round_above
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import band, patch, rectangle
from aqualib.lesson.drawing.words import Words
from aqualib.tank.load import NitrogenBudget
from aqualib.units import number

WIDTH, HEIGHT = 100.0, 50.0
FILTER_LEFT, FILTER_RIGHT = 55.0, 78.0
FILTER_MIDDLE = (FILTER_LEFT + FILTER_RIGHT) / 2.0
FULL = 25.0
"""Height of all the bands together when the nitrogen just fills the scale."""
FOOD_LEFT, FOOD_RIGHT = 1.5, 12.5
FOOD_CENTRE = (FOOD_LEFT + FOOD_RIGHT) / 2.0
BAR, BAR_FOOT = 0.2, 44.0
"""The bar that tells the scale: its length over the full height, and where it stands."""
LEAST = 1.0
"""mg of nitrogen; a day with less than this is drawn as one with so much."""
FOOD_MIDDLE = 25.0
SCALE_LOW, SCALE_HIGH = 0.01, 100.0
ROWS = 1.55, 2.15
"""Heights of the words over the strip, in heights of the strip."""
CLEAR, BESIDE = 1.14, 1.06
"""Factors along the strip: from the marker to a zone's name, and from a leader to its words."""
PER_SIGN = 1.11
"""Factor along the strip that one sign of a zone's name takes."""
MIDDLE = math.sqrt(SCALE_LOW * SCALE_HIGH)
OTHER = style.Look("#BBBBBB", "-", "", "--")

# share of the budget -> (look, height of its end, name), from the top down
BRANCHES = {
    "retained": (style.ANIMALS, 46.0, "kept in the animals"),
    "other_dissolved": (OTHER, 38.5, "other dissolved waste"),
    "total_ammonia": (style.AMMONIA, 24.0, "ammonia"),
    "solids": (style.SOLIDS, 3.5, "solids: faeces, leftovers"),
}


@dataclass(frozen=True, slots=True)
class Day:
    """What one day's food does: nitrogen in mg, what it takes in g, mg N/L, hours."""

    budget: NitrogenBudget
    oxygen_bill: float
    alkalinity_bill: float
    total_ammonia: float
    unionised: float
    acute: float
    chronic: float
    hours: float
    hours_to_chronic: float

    @property
    def budget_total(self) -> float:
        """All the nitrogen in the day's food, in mg."""
        return float(sum(self.budget))


class NitrogenFlow(Chart[Day]):
    """The flow diagram; a strip below sets the ammonia against the limits."""

    size = (7.2, 5.4)

    def build(self, figure: Figure, _: Day) -> list[Artist]:
        """Draw names, filter box and strip; return the bands, numbers and zones."""
        axes = figure.add_axes((0.0, 0.3, 1.0, 0.7))
        style.bare(axes, WIDTH, HEIGHT)
        axes.set_aspect("auto")
        self._names(axes)
        self.food = patch(axes, style.FOOD)
        self.bands = {share: patch(axes, look) for share, (look, _, _) in BRANCHES.items()}
        self.inside = patch(axes, replace(style.NITRITE, hatch="||"))
        # In grey the three matters of the stream are told apart by their hatches.
        self.nitrate = patch(axes, replace(style.NITRATE, hatch="++"))
        self.amounts = {share: style.write(axes, 44.0, y) for share, (_, y, _) in BRANCHES.items()}
        self.amounts["total_ammonia"].set_position((40.0, 13.0))
        self.amounts["total_ammonia"].set_ha("center")
        self.food_amount = style.write(axes, FOOD_LEFT, 7.0)
        self.nitrate_amount = style.write(axes, 89.0, 13.0, ha="center")
        self.bill = style.write(axes, FILTER_MIDDLE, 13.0, ha="center", size=0.9)
        (self.bar,) = axes.plot([98.5, 98.5], [0.0, 0.0], color=style.FAINT, lw=3)
        self.full = style.write(
            axes, 97.5, BAR_FOOT + 1.5, ha="right", size=0.85, color=style.FAINT
        )
        strip = self._strip(figure)
        patches = [self.food, *self.bands.values(), self.inside, self.nitrate]
        words = [
            *self.amounts.values(),
            self.food_amount,
            self.nitrate_amount,
            self.bill,
            self.full,
            self.bar,
        ]
        return [*patches, *words, *strip]

    def update(self, day: Day) -> None:
        """Move bands, numbers, zones and marker."""
        full = round_above(max(day.budget_total, LEAST))
        per_mg = FULL / full
        total, ammonia = day.budget_total, day.budget.total_ammonia
        # A bar that tells the scale, as in the other drawings.
        self.full.set_text(f"{number(BAR * full, 2)} mg N")
        self.bar.set_ydata([BAR_FOOT, BAR_FOOT + BAR * FULL])
        low = FOOD_MIDDLE - total * per_mg / 2.0
        self.food.set_xy(rectangle(FOOD_LEFT, low, FOOD_RIGHT - FOOD_LEFT, total * per_mg))
        self.food_amount.set_text(f"{number(total)} mg N")
        self._branch(day.budget, per_mg)
        middle, height = BRANCHES["total_ammonia"][1], ammonia * per_mg
        self.inside.set_xy(band((FILTER_LEFT, middle), (FILTER_RIGHT, middle), height))
        self.nitrate.set_xy(band((FILTER_RIGHT, middle), (99.0, middle), height))
        self.nitrate_amount.set_text(f"{number(ammonia)} mg N")
        self.bill.set_text(
            f"takes\n{number(day.oxygen_bill)} g oxygen,\n"
            f"{number(day.alkalinity_bill)} g alkalinity"
        )
        self._move_strip(day)

    def _branch(self, budget: NitrogenBudget, per_mg: float) -> None:
        """Lead each part of the food's nitrogen from its place in the food to its end."""
        top = FOOD_MIDDLE + sum(budget) * per_mg / 2.0
        for share, (_, end, _) in BRANCHES.items():
            amount = getattr(budget, share)
            height = amount * per_mg
            right = FILTER_LEFT if share == "total_ammonia" else 43.0
            self.bands[share].set_xy(band((FOOD_RIGHT, top - height / 2.0), (right, end), height))
            self.amounts[share].set_text(f"{number(amount)} mg N")
            top -= height

    def _names(self, axes: Axes) -> None:
        style.write(axes, FOOD_CENTRE, 46.0, "food", weight="bold", ha="center")
        style.write(axes, FOOD_CENTRE, 42.0, "one day", ha="center", size=0.85, color=style.FAINT)
        for share, (_, y, name) in BRANCHES.items():
            if share != "total_ammonia":
                style.write(axes, 59.5, y, name)
        style.write(axes, 40.0, 33.0, "ammonia", weight="bold", ha="center")
        style.write(axes, 89.0, 33.0, "nitrate", weight="bold", ha="center")
        box = patch(axes, style.Look(style.PAPER), 1.0, 0.5)
        box.set_xy(rectangle(FILTER_LEFT, 6.5, FILTER_RIGHT - FILTER_LEFT, 30.0))
        name = "filter,\nby way of nitrite"
        style.write(axes, FILTER_MIDDLE, 33.0, name, ha="center", size=0.9)

    def _strip(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.035, 0.1, 0.93, 0.09))
        style.dress(axes, "total ammonia in the water, mg N/L, if the filter stands still")
        axes.set_xscale("log")
        axes.set_xlim(SCALE_LOW, SCALE_HIGH)
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        ticks = [0.01, 0.1, 1.0, 10.0, 100.0]
        axes.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
        axes.minorticks_off()
        self.zones = [patch(axes, look, strength, 0.5) for look, strength in style.ZONES]
        names = ("safe", "harms\nover weeks", "act now")
        self.zone_names = [
            style.write(axes, 1.0, 0.5, name, ha="center", size=0.85, bbox=style.ON_PAPER)
            for name in names
        ]
        (self.marker,) = axes.plot(
            [1.0], [0.5], "o", ms=11, color=style.BLUE, mec="white", clip_on=False
        )
        # Over the strip, in two rows, so that the two words never meet.
        (self.leaders,) = axes.plot([], [], color=style.INK, lw=1, clip_on=False)
        self.reading = style.write(axes, 1.0, ROWS[0], size=0.9, weight="bold")
        self.limit = style.write(axes, 1.0, ROWS[1], size=0.9)
        return [*self.zones, *self.zone_names, self.leaders, self.marker, self.reading, self.limit]

    def _move_strip(self, day: Day) -> None:
        reading = min(max(day.total_ammonia, SCALE_LOW), SCALE_HIGH)
        edges = [SCALE_LOW, day.chronic, day.acute, SCALE_HIGH]
        for zone, name, low, high in zip(
            self.zones, self.zone_names, edges[:-1], edges[1:], strict=True
        ):
            zone.set_xy(rectangle(low, 0.0, max(high - low, 0.0), 1.0))
            self._name_zone(name, low, high, reading)
        self.marker.set_xdata([reading])
        self.leaders.set_data(
            [reading, reading, math.nan, day.chronic, day.chronic],
            [0.5, ROWS[1], math.nan, 0.0, ROWS[0]],
        )
        self.reading.set_text(f"after {number(day.hours)} h without a filter")
        beside_leader(self.reading, reading, ROWS[1], right=reading < MIDDLE)
        self.limit.set_text(f"limit at {duration(day.hours_to_chronic)}")
        # On the side away from the leader that goes past it.
        beside_leader(self.limit, day.chronic, ROWS[0], right=reading < day.chronic)

    def _name_zone(self, name: Words, low: float, high: float, reading: float) -> None:
        """Put the name of a zone in the middle of it, or of its larger part beside the marker."""
        if low / CLEAR < reading < high * CLEAR:
            sides = (low, reading / CLEAR), (reading * CLEAR, high)
            low, high = max(sides, key=lambda side: side[1] / side[0])
        name.set_x(math.sqrt(low * high))
        longest = max(len(line) for line in name.get_text().splitlines())
        name.set_visible(high > PER_SIGN ** (longest * style.text_scale()) * low)


def duration(hours: float) -> str:
    """Return a time as a keeper says it."""
    if hours < 2.0:
        return f"{number(60 * hours, 2)} minutes"
    return f"{number(hours, 2)} hours" if hours < 72.0 else f"{number(hours / 24, 2)} days"


def beside_leader(words: Words, place: float, row: float, *, right: bool) -> None:
    """Put words beside the end of a leader, to the right or to the left of it."""
    words.stand_beside(place * BESIDE if right else place / BESIDE, row, 0.0, right=right)
