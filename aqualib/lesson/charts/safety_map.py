"""Safe and unsafe over pH and temperature, for one reading of total ammonia."""

from __future__ import annotations

from collections.abc import Hashable
from functools import lru_cache
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import patch
from aqualib.units import ZERO_CELSIUS, display_unit, label, line_to
from aqualib.water.ammonia import total_ammonia_limits

PH = np.linspace(6.5, 9.0, 101)
CELSIUS = np.linspace(4.0, 30.0, 53)
LOW_PH, HIGH_PH = float(PH[0]), float(PH[-1])


@lru_cache(maxsize=64)
def limits_on_grid(salinity: float) -> tuple[Any, Any]:
    """Return log10 of the acute and the chronic limit (mg N/L), temperature by pH."""
    ph, kelvin = np.meshgrid(PH, CELSIUS + ZERO_CELSIUS)
    salt = np.full_like(ph, salinity)
    limits = total_ammonia_limits.bare(ph, kelvin, salt)
    return np.log10(1000.0 * limits.acute), np.log10(1000.0 * limits.chronic)


def edge(log_limits: Any, total_ammonia: float) -> Any:
    """Return, for each temperature, the pH at which the limit equals `total_ammonia`."""
    wanted = np.log10(total_ammonia)
    # The limits fall as pH rises; interpolation wants them rising.
    return np.array([np.interp(wanted, row[::-1], PH[::-1]) for row in log_limits])


def between(left: Any, right: Any, height: Any) -> Any:
    """Return the outline of the region between two edges."""
    along = np.column_stack([left, height])
    back = np.column_stack([right, height])[::-1]
    return np.concatenate([along, back])


class SafetyMap:
    """The map of lesson 02: three regions named in words, and the learner's point."""

    size = (6.6, 4.4)

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - the axes never change
        """Return nothing that changes: the axes stay."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw the axes; return regions, their names and the point."""
        unit = display_unit("degC")
        self.line = (1.0, 0.0) if unit == "degC" else line_to("degC", unit)
        self.height = self._shown(CELSIUS)
        axes = figure.add_axes((0.115, 0.135, 0.865, 0.845))
        style.dress(axes, "pH", f"temperature, {label(unit)}")
        axes.set_xlim(LOW_PH, HIGH_PH)
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

    def update(self, result: Any) -> None:
        """Move the regions and the point."""
        acute, chronic = limits_on_grid(round(result.salinity, 6))
        ends = [
            np.full_like(CELSIUS, LOW_PH),
            edge(chronic, result.total_ammonia),
            edge(acute, result.total_ammonia),
            np.full_like(CELSIUS, HIGH_PH),
        ]
        for region, name, left, right in zip(
            self.regions, self.names, ends[:-1], ends[1:], strict=True
        ):
            region.set_xy(between(left, right, self.height))
            _place(name, left, right, self.height)
        height = self._shown(result.celsius)
        self.point.set_data([result.ph], [height])
        on_the_right = result.ph > 8.2
        self.own.set_position((result.ph + (-0.06 if on_the_right else 0.06), height))
        self.own.set_ha("right" if on_the_right else "left")

    def _shown(self, celsius: Any) -> Any:
        factor, offset = self.line
        return factor * celsius + offset


def _place(name: Any, left: Any, right: Any, height: Any) -> None:
    """Put a region's name where the region is widest, or hide it where there is no room."""
    inner = slice(4, -4)
    widest = int(np.argmax((right - left)[inner])) + 4
    if np.ptp(right - left) < 0.05:
        widest = len(height) // 2
    name.set_visible(bool((right - left)[widest] > 0.35))
    name.set_position(((left[widest] + right[widest]) / 2.0, height[widest]))
