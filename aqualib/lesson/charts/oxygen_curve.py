"""How much oxygen water can hold, over temperature."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.units import ZERO_CELSIUS, display_unit, label, line_to, number, shown
from aqualib.water.oxygen import saturation

CELSIUS = np.linspace(4.0, 30.0, 53)
SEA = 35.0


class OxygenCurve:
    """Lesson 01: saturation against temperature, with fresh and sea water for comparison."""

    size = (6.6, 4.2)

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - the axes never change
        """Return nothing that changes: the axes stay."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw axes and the two lines at sea level; return the learner's line and point."""
        unit = display_unit("degC")
        self.line_to_shown = (1.0, 0.0) if unit == "degC" else line_to("degC", unit)
        axes = figure.add_axes((0.115, 0.14, 0.865, 0.84))
        style.dress(axes, f"temperature, {label(unit)}", "oxygen the water can hold, mg/L")
        x = self._shown(CELSIUS)
        axes.set_xlim(x[0], x[-1])
        axes.set_ylim(3.0, 14.0)
        for salinity, name, dash in ((0.0, "fresh, sea level", "--"), (SEA, "sea water", ":")):
            y = 1000.0 * saturation.bare(CELSIUS + ZERO_CELSIUS, salinity)
            axes.plot(x, y, dash, color=style.FAINT, lw=1.5)
            style.write(axes, x[6], y[6] + 0.55, name, color=style.FAINT, size=0.9)
        (self.curve,) = axes.plot(x, np.ones_like(x), color=style.OXYGEN.colour, lw=3)
        (self.point,) = axes.plot([x[0]], [5.0], "D", ms=10, color=style.BLUE, mec="white")
        self.reading = style.write(axes, x[0], 5.0, weight="bold", bbox=style.ON_PAPER)
        return [self.curve, self.point, self.reading]

    def update(self, result: Any) -> None:
        """Move the learner's line and point."""
        self.curve.set_ydata(result.curve)
        x = self._shown(result.celsius)
        self.point.set_data([x], [result.saturation])
        # Above the falling line on its left part, below it on its right part.
        right = result.celsius > 18.0
        self.reading.set_position((x, result.saturation + (-0.75 if right else 0.75)))
        self.reading.set_ha("right" if right else "left")
        self.reading.set_text(
            f"{number(result.saturation)} mg/L: {shown(result.grams, 'g')} in your tank"
        )

    def _shown(self, celsius: Any) -> Any:
        factor, offset = self.line_to_shown
        return factor * celsius + offset
