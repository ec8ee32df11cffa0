"""A tank and its canister filter from the front, to one scale: water, rock, pads and media."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

from matplotlib.artist import Artist
from matplotlib.axes import Axes

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import scale_bar
from aqualib.lesson.drawing.shapes import patch, rectangle, wall
from aqualib.lesson.drawing.tank_section import CUBIC_CM, ROCK, heap, round_width, usual_sides
from aqualib.lesson.drawing.words import Kept
from aqualib.parameters import parameter
from aqualib.units import shown
from aqualib.water.ph_scales import FRESH_BELOW

WALL, LID = 1.0, 4.0
SPONGE = style.Look("#FBF7CF", "-", "", "...")
MEDIA = style.Look("#F7DFAF", "-", "", "++")
"""Media for bacteria: orange, thinned, with crosses."""
MOST_ROCK = 0.45
"""Share of the water that rock is drawn to fill at most; more would rise out of it."""
LINE = 0.065
"""Height of a line of text over the width of the sheet."""
SHEETS = (130.0, 190.0)
"""Widths in cm that the sheet may stand for."""
BESIDE = 0.03
"""From the filter to its pipe and its words, over the width of the sheet."""


class Equipment(NamedTuple):
    """A tank and its filter: volumes in L, masses in kg, flow in L/h."""

    volume: float
    salinity: float
    rock: float
    rock_volume: float
    media: float
    media_volume: float
    pads_volume: float
    flow: float

    @property
    def drawn(self) -> tuple[float, ...]:
        """What the drawing follows; the flow and the salt are only words."""
        return self.volume, self.media, self.media_volume, self.pads_volume, self.rock


def layers(pads: float, media: float) -> tuple[float, float, float]:
    """Return the width of a round canister and the heights of pads and media in it, cm.

    Large ones are as high as they are wide; both fillings are in litres.
    """
    narrowest = parameter("narrowest_filter").value
    width = max(narrowest, round_width(pads + media))
    floor = math.pi / 4.0 * width**2
    return width, CUBIC_CM * pads / floor, CUBIC_CM * media / floor


class TankAndFilter:
    """Tank above, filter below, the water's way round, and a bar that tells the scale."""

    def __init__(self, axes: Axes, high: float) -> None:
        """Make the parts on axes 1 wide and `high` high."""
        self.high, self.floor = high, 0.5 * high
        self.cm = 1.0 / SHEETS[0]
        self.water = patch(axes, style.WATER, 0.35, 1.0)
        self.rock = patch(axes, ROCK, 0.9, 1.1)
        self.glass = wall(axes)
        self.pads = patch(axes, SPONGE, 1.0, 1.1)
        self.media = patch(axes, MEDIA, 1.0, 1.1)
        self.wall = wall(axes)
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
        self.kept = Kept(
            axes.figure,
            [
                self.water, self.path, self.pads, self.media, self.rock, self.glass, self.wall,
                self.arrows, self.back, self.bar, self.bar_name, self.mass, self.of_media,
            ],
        )  # fmt: skip
        self.artists: Sequence[Artist] = (self.kept, *self.lines, self.flow_name)

    def move(self, equipment: Equipment) -> None:
        """Show a tank and its filter."""
        if equipment.drawn != self.kept.key:
            self.kept.key = equipment.drawn
            self._draw(equipment)
        self._name(equipment)

    def _draw(self, equipment: Equipment) -> None:
        length, depth = usual_sides(equipment.volume)
        wide = SHEETS[0] if length + 20.0 <= SHEETS[0] else SHEETS[1]
        self.cm = 1.0 / wide
        self._show_tank(equipment, length * self.cm, depth * self.cm)
        self._fill(equipment, length * self.cm)
        bar, words = scale_bar(50.0 if wide > SHEETS[0] else 25.0, "cm")
        end, low = (4.0 + bar) * self.cm, 0.018 * self.high
        self.bar.set_data([4.0 * self.cm, end], [low, low])
        self.bar_name.set_text(words)
        self.bar_name.set_position((end + 0.03, low))

    def _show_tank(self, equipment: Equipment, length: float, depth: float) -> None:
        left, thick = 0.5 - length / 2.0, WALL * self.cm
        self.water.set_xy(rectangle(left, self.floor, length, depth))
        above = depth + 5.0 * self.cm
        self.glass.set_xy(rectangle(left - thick, self.floor - thick, length + 2 * thick, above))
        # The rock's share of the water, seen from the front.
        share = min(equipment.rock_volume / equipment.volume, MOST_ROCK)
        self.rock.set_xy(heap(left, self.floor, length, depth, share))
        self.rock.set_visible(share > 0.0)
        self.above = self.floor + above + 2.0 * self.cm

    def _name(self, equipment: Equipment) -> None:
        salinity = equipment.salinity
        kind = "of fresh water" if salinity < FRESH_BELOW else f"at salinity {salinity:g}"
        rock = f"and {shown(equipment.rock, 'kg', 2)} of rock" if equipment.rock else ""
        texts = [text for text in (shown(equipment.volume, "L"), kind, rock) if text]
        line = LINE * style.text_scale()
        for at, name in enumerate(self.lines):
            name.set_text(texts[at] if at < len(texts) else "")
            name.set_position((0.5, self.above + (len(texts) - 1 - at) * line))
        self.flow_name.set_text(shown(equipment.flow, "L/h").replace(" (", "\n("))

    def _fill(self, equipment: Equipment, length: float) -> None:
        sides = layers(equipment.pads_volume, equipment.media_volume)
        width, pads, media = (side * self.cm for side in sides)
        low, left, thick = 0.07 * self.high, 0.5 - width / 2.0, WALL * self.cm
        self.pads.set_xy(rectangle(left, low, width, pads))
        self.media.set_xy(rectangle(left, low + pads, width, media))
        top = low + pads + media + LID * self.cm
        around = left - thick, low - thick
        self.wall.set_xy(rectangle(*around, width + 2 * thick, top - low + thick))
        self.mass.set_text(shown(equipment.media, "kg", 2).replace(" (", "\n("))
        beside = left + width + BESIDE, low + max(0.5 * (pads + media), 0.055 * self.high)
        for text in (self.mass, self.of_media):
            text.set_position(beside)
        self._lead(length, left, low, top)

    def _lead(self, length: float, left: float, low: float, top: float) -> None:
        """Draw the water's way: out of the tank, under the pads, up through them and back."""
        out, back = 0.5 - 0.44 * length, 0.5 + 0.44 * length
        pipe, between, inlet = left - BESIDE, 0.44 * self.high, low + self.cm
        start, under = self.floor + 6.0 * self.cm, top - LID * self.cm
        self.path.set_data(
            [out, out, pipe, pipe, left, 0.5, 0.5, back, back],
            [start, between, between, inlet, inlet, under, between, between, start],
        )
        half = 0.5 * (between + top)
        self.arrows.set_data([pipe], [half])
        self.back.set_data([0.5], [half])
        self.flow_name.set_position((0.54, half + 0.015))
