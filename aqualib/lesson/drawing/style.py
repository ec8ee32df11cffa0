"""How everything looks: one thing has one look in every lesson.

Colours are the Okabe-Ito set, which colour-blind readers can tell apart; each thing also has its
own dash, marker or hatch, and a label beside it, so that nothing rests on colour alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from matplotlib.axes import Axes

from aqualib.lesson.drawing.words import Words
from aqualib.setting import Setting

# Okabe & Ito 2008
BLACK = "#000000"
ORANGE = "#E69F00"
SKY_BLUE = "#56B4E9"
BLUISH_GREEN = "#009E73"
YELLOW = "#F0E442"
BLUE = "#0072B2"
VERMILION = "#D55E00"
REDDISH_PURPLE = "#CC79A7"

INK = "#222222"
FAINT = "#666666"
GLASS = "#444444"
PAPER = "#FFFFFF"

POINTS = 11.0
TEXT_SIZES = {"page": 1.0, "projector": 1.15}
NARROW = 0.87
"""A picture shown narrower than this share of its own width has the larger text in it."""


@dataclass(frozen=True, slots=True)
class Look:
    """The look of one thing: its colour, dash, marker and hatch."""

    colour: str
    dash: str = "-"
    marker: str = ""
    hatch: str = ""


AMMONIA = Look(BLUE, "-", "o")
NITRITE = Look(VERMILION, "--", "^")
NITRATE = Look(BLUISH_GREEN, "-.", "s")
OXYGEN = Look(SKY_BLUE, "-", "D")
SOLIDS = Look("#999999", ":", "v", "///")
FOOD = Look(ORANGE, "-", "P", "..")
ANIMALS = Look(REDDISH_PURPLE, "-", "X", "\\\\")
WATER = Look(SKY_BLUE)
PUMP = Look(BLACK, "-", "o")
LOOP = Look(REDDISH_PURPLE, "--", "s")
# Not green, yellow and red: those would read as the colours of a test.
SAFE = Look(SKY_BLUE)
CAUTION = Look(ORANGE, "-", "", "..")
DANGER = Look(VERMILION, "-", "", "xx")

ZONES = ((SAFE, 0.18), (CAUTION, 0.4), (DANGER, 0.5))
"""The three regions of a limit, each with the strength of its colour."""

ON_PAPER = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.8, "pad": 1.5}
"""A patch of paper behind a word that stands on a hatch or a line."""

_least_scale = [1.0]
"""Of the picture that is being drawn; one is drawn at a time."""

text_size = Setting("size", tuple(TEXT_SIZES))
"""The text size in force, for every picture of the session."""


def get_text_size() -> str:
    """Return "page" or "projector"."""
    return text_size.value


def set_text_size(size: str) -> None:
    """Draw text at "page" size, or larger for a "projector"."""
    text_size.set(size)


def text_scale() -> float:
    """Return how much larger text is within the picture that is being drawn."""
    return max(TEXT_SIZES[text_size.value], _least_scale[-1])


@contextmanager
def shown_at(share: float) -> Iterator[None]:
    """Lay out what is drawn meanwhile for a picture shown at a share of its own width."""
    _least_scale.append(TEXT_SIZES["projector"] if share < NARROW else 1.0)
    try:
        yield
    finally:
        _least_scale.pop()


def points(relative: float = 1.0) -> float:
    """Return the font size in points at the text size in force."""
    return POINTS * relative * text_scale()


def dress(axes: Axes, x_label: str = "", y_label: str = "") -> None:
    """Give axes the plain look: two spines, labels in ink."""
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=points(0.9), colors=INK)
    axes.set_xlabel(x_label, fontsize=points(), color=INK)
    axes.set_ylabel(y_label, fontsize=points(), color=INK)


def bare(axes: Axes, width: float, height: float) -> None:
    """Turn axes into a sheet to draw on, `width` by `height`, with equal scale."""
    axes.set_axis_off()
    axes.set_xlim(0.0, width)
    axes.set_ylim(0.0, height)
    axes.set_aspect("equal")


def write(
    axes: Axes, x: float, y: float, text: str = "", size: float = 1.0, **options: Any
) -> Words:
    """Write text on axes in the lesson's size and ink; returns the words."""
    return Words(axes, x, y, text, fontsize=points(size), **{"color": INK, **options})
