"""Lesson 06: a slice through a piece of medium, and beside it what is dissolved at each depth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.filtration.biofilm.diffusion import SPECIES
from aqualib.filtration.porous_piece import WorkingPiece
from aqualib.filtration.porous_piece.piece import KINDS, Zone, zones
from aqualib.filtration.porous_piece.uncertainty import Doubt
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import scale
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.piece_section import HEIGHT, LOOKS, STRENGTH, WIDTH, PieceSection
from aqualib.lesson.drawing.room import Room
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.units import display_unit, from_si, label, number, shown

LINES = {
    "oxygen": ("oxygen", style.OXYGEN),
    "ammonium": ("ammonia", style.AMMONIA),
    "nitrite": ("nitrite", style.NITRITE),
    "nitrate": ("nitrate", style.NITRATE),
    "organic carbon": ("organic matter", style.FOOD),
}
PALE = style.OXYGEN, style.FOOD
"""Looks whose thin lines are too pale on paper: they have a dark edge."""
WINDOWS = 0.3e-3, 0.6e-3, 1.2e-3, 2.5e-3, 5e-3, 10e-3, 20e-3
"""Depths (m) that the plot may reach down to, but never beyond the middle."""
HIGHEST = 180.0
MARK, TOPMOST = 0.88, 0.7
"""How far up the mark of the layer stands that does most of the work, and the names of lines."""
FILM_WIDTH = 0.16
"""Width of the film of water in the plot, not to scale, as a share of the depth drawn."""
SCARCE = 1e-9
"""Below this in the water (kg/m³) a substance has no line."""
GAP = 0.066
RIBBON, KEY_AT = 7.0, -0.96
HALF = 50.0
"""A line whose inner end is lower, in percent, has its name above it."""
UPWARD = np.array([0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0])
BOTH_WAYS = np.outer([0.75, 1.25, 1.75, 2.5, 3.5, 5.0], [1.0, -1.0]).ravel()
"""Heights where a name may stand, in lines of text."""
MARKS = (-0.72, -0.42, -0.12)
"""Where the lines carry their markers."""


@dataclass(frozen=True, slots=True)
class Slice:
    """A piece at work, lengths in mm, concentrations in mg/L, rates in g/m² and mg/L a day."""

    working: WorkingPiece
    doubt: Doubt | None = None

    @property
    def working_depth(self) -> float:
        """The outer layer that does 95 % of the nitrifying, in mm."""
        return from_si(float(self.working.working_depth), "mm")

    @property
    def share_of_volume(self) -> float:
        """That layer's share of the volume of piece and film, in percent."""
        piece = self.working.piece
        left = max(piece.outer - self.working.working_depth, 0.0) / piece.outer
        return from_si(float(1.0 - left**piece.dimensions), "percent")

    @property
    def areal_rate(self) -> float:
        """Ammonia nitrogen turned, in g/m² of outside a day."""
        return from_si(float(self.working.nitrified), "g/m**2/day")

    @property
    def volumetric_rate(self) -> float:
        """Ammonia nitrogen turned, in mg per litre of piece a day."""
        return from_si(float(self.working.nitrified_per_volume), "mg/L/day")

    def per_litre(self, per_area: float) -> float:
        """Return a rate per area in kg/m²/s as mg per litre of piece a day."""
        return from_si(per_area / self.working.piece.volume_per_area, "mg/L/day")


