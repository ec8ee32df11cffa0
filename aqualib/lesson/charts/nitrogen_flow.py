"""One day's nitrogen, drawn as bands from the food to the water, and what its water would read."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.charts import style
from aqualib.lesson.charts.shapes import band, patch, rectangle
from aqualib.units import number

WIDTH, HEIGHT = 100.0, 50.0
SPLIT = 34.0
FILTER_LEFT, FILTER_RIGHT = 58.0, 74.0
FULL = 25.0
"""Height of all the bands together when the nitrogen just fills the scale."""
FOOD_MIDDLE = 25.0
SCALE_LOW, SCALE_HIGH = 0.01, 100.0
OTHER = style.Look("#BBBBBB", "-", "", "--")

# share of the budget -> (look, height of its end, name), from the top down
BRANCHES = {
    "retained": (style.ANIMALS, 46.0, "kept in the animals"),
    "other_dissolved": (OTHER, 38.5, "other dissolved waste"),
    "total_ammonia": (style.AMMONIA, 24.0, "ammonia"),
    "solids": (style.SOLIDS, 5.0, "solids: faeces, leftovers"),
}


def scale_for(nitrogen: float) -> float:
    """Return the round amount (1, 2 or 5 times a power of ten) that fills the drawing."""
    power = 10.0 ** math.floor(math.log10(nitrogen))
    steps = (step * power for step in (1.0, 2.0, 5.0, 10.0))
    return next(step for step in steps if nitrogen <= step * 1.0001)


class NitrogenFlow:
    """The flow diagram of lesson 02; a strip below sets the ammonia against the limits."""

    size = (7.2, 5.2)

    def frame(self, result: Any) -> Hashable:
        """Return the scale of the bands; within one scale only the bands and numbers move."""
        return scale_for(max(result.budget_total, 1e-3))

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw names, filter box, scale and strip; return the bands, numbers and zones."""
        self.scale = scale_for(max(result.budget_total, 1e-3))
        axes = figure.add_axes((0.0, 0.26, 1.0, 0.74))
        style.bare(axes, WIDTH, HEIGHT)
        axes.set_aspect("auto")
        self._names(axes)
        self.food = patch(axes, style.FOOD)
        self.bands = {share: patch(axes, look) for share, (look, _, _) in BRANCHES.items()}
        self.inside = patch(axes, style.NITRITE)
        self.nitrate = patch(axes, style.NITRATE)
        self.amounts = {
            share: style.write(axes, 57.0 if share != "total_ammonia" else 46.0, y, ha="center")
            for share, (_, y, _) in BRANCHES.items()
        }
        self.food_amount = style.write(axes, 6.0, 7.0, ha="center")
        self.nitrate_amount = style.write(axes, 88.0, 12.5, ha="center", weight="bold")
        self.bill = style.write(axes, 66.0, 5.2, ha="center", linespacing=1.3)
        strip = self._strip(figure)
        patches = [self.food, *self.bands.values(), self.inside, self.nitrate]
        words = [*self.amounts.values(), self.food_amount, self.nitrate_amount, self.bill]
        return [*patches, *words, *strip]

    def update(self, result: Any) -> None:
        """Move bands, numbers, zones and marker."""
        per_gram = FULL / self.scale
        total = result.budget_total * per_gram
        self.food.set_xy(rectangle(1.0, FOOD_MIDDLE - total / 2.0, 10.0, total))
        self.food_amount.set_text(f"{number(1000.0 * result.budget_total)} mg N")
        top = FOOD_MIDDLE + total / 2.0
        for share, (_, end, _) in BRANCHES.items():
            amount = getattr(result.budget, share)
            height = amount * per_gram
            right = FILTER_LEFT if share == "total_ammonia" else 50.0
            self.bands[share].set_xy(band((11.0, top - height / 2.0), (right, end), height))
            self.amounts[share].set_text(f"{number(1000.0 * amount)} mg")
            top -= height
        height = result.budget.total_ammonia * per_gram
        middle = BRANCHES["total_ammonia"][1]
        self.inside.set_xy(band((FILTER_LEFT, middle), (FILTER_RIGHT, middle), height))
        self.nitrate.set_xy(band((FILTER_RIGHT, middle), (99.0, middle), height))
        self.nitrate_amount.set_text(f"{number(1000.0 * result.budget.total_ammonia)} mg N")
        self.bill.set_text(
            f"costs {number(result.oxygen_bill)} g oxygen\n"
            f"and {number(result.alkalinity_bill)} g alkalinity"
        )
        self._move_strip(result)

    def _names(self, axes: Any) -> None:
        style.write(axes, 6.0, 46.0, "food", weight="bold", ha="center")
        style.write(axes, 6.0, 42.5, "one day", ha="center", size=0.85, color=style.FAINT)
        for share, (_, y, name) in BRANCHES.items():
            if share != "total_ammonia":
                style.write(axes, 64.0, y, name)
        style.write(axes, 46.0, 36.0 - 3.0, "ammonia", weight="bold", ha="center")
        box = patch(axes, style.Look(style.PAPER), 1.0, 0.5)
        box.set_xy(rectangle(FILTER_LEFT, 9.5, FILTER_RIGHT - FILTER_LEFT, 25.0))
        style.write(axes, 66.0, 32.0, "filter", weight="bold", ha="center")
        style.write(axes, 66.0, 12.5, "nitrite", ha="center")
        style.write(axes, 88.0, 33.0, "nitrate", weight="bold", ha="center")
        style.write(
            axes,
            99.0,
            1.5,
            f"full height = {number(1000.0 * self.scale, 2)} mg N",
            ha="right",
            size=0.8,
            color=style.FAINT,
        )

    def _strip(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.035, 0.1, 0.93, 0.11))
        style.dress(axes, "total ammonia in the water, mg N/L, if the filter stands still")
        axes.set_xscale("log")
        axes.set_xlim(SCALE_LOW, SCALE_HIGH)
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        ticks = [0.01, 0.1, 1.0, 10.0, 100.0]
        axes.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
        axes.minorticks_off()
        looks = (style.SAFE, style.CAUTION, style.DANGER)
        self.zones = [patch(axes, look, 0.35, 0.5) for look in looks]
        names = ("safe", "harms over weeks", "act now")
        self.zone_names = [
            style.write(axes, 1.0, 0.5, name, ha="center", size=0.9) for name in names
        ]
        (self.marker,) = axes.plot(
            [1.0], [0.5], "o", ms=11, color=style.BLUE, mec="white", clip_on=False
        )
        return [*self.zones, *self.zone_names, self.marker]

    def _move_strip(self, result: Any) -> None:
        edges = [SCALE_LOW, result.chronic, result.acute, SCALE_HIGH]
        for zone, name, low, high in zip(
            self.zones, self.zone_names, edges[:-1], edges[1:], strict=True
        ):
            zone.set_xy(rectangle(low, 0.0, max(high - low, 0.0), 1.0))
            name.set_x(math.sqrt(low * high))
            name.set_visible(high > 4.0 * low)
        self.marker.set_xdata([min(max(result.total_ammonia, SCALE_LOW), SCALE_HIGH)])
