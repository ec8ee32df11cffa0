"""A tank and its canister filter from the front, to one scale: water, rock, pads and media."""

from __future__ import annotations

import math
from typing import Any

from matplotlib.artist import Artist

from aqualib.lesson.charts.tank_section import ROCK, WATER, pile
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.lesson.drawing.words import Kept
from aqualib.units import shown

LENGTH, WIDTH = 2.2, 0.9
"""A usual tank's length and width over the depth of its water."""
NARROWEST = 16.0
"""Inside width of the smallest canister, cm."""
WALL, LID = 1.0, 4.0
SPONGE = style.Look("#FBF7CF", "-", "", "...")
MEDIA = style.Look("#F7DFAF", "-", "", "++")
"""Media for bacteria: orange, thinned, with crosses."""
LINE = 0.065
"""Height of a line of text over the width of the sheet."""
SHEETS = (130.0, 190.0)
"""Widths in cm that the sheet may stand for."""


def water_sides(litres: float) -> tuple[float, float]:
    """Return length and depth in cm of a tank of usual shape with so much water."""
    depth = (1000.0 * litres / (LENGTH * WIDTH)) ** (1.0 / 3.0)
    return LENGTH * depth, depth


def layers(pads: float, media: float) -> tuple[float, float, float]:
    """Return the width of a round canister and the heights of pads and media in it, cm.

    Large ones are as high as they are wide; both fillings are in litres.
    """
    width = max(NARROWEST, (4000.0 * (pads + media) / math.pi) ** (1.0 / 3.0))
    floor = math.pi / 4.0 * width**2
    return width, 1000.0 * pads / floor, 1000.0 * media / floor


