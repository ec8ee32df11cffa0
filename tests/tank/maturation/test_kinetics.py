"""Growth and what slows it: limits, and the same numbers as the solver's own coefficients."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.tank.maturation.kinetics import (
    growth_at_temperature,
    monod_growth,
    nitrous_acid_fraction,
    share_of_growth,
)
from aqualib.tank.maturation.rates import TankWater, best_values, growth, paces
from aqualib.tank.maturation.stretches import Conditions
from aqualib.units import Q
from aqualib.water.ammonia import unionised_fraction

WATER = TankWater(0.0, 7.5, "total", 120.0, 7.0, None, 0.0, 0.02, kept=True)
CONDITIONS = Conditions(1.0, 25.0, 1.0, running=True, kill_rate=0.0)


def mg(value):
    return Q(value, "mg/L")


def test_half_saturation_in_nitrous_acid_as_the_source_of_that_constant_implies():
    """1e-4 mg/L of nitrous acid (Hiatt & Grady) is 1.24 mg/L of nitrite at pH 7.5, 3.91 at pH 8."""
    shares = nitrous_acid_fraction(np.array([7.5, 8.0]), Q(20, "degC"))
    np.testing.assert_allclose(1e-4 / shares, [1.24, 3.91], atol=0.005)


def test_solver_uses_these_equations():
    v = best_values()
    g = growth(v, WATER, CONDITIONS)
    ammonia, nitrite = 3.0, 8.0
    free = unionised_fraction(7.5, Q(25, "degC")) * ammonia
    acid = nitrous_acid_fraction(7.5, Q(25, "degC")) * nitrite
    # Suspended cells have no film before them.
    pace = paces(g, ammonia, nitrite, 120.0, 0.0, 0.0)
    of_a = share_of_growth(*map(mg, (ammonia, g.half_a, free, 10.0, acid, 0.17)))
    of_n = share_of_growth(*map(mg, (nitrite, g.half_n, free, 0.64, acid, 0.048)))
    warm = growth_at_temperature(Q(0.78, "1/day"), 1.103, Q(25, "degC"))
    plenty = monod_growth(warm, mg(1000), mg(1e-7), mg(7.0), mg(v["ammonia_oxidiser_oxygen"]))
    assert pace.water_a == pytest.approx(plenty.m * of_a, rel=1e-6)
    cool = growth_at_temperature(Q(0.62, "1/day"), 1.06, Q(25, "degC"))
    plenty = monod_growth(cool, mg(1000), mg(1e-7), mg(7.0), mg(v["nitrite_oxidiser_oxygen"]))
    assert pace.water_n == pytest.approx(plenty.m * of_n, rel=1e-6)


def test_plenty_of_everything_is_full_growth():
    rate = monod_growth(Q(0.8, "1/day"), mg(1000), mg(1e-6), mg(1000), mg(1e-6))
    assert rate.m == pytest.approx(0.8, rel=1e-6)


def test_nothing_grows_on_nothing():
    assert monod_growth(Q(0.8, "1/day"), mg(0), mg(1), mg(5), mg(1)).m == 0.0
    assert share_of_growth(mg(0), mg(1), mg(0), mg(1), mg(0), mg(1)) == 0.0
