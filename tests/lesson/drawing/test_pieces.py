"""Pieces of media: as many, and as much solid, as there are."""

import math

import numpy as np
import pytest

from aqualib.filtration.media import foam_cell
from aqualib.filtration.media.kinds import media_kind, media_kinds
from aqualib.lesson.drawing.pieces import (
    drawn_width,
    is_threads,
    outline,
    places,
    reach,
    step_between,
)

SOLID = [name for name in media_kinds() if not is_threads(media_kind(name))]


@pytest.mark.parametrize("name", SOLID)
@pytest.mark.parametrize("voidage", [0.5, 0.7])
def test_share_of_solid_that_is_drawn(name, voidage):
    kind = media_kind(name)
    step = step_between(kind, 1.0, voidage)
    found = places(step, 1.0, 300.0, 300.0)
    hole = kind["hole_share"].value if kind.shape == "ring" else 0.0
    solid = len(found) * math.pi / 4 * (1 - hole**2) / 300.0**2
    assert solid <= 1.02 * (1 - voidage)
    if step > 1.0:
        assert solid == pytest.approx(1 - voidage, rel=0.02)


def test_pieces_stand_apart_and_inside():
    found = places(3.0, 2.0, 20.0, 15.0)
    apart = np.hypot(*(found[:, None] - found[None]).transpose(2, 0, 1))
    assert apart[~np.eye(len(found), dtype=bool)].min() == pytest.approx(3.0)
    assert found.min(axis=0) == pytest.approx([1.0, 1.0])
    assert np.all(found.max(axis=0) <= [19.0, 14.0])


def test_a_piece_wider_than_its_place_is_not_drawn():
    assert len(places(3.0, 3.0, 2.0, 10.0)) == 0
    assert len(places(3.0, 3.0, 10.0, 2.0)) == 0


@pytest.mark.parametrize("name", media_kinds())
def test_outlines_are_one_wide(name):
    kind = media_kind(name)
    assert reach(kind) == pytest.approx(0.5, abs=0.08)
    assert np.abs(outline(kind).vertices).max() == reach(kind)


def test_a_ring_is_open_and_foam_is_drawn_by_its_cells():
    ring = media_kind("sintered glass rings")
    radii = np.hypot(*outline(ring).vertices.T)
    assert radii.min() == pytest.approx(0.5 * ring["hole_share"].value)
    foam = next(media_kind(name) for name in media_kinds() if media_kind(name).shape == "foam")
    assert drawn_width(foam, 1.27) == pytest.approx(foam_cell(20).m_as("mm"))
    assert drawn_width(ring, 1.5) == 1.5
