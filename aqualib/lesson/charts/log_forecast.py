"""Lesson 12: readings of a test log over the forecast: what was read, and what comes next."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import ribbon
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.fit import LogForecast
from aqualib.tank.test_log.log import KeepersLog, Reading

LOOKS = {"ammonia": style.AMMONIA, "nitrite": style.NITRITE, "nitrate": style.NITRATE}
BOXES = {"ammonia": (0.69, 0.27), "nitrite": (0.395, 0.27), "nitrate": (0.10, 0.27)}
"""Bottom and height of the three strips of the picture."""
BAND = 0.25
ROOM = {"ammonia": 1.45, "nitrite": 2.0, "nitrate": 2.0}
"""How much higher than the highest reading a strip reaches."""
LEAST = {"ammonia": 1.0, "nitrite": 1.0, "nitrate": 5.0}
SIGNS = {"=": "", "<": "v", ">": "^"}
"""How a reading was written, and its marker; a plain number has the marker of its matter."""


@dataclass(frozen=True, eq=False, slots=True)
class Outlook:
    """A forecast from the readings up to a day; days since the start, certainty 0 to 1."""

    log: KeepersLog
    days: float
    used: float
    """The day of the last reading that was used."""
    certainty: float
    forecast: LogForecast
    said: tuple[str, ...]
    safe_day: float
    """The day by which the tank is safe with this certainty; may be infinite."""

    @property
    def in_time(self) -> bool:
        """True if that day lies within the forecast."""
        return bool(np.isfinite(self.safe_day))


class Strip:
    """One matter over the days: all readings, pale, and above them what moves."""

    def __init__(self, axes: Axes, what: str, outlook: Outlook) -> None:
        """Draw all readings on axes; make the safe region, the band, the line and the rest."""
        look = LOOKS[what]
        self.what, self.found = what, outlook.log.of(what)
        self.top = ROOM[what] * max([LEAST[what], *(reading.value for reading in self.found)])
        axes.set_xlim(0.0, outlook.days)
        axes.set_ylim(0.0, self.top)
        self.markers = {sign: marker or look.marker for sign, marker in SIGNS.items()}
        for sign, marker in self.markers.items():
            x, y = _places(self.found, sign)
            axes.plot(x, y, marker, ms=6, mfc="none", mec=style.FAINT, mew=0.8, clip_on=False)
        end = 0.995 * outlook.days, 0.9 * self.top
        style.write(axes, *end, what, color=look.colour, ha="right")
        self.safe = Rectangle((0.0, 0.0), 1.0, self.top, fc=style.SAFE.colour, alpha=0.2, ec="none")
        self.band = Polygon([(0.0, 0.0)], fc=look.colour, alpha=BAND, ec="none")
        axes.add_patch(self.safe)
        axes.add_patch(self.band)
        (self.middle,) = axes.plot([], [], look.dash, color=look.colour, lw=2.2)
        (self.today,) = axes.plot([0.0, 0.0], [0.0, self.top], ":", color=style.INK, lw=1.2)
        self.used = {
            sign: axes.plot([], [], marker, ms=6, color=look.colour, mec="white", clip_on=False)[0]
            for sign, marker in self.markers.items()
        }
        lines = [self.middle, self.today, *self.used.values()]
        self.artists: list[Artist] = [self.safe, self.band, *lines]

    def move(self, outlook: Outlook) -> None:
        """Move the band, the line, the readings used, the day they end and the safe region."""
        time, matter = outlook.forecast.time, getattr(outlook.forecast, self.what)
        self.band.set_xy(ribbon(time, matter.low, matter.high))
        self.middle.set_data(time, matter.middle)
        self.today.set_xdata([outlook.used, outlook.used])
        used = [reading for reading in outlook.forecast.readings if reading.what == self.what]
        for sign, line in self.used.items():
            line.set_data(*_places(used, sign))
        start = min(outlook.safe_day, outlook.days)
        self.safe.set_x(start)
        self.safe.set_width(outlook.days - start)


def _places(readings: Iterable[Reading], sign: str) -> tuple[list[float], list[float]]:
    """Return days and values of the readings with one sign."""
    some = [reading for reading in readings if reading.sign == sign]
    return [reading.day for reading in some], [reading.value for reading in some]


class LogForecastChart(Chart[Outlook]):
    """Three strips over the same days, for ammonia, nitrite and nitrate."""

    size = (6.6, 5.6)

    def frame(self, outlook: Outlook) -> Hashable:
        """Return what the axes and the readings depend on: the log and the days."""
        return id(outlook.log), outlook.days

    def build(self, figure: Figure, outlook: Outlook) -> list[Artist]:
        """Draw axes and all readings, pale; return bands, lines, readings used, and the words."""
        self.strips: dict[str, Strip] = {}
        moving: list[Artist] = []
        for what in NITROGEN:
            bottom, height = BOXES[what]
            axes = figure.add_axes((0.105, bottom, 0.88, height))
            last = what == "nitrate"
            style.dress(axes, f"days since {outlook.log.start}" if last else "", "mg/L as N")
            axes.tick_params(labelbottom=last)
            strip = self.strips[what] = Strip(axes, what, outlook)
            moving += strip.artists
            if what == "ammonia":
                moving += self._words(axes, strip.top)
        return moving

    def update(self, outlook: Outlook) -> None:
        """Move the strips and the words on the uppermost."""
        for strip in self.strips.values():
            strip.move(outlook)
        self._move_words(outlook)

    def _words(self, axes: Axes, top: float) -> list[Artist]:
        self.used_height, self.safe_height = 0.72 * top, 0.45 * top
        text = "readings used up to here"
        self.used_words = style.write(axes, 0.0, 0.0, text, size=0.9, bbox=style.ON_PAPER)
        self.safe_words = style.write(axes, 0.0, 0.0, size=0.9, bbox=style.ON_PAPER)
        return [self.used_words, self.safe_words]

    def _move_words(self, outlook: Outlook) -> None:
        days, aside = outlook.days, 0.01 * outlook.days
        # On the side of the line where there is room.
        right = outlook.used <= 0.75 * days
        self.used_words.stand_beside(outlook.used, self.used_height, aside, right=right)
        inside = outlook.safe_day <= 0.8 * days
        at = outlook.safe_day if inside else days
        self.safe_words.stand_beside(at, self.safe_height, aside, right=inside)
        words = f"safe for good, {100.0 * outlook.certainty:.0f} % sure"
        self.safe_words.set_text(words if outlook.safe_day < days else f"not {words}")
