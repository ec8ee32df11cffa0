"""The water outside: its film thins with flow, and is never thicker than in still water."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.biofilm.diffusion import SPECIES, diffusivity
from aqualib.filtration.biofilm.external_film import bed_film_coefficient
from aqualib.filtration.porous_piece.balance import Water, outer_resistance
from aqualib.filtration.porous_piece.film_parameters import film_with
from aqualib.filtration.porous_piece.shells import Piece
from aqualib.units import Q

BALL = Piece("sphere", 0.01, 0.5, 2e-4, 1e-4)


def water(velocity=0.005, nitrite=None, temperature=298.15, salinity=0.0):
    return Water(temperature, salinity, 7e-3, 5e-4, nitrite, 1e-2, 3e-3, velocity)


def test_concentrations_and_diffusivities_are_in_order():
    assert water().concentrations() == pytest.approx([7e-3, 5e-4, 0.0, 1e-2, 3e-3])
    assert water(nitrite=2e-4).concentrations()[2] == 2e-4
    for at, species in enumerate(SPECIES):
        here = diffusivity(species, Q(25, "degC"), 10.0).m_as("m**2/s")
        assert water(salinity=10.0).diffusivities()[at] == pytest.approx(here)


def test_still_water_is_a_film_of_its_thickness():
    still = outer_resistance(BALL, water(0.0), film_with(still_water=2e-3))
    assert still == pytest.approx(2e-3 / water().diffusivities())


def test_slow_flow_is_no_worse_than_still_water():
    still, crawling = (outer_resistance(BALL, water(v), film_with()) for v in (0.0, 1e-9))
    assert crawling == pytest.approx(still)


def test_flow_is_that_of_a_bed():
    oxygen = water().diffusivities()[0]
    bed = bed_film_coefficient.bare(0.002, BALL.sphere_diameter, 0.4, oxygen, 298.15, 0.0)
    assert 1.0 / outer_resistance(BALL, water(0.002), film_with())[0] == pytest.approx(bed)


speeds = st.floats(0.0, 0.1)


@given(speeds, speeds, st.sampled_from(["slab", "cylinder", "sphere"]))
def test_more_flow_never_thickens_the_film(one, other, shape):
    piece = Piece(shape, 0.01, 0.5, 2e-4, 1e-4)
    slow, fast = (outer_resistance(piece, water(v), film_with()) for v in sorted((one, other)))
    assert np.all(fast <= slow * (1.0 + 1e-12))
