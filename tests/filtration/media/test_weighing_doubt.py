"""How sure weighings are: against a quarter of a million random trials with a fixed seed."""

import numpy as np
import pytest

from aqualib.filtration.media.weighing import immersion_porosity, weighing_uncertainty
from aqualib.units import Q
from aqualib.validity import ValidityError

HANDFUL = (0.25, 0.145, 0.345)
TRIALS = 250_000


def trials(masses, step, drip):
    """Weigh again and again, on a scale that rounds and with more or less water left on."""
    random = np.random.default_rng(20)
    dry, suspended, saturated = (m + step * random.uniform(-0.5, 0.5, TRIALS) for m in masses)
    wiped = saturated + drip * masses[2] * random.standard_normal(TRIALS)
    return immersion_porosity.bare(dry, suspended, wiped, water_density=998.2)


@pytest.mark.parametrize("masses", [HANDFUL, (0.08, 0.058, 0.092), (0.05, -0.04, 0.06)])
@pytest.mark.parametrize(("step", "drip"), [(1e-3, 0.02), (1e-4, 0.01), (2e-3, 0.0)])
def test_random_trials_scatter_as_much(masses, step, drip):
    ours = weighing_uncertainty.bare(*masses, step, drip, water_density=998.2)
    found = trials(masses, step, drip)
    for name in ours._fields:
        assert getattr(ours, name) == pytest.approx(np.std(getattr(found, name)), rel=0.03), name


def test_about_19_of_20_lie_within_twice_the_doubt():
    ours = weighing_uncertainty.bare(*HANDFUL, 1e-3, 0.02, water_density=998.2)
    found = trials(HANDFUL, 1e-3, 0.02).apparent_porosity
    inside = np.abs(found - np.mean(found)) < 2 * ours.apparent_porosity
    assert np.mean(inside) == pytest.approx(0.954, abs=0.01)


def test_more_pieces_and_a_finer_scale_are_surer():
    def doubt(times, step):
        return weighing_uncertainty.bare(*(times * m for m in HANDFUL), step, 0.0).apparent_porosity

    assert doubt(4, 1e-3) == pytest.approx(doubt(1, 1e-3) / 4)
    assert doubt(1, 1e-4) == pytest.approx(doubt(1, 1e-3) / 10)
    assert doubt(1, 0.0) == 0


def test_slips_are_refused_as_for_the_weighing_itself():
    with pytest.raises(ValidityError, match="saturated"):
        weighing_uncertainty(Q(250, "g"), Q(145, "g"), Q(240, "g"))
