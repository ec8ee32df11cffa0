"""Lesson 02: safe and unsafe over pH and temperature for a reading of ammonia, and nitrite."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import as_shown
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, rectangle, upright_ribbon
from aqualib.lesson.drawing.words import Kept, Words
from aqualib.parameters import parameter
from aqualib.units import ZERO_CELSIUS, display_unit, from_si, label, number
from aqualib.water.ammonia import PRINTED_PH, total_ammonia_limits

ACIDITY, WARMTH = parameter("tested_ph"), parameter("tested_temperature")
PRINTED_FROM = PRINTED_PH.low
"""pH from which the ammonia limits are printed; below it that limit is used."""
PH = np.linspace(ACIDITY.low, ACIDITY.high, 101)
CELSIUS = np.linspace(WARMTH.low, WARMTH.high, 53)
TURN = 8.2
"""pH; to the right of it the learner's words stand left of the point."""
LEAST = 1e-6
"""mg N/L that stands for none."""
NITRITE_END = parameter("nitrite_reading").high
BEND = 0.02
"""mg N/L from which the strip of nitrite runs by powers of ten."""
REGIONS = ("safe", "harms\nover weeks", "act now")
CLEAR = 0.025
"""Of the strip: half the width of the marker's place."""
SHORTEST_ZONE = 0.13
"""Of the strip: a shorter zone bears no name."""


class Limit(NamedTuple):
    """A reading, and what may stay for weeks and for a short time, in mg N/L."""

    reading: float
    long: float
    short: float

    @property
    def rank(self) -> int:
        """How many of the limits are passed."""
        return (self.reading > self.long) + (self.reading > self.short)

    @property
    def zone(self) -> str:
        """In which of the three regions the reading lies."""
        return ("safe", "harms", "act")[self.rank]


@dataclass(frozen=True, slots=True)
class Place:
    """Readings on the map: temperature in degC, concentrations in mg N/L, the test's in mg/L."""

    ammonia: Limit
    nitrite: Limit
    reading: float
    """What the ammonia test says."""
    basis: str
    """As what it says so."""
    ph: float
    celsius: float
    salinity: float
    unionised: float
    trapped: bool
    """Whether lesson 14's trees find the old-tank trap in such water."""
    share: float
    """Percent of the water that is changed tonight, by the same trees."""


@lru_cache(maxsize=64)
def limits_on_grid(salinity: float) -> tuple[Array, Array]:
    """Return log10 of the acute and the chronic limit (mg N/L), temperature by pH."""
    ph, kelvin = np.meshgrid(PH, CELSIUS + ZERO_CELSIUS)
    salt = np.full_like(ph, salinity)
    limits = total_ammonia_limits.bare(ph, kelvin, salt)
    acute, chronic = (from_si(limit, "mg/L") for limit in (limits.acute, limits.chronic))
    return np.log10(acute), np.log10(chronic)


def edge(log_limits: Array, total_ammonia: float) -> Array:
    """Return, for each temperature, the pH at which the limit equals `total_ammonia`."""
    wanted = np.log10(max(total_ammonia, LEAST))
    # The limits fall as pH rises; interpolation wants them rising.
    return np.array([np.interp(wanted, row[::-1], PH[::-1]) for row in log_limits])


