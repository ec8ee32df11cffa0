"""Lesson 14: a canister filter opened, cleaned and started again, in six numbered drawings."""

from __future__ import annotations

import textwrap
from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.filter_parts import Impeller, RingInGroove, ellipse
from aqualib.lesson.drawing.filter_section import (
    ABOVE,
    CORNER,
    HEAD,
    MIDDLE,
    PIPE,
    SHEET_HEIGHT,
    SHEET_WIDTH,
    TRAY_GAP,
    WALL,
    FilterSection,
    rounded,
)
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import patch
from aqualib.parameters import parameter

GRADES = "coarse", "medium", "fine"
LIFTED = 26.0
"""How high the head is held above an open filter."""
RADIUS = 8.5
LIST = 396.0
"""Where the list of what to do begins."""
LETTERS = 37
LINE, APART = 15.0, 7.0
DETAIL = 456.0, 20.0
SIDEWAYS = 60.0
"""How much of the sheet is cut off at the left, where nothing stands."""


@dataclass(frozen=True, slots=True)
class Step:
    """One drawing: its title, whether the head is off, whether water runs, and what to do where."""

    title: str
    open: bool
    runs: bool
    do: tuple[tuple[str, str], ...]
    """The place on the drawing, and what to do there."""
    detail: str = ""


