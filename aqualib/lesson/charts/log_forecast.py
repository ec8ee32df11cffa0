"""Readings of a test log over the forecast: what was read, what fits, what comes next."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon, Rectangle

from aqualib.lesson.drawing import style
from aqualib.tank.test_log.cells import NITROGEN

LOOKS = {"ammonia": style.AMMONIA, "nitrite": style.NITRITE, "nitrate": style.NITRATE}
BOXES = {"ammonia": (0.69, 0.27), "nitrite": (0.395, 0.27), "nitrate": (0.10, 0.27)}
"""Bottom and height of the three strips of the picture."""
BAND = 0.25
ROOM = {"ammonia": 1.45, "nitrite": 2.0, "nitrate": 2.0}
"""How much higher than the highest reading a strip reaches."""
LEAST = {"ammonia": 1.0, "nitrite": 1.0, "nitrate": 5.0}
ARROWS = {"<": "v", ">": "^"}


class LogForecastChart:
    """Lesson 10: three strips over the same days, for ammonia, nitrite and nitrate."""

    size = (6.6, 5.6)

    def frame(self, result: Any) -> Hashable:
        """Return what the axes and the readings depend on: the log and the days."""
        return id(result.log), result.days

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw axes and all readings, pale; return bands, lines, readings used, and the words."""
        self.parts: dict[str, tuple[Any, ...]] = {}
        moving: list[Artist] = []
        for what in NITROGEN:
            bottom, height = BOXES[what]
            axes = figure.add_axes((0.105, bottom, 0.88, height))
            last = what == "nitrate"
            style.dress(axes, f"days since {result.log.start}" if last else "", "mg/L as N")
            axes.tick_params(labelbottom=last)
            axes.set_xlim(0.0, result.days)
            self._strip(axes, what, result)
            moving += self.parts[what]
        return moving

    def _strip(self, axes: Any, what: str, result: Any) -> None:
        look, found = LOOKS[what], result.log.of(what)
        top = ROOM[what] * max([LEAST[what], *(reading.value for reading in found)])
        axes.set_ylim(0.0, top)
        for sign in ("=", "<", ">"):
            some = [reading for reading in found if reading.sign == sign]
            marker = ARROWS.get(sign, look.marker)
            x, y = [r.day for r in some], [r.value for r in some]
            axes.plot(x, y, marker, ms=6, mfc="none", mec=style.FAINT, mew=0.8, clip_on=False)
        style.write(axes, 0.995 * result.days, 0.9 * top, what, color=look.colour, ha="right")
        safe = Rectangle((0.0, 0.0), 1.0, top, fc=style.SAFE.colour, alpha=0.2, ec="none")
        band = Polygon([(0.0, 0.0)], fc=look.colour, alpha=BAND, ec="none")
        axes.add_patch(safe)
        axes.add_patch(band)
        (middle,) = axes.plot([], [], look.dash, color=look.colour, lw=2.2)
        (today,) = axes.plot([0.0, 0.0], [0.0, top], ":", color=style.INK, lw=1.2)
        points = [
            axes.plot([], [], marker, ms=6, color=look.colour, mec="white", clip_on=False)[0]
            for marker in (look.marker, *ARROWS.values())
        ]
        words: list[Any] = []
        if what == "ammonia":
            words = [
                style.write(axes, 0.0, 0.72 * top, size=0.9, bbox=style.ON_PAPER),
                style.write(axes, 0.0, 0.45 * top, size=0.9, bbox=style.ON_PAPER),
            ]
        self.parts[what] = (safe, band, middle, today, *points, *words)

    def update(self, result: Any) -> None:
        """Move bands, lines, readings used, the day they end and the safe region."""
        time = result.forecast.time
        for what in NITROGEN:
            safe, band, middle, today, *rest = self.parts[what]
            matter = getattr(result.forecast, what)
            edge = np.concatenate([matter.low, matter.high[::-1]])
            band.set_xy(np.column_stack([np.concatenate([time, time[::-1]]), edge]))
            middle.set_data(time, matter.middle)
            today.set_xdata([result.used, result.used])
            self._readings(rest[:3], what, result)
            start = min(result.safe_day, result.days)
            safe.set_x(start)
            safe.set_width(result.days - start)
        self._words(self.parts["ammonia"][-2:], result)

    def _readings(self, points: list[Line2D], what: str, result: Any) -> None:
        found = [r for r in result.forecast.readings if r.what == what]
        for line, sign in zip(points, ("=", "<", ">"), strict=True):
            some = [reading for reading in found if reading.sign == sign]
            line.set_data([r.day for r in some], [r.value for r in some])

    def _words(self, words: tuple[Any, ...], result: Any) -> None:
        used, safe = words
        # On the side of the line where there is room.
        right = result.used > 0.75 * result.days
        used.set_x(result.used + (-0.01 if right else 0.01) * result.days)
        used.set_ha("right" if right else "left")
        used.set_text("readings used up to here")
        inside = result.safe_day <= 0.8 * result.days
        safe.set_x(result.safe_day + 0.01 * result.days if inside else 0.99 * result.days)
        safe.set_ha("left" if inside else "right")
        sure = f"{100.0 * result.certainty:.0f} %"
        words_safe = f"safe for good, {sure} sure"
        safe.set_text(words_safe if result.safe_day < result.days else f"not {words_safe}")
