"""Lesson 12: readings of a test log over the forecast: what was read, and what comes next."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.colors import to_rgba
from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import ribbon
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.forecast import LogForecast
from aqualib.tank.test_log.in_words import Report
from aqualib.tank.test_log.log import KeepersLog, Reading

LOOKS = {"ammonia": style.AMMONIA, "nitrite": style.NITRITE, "nitrate": style.NITRATE}
BOXES = {"ammonia": (0.69, 0.27), "nitrite": (0.395, 0.27), "nitrate": (0.10, 0.27)}
"""Bottom and height of the three strips of the picture."""
BAND = 0.25
ROOM = {"ammonia": 1.45, "nitrite": 2.0, "nitrate": 1.3}
"""How much higher than the highest reading a strip reaches."""
LEAST = {"ammonia": 1.0, "nitrite": 1.0, "nitrate": 5.0}
NITRATE_STEP = 10.0
"""The strip of nitrate also holds all the nitrogen that is fed, up to a round number."""
NAME = 0.015, 0.06, 0.07
"""Shares of the days, from the side: the piece of line by a strip's name, and the name itself."""
USED_HEIGHT = 1.02
"""Of the uppermost strip: over it stand the words on the readings used, off the dots."""
SIGNS = {"=": "", "<": "v", ">": "^"}
"""How a reading was written, and its marker; a plain number has the marker of its matter."""


@dataclass(frozen=True, eq=False, slots=True)
class Outlook:
    """A forecast from the readings up to a day; days since the start."""

    log: KeepersLog
    whose: str
    """Whose tank it is, in a few words."""
    days: float
    used: float
    """The day of the last reading that was used."""
    forecast: LogForecast
    said: Report

    @property
    def perhaps(self) -> tuple[float, float]:
        """From and to which day it gets safe, within the days shown; at their end if no day is."""
        if self.forecast.no_day:
            return self.days, self.days
        low, _, high = self.forecast.ready
        return min(low, self.days), min(high, self.days)

    def top(self, what: str) -> float:
        """Return how high the strip of a matter reaches, mg/L as nitrogen."""
        highest = max([LEAST[what], *(reading.value for reading in self.log.of(what))])
        if what == "nitrate":
            highest = max(highest, float(self.forecast.nitrogen_told.max()))
            return float(np.ceil(ROOM[what] * highest / NITRATE_STEP)) * NITRATE_STEP
        return ROOM[what] * highest


