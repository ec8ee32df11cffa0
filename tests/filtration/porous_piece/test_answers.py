"""Reading off a piece: depths where profiles say so, shares that add up, limits in words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from aqualib.filtration.porous_piece.answers import FAINT, SATURATED, _depth_down_to, _working_depth
from aqualib.filtration.porous_piece.balance import Water
from aqualib.filtration.porous_piece.film_parameters import film_with
from aqualib.filtration.porous_piece.newton import cells
from aqualib.filtration.porous_piece.piece import solved_piece
from aqualib.filtration.porous_piece.reactions import AMMONIUM, NITRATE, ORGANIC, OXYGEN
from aqualib.filtration.porous_piece.shells import Layers, Piece

BALL = Piece("sphere", 0.01, 0.5, 2e-4, 1e-4)
WATER = Water(298.15, 0.0, 7e-3, 2e-3, None, 1e-2, 2e-2, 0.005)


@pytest.fixture(scope="module")
def fine():
    return solved_piece(BALL, WATER, fineness=8.0)


def at(result, depth, species):
    return np.interp(-depth, -result.depth, result.concentrations[:, species])


def monod(value, half):
    return value / (half + value)


def test_oxygen_is_at_its_limit_where_the_core_begins(fine):
    assert fine.has_core
    assert at(fine, fine.anoxic_depth, OXYGEN) == pytest.approx(film_with().anoxic_oxygen, rel=1e-6)
    inner = (BALL.outer - fine.anoxic_depth) / BALL.outer
    assert fine.anoxic_share == pytest.approx(inner**3)


def test_ammonia_oxidisers_are_faint_below_the_busy_depth(fine):
    assumed = film_with()

    def pace(ammonia, oxygen):
        return monod(ammonia, assumed.ammonia_half) * monod(oxygen, assumed.ammonia_oxygen)

    here = pace(at(fine, fine.busy_depth, AMMONIUM), at(fine, fine.busy_depth, OXYGEN))
    outside = pace(WATER.ammonium, WATER.oxygen)
    assert here / outside == pytest.approx(FAINT, rel=1e-3)


def test_denitrifiers_are_hungry_below_the_fed_depth(fine):
    assumed = film_with()
    nitrate, organic = (at(fine, fine.fed_depth, species) for species in (NITRATE, ORGANIC))
    fed = monod(nitrate, assumed.nitrate_half) * monod(organic, assumed.organic_half)
    assert fed == pytest.approx(FAINT, rel=1e-3)


def test_working_depth_holds_its_share_of_a_known_rate():
    shells = cells(np.linspace(0.0, 1.0, 401), 1)
    even = Layers(shells, np.ones(400, dtype=bool), np.ones(400))
    assert _working_depth(even, np.ones(400)) == pytest.approx(0.95)
    falling = np.exp(-20.0 * (1.0 - shells.nodes))
    assert _working_depth(even, falling) == pytest.approx(np.log(20.0) / 20.0, rel=1e-3)
    ball = cells(np.linspace(0.0, 1.0, 401), 3)
    assert _working_depth(replace(even, cells=ball), np.ones(400)) == pytest.approx(
        1.0 - 0.05 ** (1.0 / 3.0), rel=1e-4
    )


def test_depth_down_to_which_a_value_is_enough():
    shells = cells(np.linspace(0.0, 1.0, 5), 1)
    shape = Layers(shells, np.ones(4, dtype=bool), np.ones(4))
    depth = np.array([0.875, 0.625, 0.375, 0.125, 0.0])
    values = np.array([0.0, 1.0, 2.0, 3.0, 3.5])
    assert _depth_down_to(depth, values, 1.5, shape) == pytest.approx(0.5)
    assert _depth_down_to(depth, values, 0.0, shape) == 1.0
    assert _depth_down_to(depth, values, 9.0, shape) == 0.0


def test_what_is_short_in_words():
    result = solved_piece(BALL, WATER)
    for gains, word in (
        ((0.5, 0.3), "oxygen"),
        ((0.3, 0.5), "ammonia"),
        ((0.9 * SATURATED, 0.1), "bacteria"),
    ):
        assert replace(result, oxygen_gain=gains[0], ammonia_gain=gains[1]).limited_by == word


def test_few_bacteria_in_good_water_are_what_is_short():
    thin = Piece("slab", 0.01, 0.0, 2e-4, 1e-5)
    rich = replace(WATER, ammonium=2e-2, oxygen=2e-2, velocity=0.1)
    assert solved_piece(thin, rich).limited_by == "bacteria"


def test_profiles_run_from_the_middle_to_the_surface(fine):
    assert np.all(np.diff(fine.depth) < 0.0)
    assert fine.depth[-1] == 0.0
    assert np.all(np.diff(fine.concentrations[:, OXYGEN]) >= 0.0)
    assert fine.outside[OXYGEN] > fine.concentrations[-1, OXYGEN]
