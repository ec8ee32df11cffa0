"""Lesson 02: safe and unsafe over pH and temperature, for one reading of total ammonia."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import as_shown
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, upright_ribbon
from aqualib.lesson.drawing.words import Words
from aqualib.parameters import parameter
from aqualib.units import ZERO_CELSIUS, display_unit, from_si, label
from aqualib.water.ammonia import total_ammonia_limits

ACIDITY, WARMTH = parameter("tank_ph"), parameter("tank_temperature")
PH = np.linspace(ACIDITY.low, ACIDITY.high, 101)
CELSIUS = np.linspace(WARMTH.low, WARMTH.high, 53)
TURN = 8.2
"""pH; to the right of it the learner's words stand left of the point."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where one reading lies on the map: temperature in degC, concentrations in mg N/L."""

    total_ammonia: float
    ph: float
    celsius: float
    salinity: float
    unionised: float
    acute: float
    chronic: float


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
    wanted = np.log10(total_ammonia)
    # The limits fall as pH rises; interpolation wants them rising.
    return np.array([np.interp(wanted, row[::-1], PH[::-1]) for row in log_limits])


class SafetyMap(Chart[Place]):
    """Three regions named in words, and the learner's point."""

    size = (6.6, 4.4)

    def build(self, figure: Figure, _: Place) -> list[Artist]:
        """Draw the axes; return regions, their names and the point."""
        self.height = as_shown(CELSIUS, "degC")
        axes = figure.add_axes((0.115, 0.135, 0.865, 0.845))
        style.dress(axes, "pH", f"temperature, {label(display_unit('degC'))}")
        axes.set_xlim(PH[0], PH[-1])
        axes.set_ylim(self.height[0], self.height[-1])
        self.regions = [patch(axes, look, strength, 0.5) for look, strength in style.ZONES]
        names = ("safe", "harms\nover weeks", "act now")
        self.names = [
            style.write(axes, 7.0, 0.0, name, ha="center", bbox=style.ON_PAPER) for name in names
        ]
        (self.point,) = axes.plot(
            [7.0], [self.height[0]], "o", ms=12, color=style.BLUE, mec="white", mew=1.5, zorder=5
        )
        self.own = style.write(axes, 7.0, 0.0, "your water", weight="bold", bbox=style.ON_PAPER)
        return [*self.regions, *self.names, self.point, self.own]

    def update(self, place: Place) -> None:
        """Move the regions and the point."""
        acute, chronic = limits_on_grid(round(place.salinity, 6))
        ends = [
            np.full_like(CELSIUS, PH[0]),
            edge(chronic, place.total_ammonia),
            edge(acute, place.total_ammonia),
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


def _put(name: Words, left: Array, right: Array, height: Array) -> None:
    """Put a region's name where the region is widest, or hide it where there is no room."""
    inner = slice(4, -4)
    widest = int(np.argmax((right - left)[inner])) + 4
    if np.ptp(right - left) < 0.05:
        widest = len(height) // 2
    name.set_visible(bool((right - left)[widest] > 0.35))
    name.set_position(((left[widest] + right[widest]) / 2.0, height[widest]))
