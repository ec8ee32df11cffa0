"""The balances of a piece: what enters is used up, and a tank at rest has no net nitrite."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.filtration.porous_piece.balance import Water, balances, steady_state
from aqualib.filtration.porous_piece.film_parameters import film_with
from aqualib.filtration.porous_piece.reactions import (
    AMMONIA_STEP,
    AMMONIUM,
    DENITRIFICATION,
    NITRATE,
    NITRITE,
    NITRITE_STEP,
    ORGANIC,
    ORGANIC_STEP,
    OXYGEN,
)
from aqualib.filtration.porous_piece.shells import Piece, layers

BALL = Piece("sphere", 0.01, 0.5, 2e-4, 1e-4)
WATER = Water(298.15, 0.0, 7e-3, 2e-3, 1e-4, 1e-2, 1e-2, 0.005)
AT_REST = replace(WATER, nitrite=None)


def settled(piece=BALL, water=WATER, assumed=None):
    assumed = assumed or film_with()
    return steady_state(piece, water, assumed, layers(piece, assumed))


@pytest.mark.parametrize("shape", ["slab", "cylinder", "sphere"])
@pytest.mark.parametrize("water", [WATER, AT_REST])
def test_what_enters_is_what_reactions_use(shape, water):
    found = settled(replace(BALL, shape=shape), water)
    flux, turnover = found.flux(), found.turnover()
    steps = turnover[[AMMONIA_STEP, NITRITE_STEP, ORGANIC_STEP, DENITRIFICATION]]
    ammonia, nitrite, organic, nitrate = steps
    tight = {"rel": 1e-8, "abs": 1e-8 * ammonia}
    assert flux[AMMONIUM] == pytest.approx(ammonia, **tight)
    assert flux[NITRITE] == pytest.approx(nitrite - ammonia, **tight)
    assert flux[NITRATE] == pytest.approx(nitrate - nitrite, **tight)
    assert flux[[AMMONIUM, NITRITE, NITRATE]].sum() == pytest.approx(nitrate, **tight)
    oxygen = 3.2466 * ammonia + 1.0822 * nitrite + (1.0 - 0.67) * organic
    assert flux[OXYGEN] == pytest.approx(oxygen, rel=1e-4)
    assert flux[ORGANIC] == pytest.approx(organic + 2.8556 / 0.57 * nitrate, rel=1e-4)


values = st.floats(0.0, 1.0)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["slab", "cylinder", "sphere"]),
    st.tuples(*[values] * 5),
    st.tuples(*[values] * 6),
    st.booleans(),
)
def test_every_slider_setting_settles(shape, of_piece, of_water, rest):
    size, porosity, pore, film, velocity = of_piece
    oxygen, ammonia, nitrate, organic, temperature, salinity = of_water
    piece = Piece(shape, 1e-3 * 30.0**size, 0.8 * porosity, 2e-6 * 250.0**pore, 2e-5 * 25.0**film)
    water = Water(
        277.15 + 26.0 * temperature,
        40.0 * salinity,
        5e-4 * 24.0**oxygen,
        5e-5 * 100.0**ammonia,
        None if rest else 1e-4,
        0.1 * nitrate,
        0.05 * organic,
        0.02 * velocity,
    )
    found = settled(piece, water)
    gross = np.abs(found.turnover()[:, None] * found.problem.reaction.stoichiometry).sum(axis=0)
    left = found.flux() + found.turnover() @ found.problem.reaction.stoichiometry
    rounding = 1e-13 * found.problem.conductances[-1] * found.problem.outside
    assert np.all(np.abs(left) <= 1e-8 * gross + rounding + 1e-30)
    assert np.all(found.concentrations >= 0.0)
    assert np.all(found.concentrations[:, [OXYGEN, AMMONIUM, ORGANIC]]
                  <= found.problem.outside[[OXYGEN, AMMONIUM, ORGANIC]] * (1.0 + 1e-9))  # fmt: skip


def test_at_rest_no_nitrite_passes():
    found = settled(water=AT_REST)
    assert found.flux()[NITRITE] == 0.0
    ammonia, nitrite = found.turnover()[[AMMONIA_STEP, NITRITE_STEP]]
    assert nitrite == pytest.approx(ammonia, rel=1e-8)
    # Water that holds just that much is at rest as well.
    level = found.surface()[NITRITE]
    open_to = settled(water=replace(WATER, nitrite=float(level)))
    assert open_to.flux()[NITRITE] == pytest.approx(0.0, abs=1e-8 * ammonia)
    assert open_to.concentrations == pytest.approx(found.concentrations, rel=1e-6)


def test_nitrite_that_cannot_be_used_stays_at_its_ceiling():
    # Nitrite oxidisers that want more oxygen cannot keep up where much ammonia leaves little of it.
    starved = replace(AT_REST, oxygen=1e-3, ammonium=5e-3)
    assumed = film_with(nitrite_oxygen=1.2e-3)
    found = settled(water=starved, assumed=assumed)
    assert found.problem.outside[NITRITE] == assumed.most_nitrite
    assert found.flux()[NITRITE] < 0.0


def test_nitrite_rises_to_its_ceiling_without_a_step():
    assumed, levels = film_with(nitrite_oxygen=1.2e-3), []
    for ammonia in np.linspace(1e-3, 5e-3, 41):
        water = replace(AT_REST, oxygen=4e-3, ammonium=float(ammonia))
        found = settled(water=water, assumed=assumed)
        levels.append(found.problem.outside[NITRITE] or found.surface()[NITRITE])
    assert levels[0] < 0.5 * assumed.most_nitrite
    assert levels[-1] == pytest.approx(assumed.most_nitrite)
    assert np.all(np.diff(levels) > -1e-12)
    assert np.max(np.diff(levels)) < 0.5 * assumed.most_nitrite


def test_balances_have_the_water_and_the_layers():
    assumed = film_with()
    problem = balances(BALL, WATER, assumed, layers(BALL, assumed))
    assert problem.outside == pytest.approx(WATER.concentrations())
    assert problem.diffusivity.shape == (problem.cells.count, 5)
    assert np.all(problem.diffusivity > 0.0)
    assert np.all(problem.resistance > 0.0)
