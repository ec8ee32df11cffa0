"""Lesson 01: how much oxygen water can hold, over temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import as_shown
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array
from aqualib.parameters import parameter
from aqualib.units import ZERO_CELSIUS, display_unit, from_si, label, number, shown
from aqualib.water.oxygen import saturation

WARMTH = parameter("tank_temperature")
CELSIUS = np.linspace(WARMTH.low, WARMTH.high, 53)
KELVIN = CELSIUS + ZERO_CELSIUS
LOWEST, HIGHEST = 3.0, 14.0
"""Ends of the axis of oxygen, mg/L."""
READING = 13.6
"""Height of the reading's words, mg/L."""


@dataclass(frozen=True, slots=True)
class Breath:
    """The oxygen water can hold: concentrations in mg/L, pressure in kPa, oxygen in g."""

    celsius: float
    salinity: float
    pressure: float
    saturation: float
    curve: Array
    """Saturation at each of `CELSIUS`."""
    litres: float
    grams: float


class OxygenCurve(Chart[Breath]):
    """Saturation against temperature, with fresh and sea water for comparison."""

    size = (6.6, 4.2)

    def build(self, figure: Figure, _: Breath) -> list[Artist]:
        """Draw axes and the two lines at sea level; return the learner's line and point."""
        axes = figure.add_axes((0.115, 0.14, 0.865, 0.84))
        unit = label(display_unit("degC"))
        style.dress(axes, f"temperature, {unit}", "oxygen the water can hold, mg/L")
        x = as_shown(CELSIUS, "degC")
        axes.set_xlim(x[0], x[-1])
        axes.set_ylim(LOWEST, HIGHEST)
        sea = parameter("sea_salinity").bare
        for salinity, name, dash in ((0.0, "fresh, sea level", "--"), (sea, "sea water", ":")):
            y = from_si(np.asarray(saturation.bare(KELVIN, salinity)), "mg/L")
            axes.plot(x, y, dash, color=style.FAINT, lw=1.5)
            style.write(axes, x[8], y[8] + 0.6, name, color=style.FAINT, size=0.9)
        # Sky blue alone is pale on paper.
        (self.edge,) = axes.plot(x, np.ones_like(x), color=style.INK, lw=4.4)
        (self.curve,) = axes.plot(x, np.ones_like(x), color=style.OXYGEN.colour, lw=3)
        (self.point,) = axes.plot(
            [x[0]], [5.0], "D", ms=10, color=style.BLUE, mec="white", clip_on=False
        )
        # Over all the lines, which fall to the right.
        self.reading = style.write(axes, x[-1], READING, ha="right", weight="bold")
        return [self.edge, self.curve, self.point, self.reading]

    def update(self, breath: Breath) -> None:
        """Move the learner's line and point."""
        self.edge.set_ydata(breath.curve)
        self.curve.set_ydata(breath.curve)
        x = as_shown(breath.celsius, "degC")
        self.point.set_data([x], [breath.saturation])
        self.reading.set_text(
            f"◆ {number(breath.saturation)} mg/L: {shown(breath.grams, 'g')} in your tank"
        )
