"""The zones cover a piece from surface to middle, each where its name is true."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.filtration.porous_piece.balance import Water
from aqualib.filtration.porous_piece.piece import (
    CLOSED,
    DENITRIFYING,
    IDLE,
    KINDS,
    NITRIFYING,
    STARVED,
    solved_piece,
    working_piece,
    zones,
)
from aqualib.filtration.porous_piece.shells import Piece
from aqualib.units import Q

BALL = Piece("sphere", 0.01, 0.5, 2e-4, 1e-4)
WATER = Water(298.15, 0.0, 7e-3, 5e-4, None, 1e-2, 3e-3, 0.005)


def kinds(piece=BALL, **water):
    return [zone.kind for zone in zones(solved_piece(piece, replace(WATER, **water)))]


def test_little_ammonia_leaves_oxygen_in_the_middle():
    assert kinds() == [NITRIFYING, STARVED]


def test_much_ammonia_makes_a_core_that_needs_food():
    assert kinds(ammonium=3e-3) == [NITRIFYING, STARVED, IDLE]
    assert kinds(ammonium=3e-3, organic=2e-2) == [NITRIFYING, STARVED, DENITRIFYING, IDLE]
    assert kinds(replace(BALL, size=2e-3), ammonium=3e-3, organic=5e-2) == [
        NITRIFYING,
        STARVED,
        DENITRIFYING,
    ]


def test_narrow_pores_and_solid_pieces():
    closed = replace(BALL, pore_diameter=5e-6)
    assert kinds(closed) == [NITRIFYING, STARVED, CLOSED]
    found = zones(solved_piece(closed, WATER))
    assert found[-1].top == pytest.approx(BALL.film)
    solid = replace(BALL, porosity=0.0)
    (most, rest) = zones(solved_piece(solid, WATER))
    assert (most.kind, rest.kind) == (NITRIFYING, STARVED)
    assert rest.bottom == pytest.approx(BALL.film)


def test_the_little_oxygen_of_poor_water_still_counts():
    assert kinds(replace(BALL, size=1e-3), oxygen=5e-4, velocity=0.0)[0] == NITRIFYING


@pytest.mark.parametrize("water", [{}, {"oxygen": 5e-4}, {"ammonium": 3e-3}, {"ammonium": 5e-5}])
def test_the_layer_that_is_named_for_the_work_does_what_is_said_of_it(water):
    found = solved_piece(BALL, replace(WATER, **water))
    first = zones(found)[0]
    assert (first.kind, first.bottom) == (NITRIFYING, found.working_depth)


def test_a_result_with_units_has_zones_with_units():
    found = working_piece("sphere", Q(10, "mm"), Q(0.5, "mg/L"), Q(7, "mg/L"), Q(25, "degC"))
    for zone, bare in zip(zones(found), zones(solved_piece(BALL, WATER)), strict=True):
        assert zone.kind == bare.kind
        assert zone.bottom.m_as("m") == pytest.approx(bare.bottom)
        assert str(zone.bottom.units) == "millimeter"


amount = st.floats(0.0, 1.0)


@settings(max_examples=40, deadline=None)
@given(amount, amount, amount, amount)
def test_zones_lie_one_below_the_other_down_to_the_middle(size, ammonia, oxygen, pore):
    piece = replace(BALL, size=1e-3 * 30.0**size, pore_diameter=2e-6 * 250.0**pore)
    water = replace(WATER, ammonium=5e-5 * 100.0**ammonia, oxygen=5e-4 * 24.0**oxygen)
    found = zones(solved_piece(piece, water))
    assert found[0].top == 0.0
    assert found[-1].bottom == pytest.approx(piece.outer)
    for above, below in itertools.pairwise(found):
        assert below.top == above.bottom
    order = list(KINDS)
    places = [order.index(zone.kind) for zone in found]
    assert places == sorted(set(places))