class SliceOfPiece(Chart[Slice]):
    """The slice to scale on the left; on the right its skin enlarged, with five profiles."""

    size = (7.3, 4.6)

    def build(self, figure: Figure, _: Slice) -> list[Artist]:
        """Draw the axes; return the slice, the zones behind the profiles, and the profiles."""
        self.scale = scale("mm")
        sheet = figure.add_axes((0.0, 0.0, WIDTH / 73.0, 1.0))
        style.bare(sheet, WIDTH, HEIGHT)
        self.section = PieceSection(sheet)
        axes = figure.add_axes((0.545, 0.135, 0.44, 0.835))
        unit = label(display_unit("mm"))
        style.dress(axes, f"depth below the surface, {unit}", "share of what the water holds, %")
        axes.set_xlim(-1.0, FILM_WIDTH)
        axes.set_ylim(0.0, HIGHEST)
        axes.set_yticks(range(0, 121, 20))
        axes.set_xticks([-1.0, -0.5, 0.0], ["", "", ""])
        axes.tick_params(axis="x", pad=16.0)
        return [*self.section.artists, *self._plot(axes)]

    def _plot(self, axes: Axes) -> list[Artist]:
        self.room = Room(axes)
        self.bands = {k: patch(axes, plain(LOOKS[k]), 0.5 * STRENGTH[k], 0.5) for k in KINDS}
        for band in self.bands.values():
            band.set(linewidth=0.0, antialiased=False)
        self.ribbons = {k: patch(axes, LOOKS[k], STRENGTH[k], 0.6) for k in KINDS}
        (self.edge,) = axes.plot([], [], "-", color=style.INK, lw=1.0)
        self.curves, self.names, self.cases = {}, {}, {}
        for species, (_, look) in LINES.items():
            if look in PALE:
                (self.cases[species],) = axes.plot([], [], look.dash, color=style.INK, lw=3.8)
            (self.curves[species],) = axes.plot(
                [], [], look.dash, marker=look.marker, color=look.colour, lw=2.5, ms=7, mec="white"
            )
            self.names[species] = style.write(axes, 0.0, 0.0, size=0.9, bbox=style.ON_PAPER)
        (self.range,) = axes.plot([], [], "-", color=style.FAINT, lw=1.2)
        (self.working,) = axes.plot([], [], "-|", color=style.INK, lw=3.0, ms=9, mew=2.0)
        self.reading = style.write(
            axes, 0.0, 0.0, size=0.85, weight="bold", ha="right", va="top", bbox=style.ON_PAPER
        )
        self.sure = style.write(
            axes, -0.985, HIGHEST, "thin line: how sure that is", size=0.85, va="top"
        )
        self.ticks = [
            style.write(axes, at, -0.045 * HIGHEST, size=0.9, ha="center")
            for at in (-1.0, -0.5, 0.0)
        ]
        style.write(axes, 0.5 * FILM_WIDTH, 5.0, "water", size=0.85, ha="center")
        return [
            *self.bands.values(), *self.ribbons.values(), self.edge, *self.cases.values(),
            *self.curves.values(),
            *self.names.values(), self.range, self.working, self.reading, self.sure, *self.ticks,
        ]  # fmt: skip

    def update(self, result: Slice) -> None:
        """Move the slice, the zones and the profiles."""
        working, layers = result.working, zones(result.working)
        window = reach(working)
        self.section.move(working.piece, layers, window)
        self._colour({zone.kind: zone for zone in layers if zone.top < window}, window)
        film = min(working.piece.film / window, 1.0)
        self.edge.set_data([-film, -film], [0.0, TOPMOST * HIGHEST])
        self._draw_profiles(working, window)
        self._mark_depth(result, window)
        for tick, share in zip(self.ticks, (1.0, 0.5, 0.0), strict=True):
            tick.set_text(number(from_si(window, "mm") * share * self.scale, 2))

    def _colour(self, found: Mapping[str, Zone], window: float) -> None:
        """Draw the zones behind the profiles, pale, and along the foot with their hatches."""
        for kind in KINDS:
            for parts, low, high in ((self.bands, RIBBON, HIGHEST), (self.ribbons, 0.0, RIBBON)):
                parts[kind].set_visible(kind in found)
                if kind in found:
                    zone = found[kind]
                    left, right = -min(zone.bottom / window, 1.0), -zone.top / window
                    parts[kind].set_xy(rectangle(left, low, right - left, high - low))

    def _draw_profiles(self, working: WorkingPiece, window: float) -> None:
        """Draw what each depth holds against the water, and name each line at its inner end."""
        depths = np.append(-working.depth / window, FILM_WIDTH)
        x = np.union1d(depths[depths > -1.0], [-1.0, *MARKS])
        marked = [*np.searchsorted(x, MARKS), len(x) + 1]
        lines: dict[str, Array] = {}
        inner: dict[str, float] = {}
        for at, species in enumerate(SPECIES):
            water = working.outside[at]
            visible = bool(water > SCARCE)
            self.curves[species].set_visible(visible)
            if species in self.cases:
                self.cases[species].set_visible(visible)
            self.names[species].set_visible(visible)
            if visible:
                inside = np.append(working.concentrations[:, at], water)
                lines[species] = 100.0 / water * np.interp(x, depths, inside)
                inner[species] = float(lines[species][0])
        # After a gap, one more marker beside the name.
        places = self._name_profiles(x, lines, inner)
        for species, y in lines.items():
            line = np.append(x, [np.nan, KEY_AT]), np.append(y, [np.nan, places[species]])
            self.curves[species].set_data(*line)
            if species in self.cases:
                self.cases[species].set_data(*line)
            self.curves[species].set_markevery(marked)

    def _name_profiles(
        self, x: Array, lines: Mapping[str, Array], inner: Mapping[str, float]
    ) -> dict[str, float]:
        """Write the names near the inner ends of the lines, clear of all; return their heights."""
        self.room.empty()
        for y in lines.values():
            self.room.line(x, np.minimum(y, HIGHEST))
        gap = GAP * HIGHEST * style.text_scale()
        heights: dict[str, float] = {}
        last = RIBBON - 0.4 * gap
        rising = sorted(inner, key=lambda species: inner[species])
        high = [species for species in rising[::-1] if inner[species] >= HALF]
        # Lines that end low have their names above them, in the same order.
        for species in [*high, *(each for each in rising if each not in high)]:
            end = inner[species]
            name = self.names[species]
            name.set_text(LINES[species][0])
            start = max(end + 0.75 * gap, last + gap) if end < HALF else end
            steps = UPWARD if end < HALF else BOTH_WAYS
            places = np.clip(start + gap * steps, RIBBON + 0.6 * gap, TOPMOST * HIGHEST)
            self.room.put(name, [(KEY_AT + 0.04, y) for y in places])
            heights[species] = name.get_position()[1]
            self.room.dot(KEY_AT, heights[species], 8.0)
            last = heights[species] if end < HALF else last
        return heights

    def _mark_depth(self, result: Slice, window: float) -> None:
        """Mark the layer that does most (95 %) of the nitrifying, and how sure that is."""
        depth, high = result.working.working_depth / window, MARK * HIGHEST
        self.working.set_data([-min(depth, 1.0), 0.0], [high, high])
        self.range.set_visible(result.doubt is not None)
        if result.doubt is not None:
            ends = [
                -min(end["working_depth"] / window, 1.0)
                for end in (result.doubt.high, result.doubt.low)
            ]
            self.range.set_data(ends, [high + 3.0, high + 3.0])
        depth_text = shown(result.working_depth, "mm", 2).replace(" (", "\n(")
        self.reading.set_text(f"most of the work: {depth_text}")
        self.reading.set_position((0.0, high - 0.03 * HIGHEST))
        self.sure.set_visible(result.doubt is not None)


def plain(look: style.Look) -> style.Look:
    """Return a look without its hatch: large hatched areas are slow to draw and to send."""
    return replace(look, hatch="")


def reach(working: WorkingPiece) -> float:
    """Return how deep the plot goes, in m: all that happens near the surface, or to the middle."""
    piece = working.piece
    deepest = max(working.busy_depth, working.working_depth, 2.0 * piece.film)
    if working.has_core:
        deepest = max(working.anoxic_depth, deepest)
    step = next((window for window in WINDOWS if 1.5 * deepest <= window), WINDOWS[-1])
    return float(min(step, piece.outer))
