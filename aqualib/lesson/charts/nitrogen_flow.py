"""One day's nitrogen, drawn as bands from the food to the water, and what its water would read."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import band, patch, rectangle
from aqualib.units import number

WIDTH, HEIGHT = 100.0, 50.0
FILTER_LEFT, FILTER_RIGHT = 55.0, 78.0
FILTER_MIDDLE = (FILTER_LEFT + FILTER_RIGHT) / 2.0
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
    "solids": (style.SOLIDS, 3.5, "solids: faeces, leftovers"),
}


def scale_for(nitrogen: float) -> float:
    """Return the round amount (1, 2 or 5 times a power of ten) that fills the drawing."""
    power = 10.0 ** math.floor(math.log10(nitrogen))
    steps = (step * power for step in (1.0, 2.0, 5.0, 10.0))
    return next(step for step in steps if nitrogen <= step * 1.0001)


class NitrogenFlow:
    """The flow diagram of lesson 02; a strip below sets the ammonia against the limits."""

    size = (7.2, 5.2)

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - nothing still depends on it
        """Return nothing that changes."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw names, filter box and strip; return the bands, numbers and zones."""
        axes = figure.add_axes((0.0, 0.26, 1.0, 0.74))
        style.bare(axes, WIDTH, HEIGHT)
        axes.set_aspect("auto")
        self._names(axes)
        self.food = patch(axes, style.FOOD)
        self.bands = {share: patch(axes, look) for share, (look, _, _) in BRANCHES.items()}
        self.inside = patch(axes, style.NITRITE)
        self.nitrate = patch(axes, style.NITRATE)
        self.amounts = {
            share: style.write(axes, 49.0, y, ha="center") for share, (_, y, _) in BRANCHES.items()
        }
        self.amounts["total_ammonia"].set_position((40.0, 13.0))
        self.food_amount = style.write(axes, 6.0, 7.0, ha="center")
        self.nitrate_amount = style.write(axes, 89.0, 13.0, ha="center")
        self.bill = style.write(axes, FILTER_MIDDLE, 13.0, ha="center", size=0.9)
        self.full = style.write(axes, 99.0, 1.5, ha="right", size=0.8, color=style.FAINT)
        strip = self._strip(figure)
        patches = [self.food, *self.bands.values(), self.inside, self.nitrate]
        words = [
            *self.amounts.values(),
            self.food_amount,
            self.nitrate_amount,
            self.bill,
            self.full,
        ]
        return [*patches, *words, *strip]

    def update(self, result: Any) -> None:
        """Move bands, numbers, zones and marker."""
        scale = scale_for(max(result.budget_total, 1e-3))
        self.full.set_text(f"full height = {number(1000.0 * scale, 2)} mg N")
        per_gram = FULL / scale
        total = result.budget_total * per_gram
        self.food.set_xy(rectangle(1.0, FOOD_MIDDLE - total / 2.0, 10.0, total))
        self.food_amount.set_text(f"{number(1000.0 * result.budget_total)} mg N")
        top = FOOD_MIDDLE + total / 2.0
        for share, (_, end, _) in BRANCHES.items():
            amount = getattr(result.budget, share)
            height = amount * per_gram
            right = FILTER_LEFT if share == "total_ammonia" else 43.0
            self.bands[share].set_xy(band((11.0, top - height / 2.0), (right, end), height))
            self.amounts[share].set_text(f"{number(1000.0 * amount)} mg")
            top -= height
        height = result.budget.total_ammonia * per_gram
        middle = BRANCHES["total_ammonia"][1]
        self.inside.set_xy(band((FILTER_LEFT, middle), (FILTER_RIGHT, middle), height))
        self.nitrate.set_xy(band((FILTER_RIGHT, middle), (99.0, middle), height))
        self.nitrate_amount.set_text(f"{number(1000.0 * result.budget.total_ammonia)} mg N")
        self.bill.set_text(
            f"takes {number(result.oxygen_bill)} g oxygen,\n"
            f"{number(result.alkalinity_bill)} g alkalinity"
        )
        self._move_strip(result)

    def _names(self, axes: Any) -> None:
        style.write(axes, 6.0, 46.0, "food", weight="bold", ha="center")
        style.write(axes, 6.0, 42.5, "one day", ha="center", size=0.85, color=style.FAINT)
        for share, (_, y, name) in BRANCHES.items():
            if share != "total_ammonia":
                style.write(axes, 55.0, y, name)
        style.write(axes, 40.0, 33.0, "ammonia", weight="bold", ha="center")
        style.write(axes, 89.0, 33.0, "nitrate", weight="bold", ha="center")
        box = patch(axes, style.Look(style.PAPER), 1.0, 0.5)
        box.set_xy(rectangle(FILTER_LEFT, 8.5, FILTER_RIGHT - FILTER_LEFT, 26.5))
        style.write(axes, FILTER_MIDDLE, 33.0, "filter, by way of nitrite", ha="center", size=0.9)

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
        self.zones = [patch(axes, look, strength, 0.5) for look, strength in style.ZONES]
        names = ("safe", "harms over weeks", "act now")
        self.zone_names = [
            style.write(axes, 1.0, 0.5, name, ha="center", size=0.9, bbox=style.ON_PAPER)
            for name in names
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