class SafetyMap(Chart[Place]):
    """Three regions named in words, the learner's point, and a strip for nitrite."""

    size = (6.6, 4.9)

    def build(self, figure: Figure, _: Place) -> list[Artist]:
        """Draw the axes; return regions, their names and the point."""
        self.height = as_shown(CELSIUS, "degC")
        axes = figure.add_axes((0.115, 0.33, 0.865, 0.61))
        style.dress(axes, "pH", f"temperature, {label(display_unit('degC'))}")
        axes.axvline(PRINTED_FROM, color=style.FAINT, lw=1, ls=":", zorder=0.9)
        axes.set_xlim(PH[0], PH[-1])
        axes.set_ylim(self.height[0], self.height[-1])
        self.regions = [patch(axes, look, strength, 0.5) for look, strength in style.ZONES]
        self.names = [
            style.write(axes, 7.0, 0.0, name, ha="center", bbox=style.ON_PAPER) for name in REGIONS
        ]
        (self.point,) = axes.plot(
            [7.0], [self.height[0]], "o", ms=12, color=style.BLUE, mec="white", mew=1.5,
            zorder=5, clip_on=False,
        )  # fmt: skip
        self.own = style.write(axes, 7.0, 0.0, "your water", weight="bold", bbox=style.ON_PAPER)
        above = self.height[-1] + 0.05 * np.ptp(self.height)
        self.heading = style.write(axes, PH[0], above, size=0.9)
        strip = self._strip(figure)
        map_ = [*self.regions, *self.names, self.point, self.own, self.heading]
        # Hatches are dear to draw: the strip's zones stay while the limits of nitrite do.
        self.kept = Kept(figure, self.zones)
        return [self.kept, *map_, *strip]

    def _strip(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.115, 0.115, 0.865, 0.085))
        style.dress(axes, "nitrite, mg N/L")
        axes.set_xlim(0.0, 1.0)
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        ticks = [0.0, 0.1, 1.0, NITRITE_END]
        axes.set_xticks([along_strip(tick) for tick in ticks], [f"{tick:g}" for tick in ticks])
        self.zones = [patch(axes, look, strength, 0.5) for look, strength in style.ZONES]
        self.zone_names = [
            style.write(axes, 0.0, 0.5, name, 0.85, ha="center", bbox=style.ON_PAPER)
            for name in REGIONS
        ]
        (self.nitrite,) = axes.plot(
            [0.0], [0.5], "^", ms=12, color=style.VERMILION, mec="white", clip_on=False, zorder=5
        )
        return [*self.zone_names, self.nitrite]

    def _move_strip(self, nitrite: Limit) -> None:
        """Move the zones of nitrite and its marker; a name stands clear of the marker."""
        at = along_strip(nitrite.reading)
        self.nitrite.set_xdata([at])
        self.kept.key = nitrite.long, nitrite.short
        edges = [0.0, along_strip(nitrite.long), along_strip(nitrite.short), 1.0]
        for zone, name, (low, high) in zip(
            self.zones, self.zone_names, pairwise(edges), strict=True
        ):
            zone.set_xy(rectangle(low, 0.0, high - low, 1.0))
            # The larger part of a zone that a marker cuts.
            left, right = low, high
            if low - CLEAR <= at <= high + CLEAR:
                left, right = max((low, at - CLEAR), (at + CLEAR, high), key=lambda s: s[1] - s[0])
            name.set_x((left + right) / 2.0)
            name.set_visible(right - left > SHORTEST_ZONE * style.text_scale())

    def update(self, place: Place) -> None:
        """Move the regions and the points."""
        self.heading.set_text(f"for ammonia of {number(place.ammonia.reading)} mg N/L:")
        self._move_strip(place.nitrite)
        acute, chronic = limits_on_grid(round(place.salinity, 6))
        ends = [
            np.full_like(CELSIUS, PH[0]),
            edge(chronic, place.ammonia.reading),
            edge(acute, place.ammonia.reading),
            np.full_like(CELSIUS, PH[-1]),
        ]
        for region, name, left, right in zip(
            self.regions, self.names, ends[:-1], ends[1:], strict=True
        ):
            region.set_xy(upright_ribbon(left, right, self.height))
            _put(name, left, right, self.height)
        height = as_shown(place.celsius, "degC")
        self.point.set_data([place.ph], [height])
        on_the_right = place.ph > TURN
        self.own.set_position((place.ph + (-0.06 if on_the_right else 0.06), height))
        self.own.set_ha("right" if on_the_right else "left")


def along_strip(nitrite: float) -> float:
    """Return where a reading of nitrite stands: 0 at the left, then by powers of ten."""
    return math.log1p(min(nitrite, NITRITE_END) / BEND) / math.log1p(NITRITE_END / BEND)


def _put(name: Words, left: Array, right: Array, height: Array) -> None:
    """Put a region's name where the region is widest, or hide it where there is no room."""
    inner = slice(4, -4)
    widest = int(np.argmax((right - left)[inner])) + 4
    if np.ptp(right - left) < 0.05:
        widest = len(height) // 2
    name.set_visible(bool((right - left)[widest] > 0.35))
    name.set_position(((left[widest] + right[widest]) / 2.0, height[widest]))