class TankAndFilter:
    """Tank above, filter below, the water's way round, and a bar that tells the scale."""

    def __init__(self, axes: Any, high: float) -> None:
        """Make the parts on axes 1 wide and `high` high."""
        self.high, self.floor = high, 0.5 * high
        self.water = patch(axes, WATER, 0.35, 1.0)
        self.rock = patch(axes, ROCK, 0.9, 1.1)
        self.glass = patch(axes, style.Look("none"), 1.0, 1.3)
        self.pads = patch(axes, SPONGE, 1.0, 1.1)
        self.media = patch(axes, MEDIA, 1.0, 1.1)
        self.wall = patch(axes, style.Look("none"), 1.0, 1.3)
        for box in (self.glass, self.wall):
            box.set(fill=False, edgecolor=style.GLASS, linewidth=2.0)
        (self.path,) = axes.plot([], [], "-", color=style.BLUE, lw=1.8)
        (self.arrows,) = axes.plot([], [], "v", color=style.BLUE, ms=8)
        (self.back,) = axes.plot([], [], "^", color=style.BLUE, ms=8)
        (self.bar,) = axes.plot([], [], "-", color=style.FAINT, lw=3)
        self.bar_name = style.write(axes, 0.0, 0.0, size=0.85, color=style.FAINT)
        above: dict[str, Any] = {"ha": "center", "va": "bottom"}
        # Each line by itself: setting type is dear, and mostly one of them changes.
        self.lines = [style.write(axes, 0.5, 0.0, **above) for _ in range(3)]
        self.mass = style.write(axes, 0.0, 0.0, size=0.9, va="bottom")
        self.of_media = style.write(axes, 0.0, 0.0, "of media\nover pads", size=0.9, va="top")
        self.flow_name = style.write(axes, 0.0, 0.0, size=0.9, color=style.BLUE)
        parts: list[Artist] = [
            self.water, self.path, self.pads, self.media, self.rock, self.glass, self.wall,
            self.arrows, self.back, self.bar, self.bar_name, self.mass, self.of_media,
        ]  # fmt: skip
        self.kept = Kept(axes.figure, parts)
        self.artists: list[Artist] = [self.kept, *self.lines, self.flow_name]

    def move(self, result: Any) -> None:
        """Show a tank and filter: litres, kilograms, L/h."""
        key = (
            result.volume, result.media, result.media_volume, result.pads_volume, result.rock,
        )  # fmt: skip
        if key != self.kept.key:
            self.kept.key = key
            self._draw(result)
        self._name(result)

    def _draw(self, result: Any) -> None:
        length, depth = water_sides(result.volume)
        wide = SHEETS[0] if length + 20.0 <= SHEETS[0] else SHEETS[1]
        self.cm = 1.0 / wide
        self._show_tank(result, length * self.cm, depth * self.cm)
        self._fill(result, length * self.cm)
        scale_bar = 50.0 if wide > SHEETS[0] else 25.0
        end, low = (4.0 + scale_bar) * self.cm, 0.018 * self.high
        self.bar.set_data([4.0 * self.cm, end], [low, low])
        self.bar_name.set_text(shown(scale_bar, "cm"))
        self.bar_name.set_position((end + 0.03, low))

    def _show_tank(self, result: Any, length: float, depth: float) -> None:
        left, wall = 0.5 - length / 2.0, WALL * self.cm
        self.water.set_xy(rectangle(left, self.floor, length, depth))
        above = depth + 5.0 * self.cm
        self.glass.set_xy(rectangle(left - wall, self.floor - wall, length + 2 * wall, above))
        # The rock's share of the water, seen from the front.
        share = min(result.rock_volume / result.volume, 0.45)
        self.rock.set_xy(pile(left, self.floor, length, depth, share))
        self.rock.set_visible(share > 0.0)
        self.above = self.floor + above + 2.0 * self.cm

    def _name(self, result: Any) -> None:
        kind = "of fresh water" if result.salinity < 0.5 else f"at salinity {result.salinity:g}"
        rock = f"and {shown(result.rock, 'kg', 2)} of rock" if result.rock else ""
        texts = [text for text in (shown(result.volume, "L"), kind, rock) if text]
        line = LINE * style.points() / style.POINTS
        for at, name in enumerate(self.lines):
            name.set_text(texts[at] if at < len(texts) else "")
            name.set_position((0.5, self.above + (len(texts) - 1 - at) * line))
        self.flow_name.set_text(shown(result.flow, "L/h").replace(" (", "\n("))

    def _fill(self, result: Any, length: float) -> None:
        sides = layers(result.pads_volume, result.media_volume)
        width, pads, media = (side * self.cm for side in sides)
        low, left, wall = 0.07 * self.high, 0.5 - width / 2.0, WALL * self.cm
        self.pads.set_xy(rectangle(left, low, width, pads))
        self.media.set_xy(rectangle(left, low + pads, width, media))
        top = low + pads + media + LID * self.cm
        self.wall.set_xy(rectangle(left - wall, low - wall, width + 2 * wall, top - low + wall))
        self.mass.set_text(shown(result.media, "kg", 2).replace(" (", "\n("))
        beside = left + width + 0.03, low + max(0.5 * (pads + media), 0.055 * self.high)
        for text in (self.mass, self.of_media):
            text.set_position(beside)
        self._lead(length, left, low, top)

    def _lead(self, length: float, left: float, low: float, top: float) -> None:
        """Draw the water's way: out of the tank, under the pads, up through them and back."""
        out, back = 0.5 - 0.44 * length, 0.5 + 0.44 * length
        pipe, between, inlet = left - 0.03, 0.44 * self.high, low + self.cm
        start, under = self.floor + 6.0 * self.cm, top - LID * self.cm
        self.path.set_data(
            [out, out, pipe, pipe, left, 0.5, 0.5, back, back],
            [start, between, between, inlet, inlet, under, between, between, start],
        )
        half = 0.5 * (between + top)
        self.arrows.set_data([pipe], [half])
        self.back.set_data([0.5], [half])
        self.flow_name.set_position((0.54, half + 0.015))