class Strip:
    """One matter over the days: all readings, pale, and above them what moves."""

    def __init__(self, axes: Axes, what: str, outlook: Outlook) -> None:
        """Draw all readings on axes; make the two regions, the band, the line and the rest."""
        look = LOOKS[what]
        self.what, self.found = what, outlook.log.of(what)
        self.top = outlook.top(what)
        axes.set_xlim(0.0, outlook.days)
        axes.set_ylim(0.0, self.top)
        self.markers = {sign: marker or look.marker for sign, marker in SIGNS.items()}
        for sign, marker in self.markers.items():
            x, y = _places(self.found, sign)
            axes.plot(x, y, marker, ms=6, mfc="none", mec=style.FAINT, mew=0.8, clip_on=False)
        self._name(axes, look, outlook.days)
        self.safe, self.perhaps = (
            Rectangle((0.0, 0.0), 1.0, self.top, fc=style.SAFE.colour, alpha=0.2, ec="none"),
            Rectangle(
                (0.0, 0.0), 1.0, self.top, fc="none", ec=style.SAFE.colour, lw=0.0, hatch="///"
            ),
        )
        face, edge = (to_rgba(look.colour, strength) for strength in (BAND, 1.0))
        self.band = Polygon([(0.0, 0.0)], fc=face, ec=edge, lw=0.8)
        (self.middle,) = axes.plot([], [], look.dash, color=look.colour, lw=2.2)
        (self.today,) = axes.plot([0.0, 0.0], [0.0, self.top], ":", color=style.INK, lw=1.2)
        (self.limit,) = axes.plot([], [], "-", color=style.INK, lw=0.8)
        self.limit_words = style.write(
            axes, 0.995 * outlook.days, 0.0, size=0.8, ha="right", va="bottom"
        )
        self.used = {
            sign: axes.plot([], [], marker, ms=6, color=look.colour, mec="white", clip_on=False)[0]
            for sign, marker in self.markers.items()
        }
        (self.slips,) = axes.plot([], [], "x", ms=9, mew=1.5, color=style.INK, clip_on=False)
        for patch in (self.safe, self.perhaps, self.band):
            axes.add_patch(patch)
        # Nitrate has no part in what is called safe here.
        self.safe.set_visible(what != "nitrate")
        self.perhaps.set_visible(what != "nitrate")
        lines = [self.middle, self.today, self.limit, *self.used.values(), self.slips]
        self.artists: list[Artist] = [self.safe, self.perhaps, self.band, *lines, self.limit_words]

    def _name(self, axes: Axes, look: style.Look, days: float) -> None:
        """Write the matter beside a piece of its line: nitrate rises to the right, others fall."""
        left = self.what == "nitrate"
        first, last, beside = NAME if left else tuple(1.0 - share for share in NAME)
        height = 0.9 * self.top
        places = [first * days, 0.5 * (first + last) * days, last * days]
        axes.plot(
            places, [height] * 3, look.dash, marker=look.marker, markevery=[1], color=look.colour
        )
        style.write(axes, beside * days, height, self.what, ha="left" if left else "right")

    def move(self, outlook: Outlook) -> None:
        """Move the band, the line, the readings used, the day they end and the two regions."""
        forecast = outlook.forecast
        # Without a day to name, what was fitted is shown, and nothing beyond.
        shown = forecast.time <= (outlook.used if forecast.no_day else outlook.days)
        low, middle, high = (row[shown] for row in getattr(forecast, self.what))
        self.band.set_xy(ribbon(forecast.time[shown], low, high))
        self.middle.set_data(forecast.time[shown], middle)
        self.today.set_xdata([outlook.used, outlook.used])
        used = [reading for reading in forecast.readings if reading.what == self.what]
        for sign, line in self.used.items():
            line.set_data(*_places(used, sign))
        slips = [reading for reading in forecast.slips if reading.what == self.what]
        self.slips.set_data(*_places(slips, "="))
        begins, ends = outlook.perhaps
        self._move_limit(outlook)
        self.perhaps.set_x(begins)
        self.perhaps.set_width(ends - begins)
        self.safe.set_x(ends)
        self.safe.set_width(outlook.days - ends)

    def _move_limit(self, outlook: Outlook) -> None:
        for matter in outlook.said.tonight.matters:
            if matter.what == self.what:
                self.limit.set_data([0.0, outlook.days], [matter.limit, matter.limit])
                self.limit_words.set_position((0.995 * outlook.days, matter.limit))
                self.limit_words.set_text("limit")


def _places(readings: Iterable[Reading], sign: str) -> tuple[list[float], list[float]]:
    """Return days and values of the readings with one sign."""
    some = [reading for reading in readings if reading.sign == sign]
    return [reading.day for reading in some], [reading.value for reading in some]


class LogForecastChart(Chart[Outlook | None]):
    """Three strips over the same days, for ammonia, nitrite and nitrate; without a log, nothing."""

    size = (6.6, 5.6)

    def frame(self, outlook: Outlook | None) -> Hashable:
        """Return what the axes and the readings depend on: the log, the days, the heights."""
        if outlook is None:
            return None
        return id(outlook.log), outlook.days, *(outlook.top(what) for what in NITROGEN)

    def build(self, figure: Figure, outlook: Outlook | None) -> list[Artist]:
        """Draw axes and all readings, pale; return bands, lines, readings used, and the words."""
        self.strips: dict[str, Strip] = {}
        moving: list[Artist] = []
        if outlook is None:
            return moving
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

    def update(self, outlook: Outlook | None) -> None:
        """Move the strips and the words on the uppermost."""
        if outlook is None:
            return
        for strip in self.strips.values():
            strip.move(outlook)
        self._move_words(outlook)

    def _words(self, axes: Axes, top: float) -> list[Artist]:
        self.used_height, self.safe_height = USED_HEIGHT * top, 0.45 * top
        text = "readings used up to here"
        self.used_words = style.write(axes, 0.0, 0.0, text, size=0.9, va="bottom")
        self.safe_words = style.write(axes, 0.0, 0.0, size=0.9, bbox=style.ON_PAPER)
        return [self.used_words, self.safe_words]

    def _move_words(self, outlook: Outlook) -> None:
        days, aside = outlook.days, 0.01 * outlook.days
        # On the side of the line where there is room.
        right = outlook.used <= 0.75 * days
        self.used_words.stand_beside(outlook.used, self.used_height, 0.0, right=right)
        begins, ends = outlook.perhaps
        inside = ends <= 0.7 * days
        self.safe_words.stand_beside(
            ends if inside else days, self.safe_height, aside, right=inside
        )
        if outlook.forecast.no_day:
            words = "no day can be named"
        elif begins >= days:
            words = "not safe within these days"
        else:
            words = "safe for good" if ends < days else "hatched: perhaps safe"
        self.safe_words.set_text(words)
