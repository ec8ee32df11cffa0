"""The coefficients: what makes growth faster or slower, and what does not."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.maturation.kinetics import nitrous_acid_fraction
from aqualib.tank.maturation.rates import (
    NAMES,
    OTHERS,
    TankWater,
    best_values,
    full_film,
    growth,
    limits,
    shapes,
)
from aqualib.tank.maturation.stretches import Conditions
from aqualib.units import Q
from aqualib.water.ammonia import unionised_fraction

FRESH = TankWater(0.0, 7.5, "total", 120.0, None, 0.02, kept=True, nitrite_form="ion")
SEA = FRESH._replace(salinity=35.0, ph=8.1)
NOW = Conditions(1.0, 24.0, 1.0, running=True, kill_rate=0.0)


def test_every_row_is_used():
    assert set(best_values()) == {*NAMES, *OTHERS}
    base = growth(best_values(), SEA, NOW)
    seed_only = {"seed_strength"}
    kept_out = {"nitrogen_in_nitrifiers", *seed_only}
    for name in set(best_values()) - kept_out:
        # Upwards, except where that leaves sea water half salt.
        changed = {**best_values(), name: best_values()[name] * 1.05}
        assert growth(changed, SEA, NOW) != base, f"{name} changes nothing"


def test_full_film_oxidises_the_areal_capacity_at_its_temperature():
    v = best_values()
    full_a, full_n = full_film(v, FRESH)
    rich = FRESH._replace(oxygen=1e9)
    g = growth(v, rich, NOW)
    per_litre = 1000.0 * FRESH.area_per_litre
    at_most = (g.growth_a * full_a * g.per_yield_a, g.growth_n * full_n * g.per_yield_n)
    rates = (v["ammonia_film_capacity"], v["nitrite_film_capacity"])
    np.testing.assert_allclose(at_most, np.array(rates) * per_litre, rtol=1e-6)


def test_sea_water_takes_from_both_films_what_the_row_says():
    share = np.divide(full_film(best_values(), SEA), full_film(best_values(), FRESH))
    np.testing.assert_allclose(share, parameter("sea_film_capacity").value)
    half = np.divide(
        full_film(best_values(), FRESH._replace(salinity=17.5)), full_film(best_values(), FRESH)
    )
    np.testing.assert_allclose(half, (1 + parameter("sea_film_capacity").value) / 2)


def test_power_cut_stops_growth_only():
    off = growth(best_values(), FRESH, NOW._replace(running=False))
    on = growth(best_values(), FRESH, NOW)
    assert (off.growth_a, off.growth_n) == (0.0, 0.0)
    assert (off.decay_a, off.decay_n) == (on.decay_a, on.decay_n)


def test_lamp_adds_to_what_suspended_cells_lose():
    lamp = growth(best_values(), FRESH, NOW._replace(kill_rate=7.0))
    assert lamp.loss == pytest.approx(growth(best_values(), FRESH, NOW).loss + 7.0)


def test_shares_follow_alkalinity_as_the_ph_does():
    """At the same carbon dioxide, half the alkalinity is 0.30 less of pH."""
    ammonia_shape, acid_shape = shapes(FRESH, 25.0)
    for alkalinity in (120.0, 60.0, 12.0):
        ph = 7.5 + np.log10(alkalinity / 120.0)
        free = alkalinity / (alkalinity + ammonia_shape)
        assert free == pytest.approx(unionised_fraction.bare(ph, 298.15), rel=1e-9)
        acid = 1.0 / (1.0 + acid_shape * alkalinity)
        assert acid == pytest.approx(nitrous_acid_fraction.bare(ph, 298.15), rel=1e-9)


def test_ion_and_acid_agree_at_the_reference_ph():
    cool = NOW._replace(celsius=20.0)
    shares = [
        limits(growth(best_values(), FRESH._replace(nitrite_form=form), cool), 1.0, 2.0, 120.0)[1]
        for form in ("ion", "acid")
    ]
    assert shares[0] == pytest.approx(shares[1], rel=1e-9)


def test_binder_hides_ammonia_from_its_oxidisers():
    g = growth(best_values(), FRESH, NOW._replace(available=0.25))
    h = growth(best_values(), FRESH, NOW)
    assert limits(g, 4.0, 0.0, 120.0)[0] == pytest.approx(limits(h, 1.0, 0.0, 120.0)[0])


def test_warmth():
    at = {
        c: growth(best_values(), FRESH._replace(oxygen=7.0), NOW._replace(celsius=c))
        for c in (20, 10)
    }
    assert at[10].growth_a / at[20].growth_a == pytest.approx(1.103**-10)
    assert at[10].growth_n / at[20].growth_n == pytest.approx(1.06**-10)
    assert Q(20, "degC").m == 20
