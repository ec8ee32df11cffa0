"""A slice of a piece: its scale bar is true, and each zone bears its name once."""

from itertools import pairwise

import numpy as np
import pytest
from matplotlib.figure import Figure

from aqualib.filtration.porous_piece import Piece, Water
from aqualib.filtration.porous_piece.piece import KINDS, solved_piece, zones
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.piece_section import (
    BEYOND,
    HALF_WALL,
    HEIGHT,
    LEFT,
    LONG,
    MIDDLE,
    NARROWEST,
    SHORT,
    TURN,
    WIDTH,
    PieceSection,
)

PIECES = [
    Piece("sphere", 10e-3, 0.5, 200e-6, 0.1e-3),
    Piece("slab", 30e-3, 0.5, 200e-6, 0.1e-3),
    Piece("cylinder", 3e-3, 0.3, 5e-6, 0.1e-3),
]


@pytest.fixture(scope="module")
def workings():
    water = Water(298.15, 0.0, 4e-3, 2e-3, None, 10e-3, 5e-3, 2e-3)
    return [solved_piece(piece, water) for piece in PIECES]


@pytest.fixture
def section():
    axes = Figure(figsize=(3.4, 4.6)).add_axes((0.0, 0.0, 1.0, 1.0))
    style.bare(axes, WIDTH, HEIGHT)
    return PieceSection(axes)


@pytest.mark.parametrize("which", range(len(PIECES)))
def test_scale_bar_is_a_round_true_length(section, workings, which):
    piece = workings[which].piece
    section.move(piece, zones(workings[which]), piece.outer / 4)
    bar = np.ptp(section.bar.get_xdata()) / LONG * 1e3 * piece.outer
    assert section.length.get_text() == f"{bar:g} mm"
    assert f"{bar:.0e}"[0] in "125"
    assert bar <= 1e3 * piece.outer / 3
    assert section.bar.get_xdata()[0] == LEFT < section.bar.get_xdata()[1]
    assert section.length.get_position()[0] > section.bar.get_xdata()[1]


@pytest.mark.parametrize("which", range(len(PIECES)))
def test_zones_with_room_bear_their_name_and_the_others_have_a_line(section, workings, which):
    working = workings[which]
    found = zones(working)
    section.move(working.piece, found, working.piece.outer)
    narrow = 0
    for zone in found:
        long = (zone.bottom - zone.top) / working.piece.outer * LONG
        name = section.names[zone.kind]
        narrow += long < NARROWEST
        assert name.get_text() == (KINDS if long < NARROWEST else SHORT)[zone.kind]
        x = name.get_position()[0]
        if long >= NARROWEST:
            inner, outer = (LEFT + LONG * (1 - end / working.piece.outer)
                            for end in (zone.bottom, zone.top))  # fmt: skip
            assert inner < x < outer
            assert x == pytest.approx(0.45 * inner + 0.55 * outer)
    assert narrow > 0
    # One line for each narrow zone, one for the film, one for what is drawn larger.
    gaps = np.isnan(np.asarray(section.leaders.get_xdata(), float)).sum()
    assert gaps == narrow + 2


def test_names_above_stand_one_over_the_other(section, workings):
    working = workings[0]
    section.move(working.piece, zones(working), working.piece.outer)
    above = [name for kind, name in section.names.items()
             if name.get_visible() and name.get_text() == KINDS[kind]]  # fmt: skip
    heights = sorted([*(name.get_position()[1] for name in above), section.film.get_position()[1]])
    assert np.all(np.diff(heights) > 2.0)


def test_the_bracket_spans_what_is_drawn_larger(section, workings):
    working = workings[0]
    section.move(working.piece, zones(working), working.piece.outer / 5)
    x, y = section.lines[-1]
    # Its ends point up, at the piece.
    assert y[0] == y[3] > y[1] == y[2]
    assert max(x) - min(x) == pytest.approx(LONG / 5)
    assert max(x) == LEFT + LONG


@pytest.mark.parametrize("which", range(len(PIECES)))
def test_zones_lie_side_by_side_from_the_surface_and_water_beyond(section, workings, which):
    working = workings[which]
    section.move(working.piece, zones(working), working.piece.outer)

    def reach(polygon):
        xy = polygon.get_xy() - [LEFT, MIDDLE]
        away = xy[:, 0] if working.piece.dimensions == 1 else np.hypot(*xy.T)
        return away.min(), away.max()

    edges = sorted(reach(section.zones[zone.kind]) for zone in zones(working))
    assert edges[0][0] == pytest.approx(0.0, abs=1e-9)
    assert edges[-1][1] == pytest.approx(LONG)
    for (_, end), (start, _) in pairwise(edges):
        assert end == pytest.approx(start)
    assert reach(section.water) == pytest.approx((LONG, LONG + BEYOND))
    x, y = section.water.get_xy()[:-1].T
    area = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0
    wedge = ((LONG + BEYOND) ** 2 - LONG**2) * TURN
    flat = 2.0 * HALF_WALL * BEYOND
    assert area == pytest.approx(flat if working.piece.dimensions == 1 else wedge, rel=1e-3)
