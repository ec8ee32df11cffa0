"""Deep beds: the law of layers, and the size that is hardest to catch."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from aqualib.filtration.capture.deep_bed import (
    bed_deposit,
    collector_efficiency,
    filter_coefficient,
    passing_fraction,
)

SAND = {"grain_diameter": 0.5e-3, "velocity": 1.36e-3}
DIRT = {"particle_density": 1050.0, "temperature": 293.15}


def test_one_micrometre_is_the_hardest_to_catch():
    sizes = np.geomspace(0.1e-6, 30e-6, 2001)
    caught = collector_efficiency.bare(sizes, **SAND, **DIRT)
    assert caught.min() == pytest.approx(2.854e-4, rel=2e-3)
    assert sizes[caught.argmin()] == pytest.approx(1.63e-6, rel=0.01)


def test_floating_particles_do_not_sink_onto_grains():
    light = {**DIRT, "particle_density": 950.0}
    none = {**DIRT, "particle_density": 998.0}
    assert collector_efficiency.bare(1e-5, **SAND, **light) == pytest.approx(
        collector_efficiency.bare(1e-5, **SAND, **none), rel=1e-3
    )


@pytest.mark.parametrize("layers", [2, 5, 50])
def test_layers_are_one_bed(layers):
    whole = passing_fraction.bare(7.0, 0.3)
    assert passing_fraction.bare(7.0, 0.3 / layers) ** layers == pytest.approx(whole, rel=1e-12)


def test_a_bed_that_holds_nothing():
    assert passing_fraction.bare(0.0, 0.3) == 1
    assert bed_deposit.bare(0.0, 0.1, 1e-3, 0.01, 86400.0) == 0
    assert filter_coefficient.bare(1e-3, 1e-3, 0.4, 0.0) == 0


def test_what_is_lodged_is_what_is_missing():
    velocity, inlet, time, depth, coefficient = 2.78e-3, 0.01, 86400.0, 0.3, 10.0
    lodged, _ = quad(lambda z: bed_deposit.bare(coefficient, z, velocity, inlet, time), 0, depth)
    missing = velocity * inlet * time * (1 - passing_fraction.bare(coefficient, depth))
    assert lodged == pytest.approx(missing, rel=1e-9)
    assert lodged == pytest.approx(2.282335, rel=1e-6)