STEPS = (
    Step("close and unplug", False, False, (
        ("motor", "Pull every plug of the tank."),
        ("in", "Shut both valves."),
        ("foot", "Stand it in a tub, on a towel."),
        ("rim", "Open the clips one after the other."),
    )),
    Step("clean", True, False, (
        ("foot", "Pour the dirty water down the drain."),
        ("coarse", "Rinse half of the pads in old tank water, the coarse one first."),
        ("fine", "Rinse the rest in a week; leave media that no dirt covers."),
        ("in", "Brush the hoses and the strainer."),
    )),
    Step("impeller", True, False, (
        ("motor", "Take its cover off, and pull the impeller out."),
        ("head", "Rinse it, and brush its well."),
        ("detail", "Look at both ends of the shaft; turn it by hand."),
    ), "impeller"),
    Step("O-ring", True, False, (
        ("rim", "Take the ring out; wipe ring and groove."),
        ("detail", "Look for hairs, sand and cracks; grease it thinly, as its maker says."),
        ("head", "Lay it flat, and press the lid on evenly."),
    ), "ring"),
    Step("fill it (priming)", False, False, (
        ("foot", "Fill it to the brim with tank water before the lid goes on."),
        ("in", "Open the inlet: water runs down by itself."),
        ("out", "Open the outlet when the gurgling ends."),
    )),
    Step("start and vent", False, True, (
        ("motor", "Dry hands: plug in, with a drip loop."),
        ("head", "Tip it gently until no more bubbles come."),
        ("rim", "Feel all around with dry paper."),
        ("out", "Measure the flow; test ammonia and nitrite for a week."),
    )),
)  # fmt: skip
"""Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Care:
    """Which drawing is shown, from 1 up."""

    number: int

    @property
    def step(self) -> Step:
        """What it shows."""
        return STEPS[self.number - 1]


class CareInSteps(Chart[Care]):
    """The filter in section with numbered places, and beside it what to do at each."""

    size = (7.2, 3.96)

    def frame(self, result: Care) -> Hashable:
        """Return the step: each is a drawing of its own."""
        return result.number

    def build(self, figure: Figure, result: Care) -> list[Artist]:
        """Draw the filter of a step; return the title, which is all that moves."""
        axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
        style.bare(axes, SHEET_WIDTH, SHEET_HEIGHT)
        axes.set_xlim(SIDEWAYS, SIDEWAYS + SHEET_WIDTH)
        step = result.step
        self.section = FilterSection(axes, len(GRADES))
        millimetres = [1e3 * parameter(f"{name}").bare for name in
                       ("filter_width", "settling_height", "filter_pad_depth")]  # fmt: skip
        self.wide, settling, depth = millimetres
        self.section.move(self.wide, settling, depth, ("settling", *GRADES),
                          [[0.0]] * (len(GRADES) + 1), [0.0, depth],
                          parameter("media_flow").value if step.runs else 0.0)  # fmt: skip
        self.section.arrows.set_visible(step.runs)
        self.lid = self.section.floors[-1] + depth + TRAY_GAP
        self.section.ends[1].set_text("out")
        self.up = LIFTED if step.open else 0.0
        if step.open:
            self._lift()
        self._detail(axes, step)
        self.marks = [self._mark(axes, at, place) for at, (place, _) in enumerate(step.do, 1)]
        self._list(axes, step)
        self.title = style.write(axes, LIST, SHEET_HEIGHT - 16.0, "", 1.05, weight="bold")
        return [self.title]

    def update(self, result: Care) -> None:
        """Set the title."""
        self.title.set_text(f"{result.number}  {result.step.title}")

    def _lift(self) -> None:
        """Hold the head, with its motor and stubs, above the body."""
        up = np.array([0.0, LIFTED])
        for part in (self.section.head, self.section.motor):
            part.set_xy(np.asarray(part.get_xy()) + up)
        paths = [np.asarray(path.vertices) for path in self.section.fittings.get_paths()]
        above = [path[:, 1].min() > self.lid for path in paths]
        self.section.fittings.set_verts(
            [path + up if high else path for path, high in zip(paths, above, strict=True)]
        )
        for words in (self.section.pump, *self.section.ends):
            x, y = words.get_position()
            words.set_position((x, y + LIFTED))
        left, low = MIDDLE - self.wide / 2.0 - WALL, self.section.floors[0] - WALL
        body = self.wide + 2.0 * WALL, self.lid - low
        self.section.wall.set_xy(rounded(left, low, *body, bottom=CORNER + WALL))
        self.section.pipe.set_visible(False)

    def _places(self) -> dict[str, tuple[float, float]]:
        """Return where a number may stand."""
        left, right = MIDDLE - self.wide / 2.0, MIDDLE + self.wide / 2.0
        up = self.up
        top = self.lid + HEAD + up
        beside = right + 20.0
        floors = dict(zip(("coarse", "medium", "fine"), self.section.floors[1:], strict=True))
        return {
            "motor": (MIDDLE - 0.24 * self.wide, self.lid + HEAD / 2.0 + up),
            "head": (right - 18.0, self.lid + HEAD / 2.0 + up),
            "in": (left - 16.0, top + 0.3 * ABOVE),
            "out": (left + 0.82 * self.wide - 24.0, top + 0.3 * ABOVE),
            "rim": (beside, self.lid),
            "foot": (beside, self.section.floors[0] + 12.0),
            "detail": (DETAIL[0] - 24.0, DETAIL[1] + 40.0),
            **{grade: (beside, floor + PIPE) for grade, floor in floors.items()},
        }

    def _mark(self, axes: Axes, number: int, place: str) -> Artist:
        """Put a numbered disc on a place."""
        x, y = self._places()[place]
        disc = patch(axes, style.Look(style.PAPER), 1.0, 2.5)
        disc.set(edgecolor=style.BLUE, linewidth=2.0)
        disc.set_xy(ellipse(x, y, RADIUS, RADIUS))
        style.write(axes, x, y, str(number), 0.85, ha="center", weight="bold")
        return disc

    def _list(self, axes: Axes, step: Step) -> None:
        """Write what to do at each number."""
        height, scale = SHEET_HEIGHT - 40.0, style.text_scale()
        for number, (_, said) in enumerate(step.do, 1):
            lines = textwrap.wrap(said, int(LETTERS / scale))
            style.write(axes, LIST, height, str(number), 0.95, weight="bold", va="top")
            style.write(axes, LIST + 18.0, height, "\n".join(lines), 0.95, va="top")
            height -= (len(lines) * LINE + APART) * scale * SHEET_WIDTH / (72.0 * self.size[0])

    def _detail(self, axes: Axes, step: Step) -> None:
        """Draw a part large, where the step is about one."""
        if step.detail:
            {"ring": RingInGroove, "impeller": Impeller}[step.detail](axes, *DETAIL)
