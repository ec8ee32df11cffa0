"""The coefficients: what makes growth faster or slower, and what does not."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.biofilm import areal_rate, nitrite_areal_rate
from aqualib.parameters import parameter
from aqualib.tank.maturation.kinetics import nitrous_acid_fraction
from aqualib.tank.maturation.rates import (
    NAMES,
    OTHERS,
    SOUR,
    TankWater,
    best_values,
    growth,
    paces,
    saturated,
    shapes,
)
from aqualib.tank.maturation.stretches import Conditions
from aqualib.units import Q
from aqualib.water.ammonia import unionised_fraction

FRESH = TankWater(0.0, 7.5, "total", 120.0, None, None, 0.0, 0.02, kept=True)
SEA = FRESH._replace(salinity=35.0, ph=8.1)
NOW = Conditions(1.0, 24.0, 1.0, running=True, kill_rate=0.0)


def test_every_row_is_used():
    assert set(best_values()) == {*NAMES, *OTHERS, *SOUR}
    base = growth(best_values(), SEA, NOW)
    off, warm = NOW._replace(running=False), NOW._replace(celsius=26.0)
    others = {"decay_without_oxygen": off, "film_warming": warm}
    for name in {*NAMES, *OTHERS} - {"nitrogen_in_nitrifiers", "seed_strength"}:
        changed = {**best_values(), name: best_values()[name] * 1.05}
        now = others.get(name, NOW)
        against = base if now is NOW else growth(best_values(), SEA, now)
        assert growth(changed, SEA, now) != against, f"{name} changes nothing"


@pytest.mark.parametrize("water", [FRESH, SEA], ids=["fresh", "sea"])
@pytest.mark.parametrize("celsius", [18.0, 24.0, 28.0])
def test_a_full_film_is_the_film_of_the_biofilm_room(water, celsius):
    """Every limit in, at the alkalinity of the film's capacity; nothing is taken twice."""
    g = growth(best_values(), water, NOW._replace(celsius=celsius))
    place = Q(celsius, "degC"), water.salinity, Q(g.oxygen, "mg/L")
    for ammonia in (0.05, 0.5, 3.0):
        pace = paces(g, ammonia, 0.1, 120.0, g.full_a, g.full_n)
        made = g.per_yield_a * pace.film_a * g.full_a / (1000.0 * water.area_per_litre)
        expected = areal_rate(Q(ammonia, "mg/L"), *place)
        # Un-ionised ammonia slows a little: 2.3 % in 3 mg/L of warm sea water.
        assert made == pytest.approx(expected.m, rel=0.02 if ammonia < 3.0 else 0.025)
        taken = g.per_yield_n * pace.film_n * g.full_n / (1000.0 * water.area_per_litre)
        expected = nitrite_areal_rate(Q(0.1, "mg/L"), Q(made, "g/m**2/day"), *place)
        # It slows nitrite oxidisers sixteen times as much.
        free = ammonia * 120.0 / (120.0 + g.ammonia_shape)
        assert expected.m * 0.64 / (0.64 + free) <= taken * 1.001 <= expected.m * 1.002


def test_slow_life_in_the_sea_leaves_a_full_film_its_rate():
    v = best_values()
    slow, usual = (growth({**v, "sea_nitrite_pace": pace}, SEA, NOW) for pace in (0.25, 0.5))
    assert slow.growth_n < usual.growth_n
    assert slow.full_n * slow.growth_n == pytest.approx(usual.full_n * usual.growth_n)


def test_exhausted_alkalinity_stops_the_first_step_only():
    g = growth(best_values(), FRESH, NOW)
    sour, usual = (paces(g, 1.0, 0.5, alkalinity, 0.1, 0.1, made=0.0) for alkalinity in (0.01, 120))
    assert sour.film_a < 3e-3 * usual.film_a
    assert sour.film_n > 0.9 * usual.film_n


def test_air_that_is_slow_leaves_less_than_air_that_is_fast():
    def full(**air):
        g = growth(best_values(), FRESH._replace(**air), NOW)
        return g.per_yield_a * paces(g, 5.0, 0.1, 120.0, g.full_a, g.full_n).film_a * g.full_a

    rates = [full(exchange=each, breathing=20.0) for each in (3.0, 10.0, 100.0, 1e6)]
    assert rates == sorted(rates)
    assert rates[-1] == pytest.approx(full(oxygen=saturated(24.0, 0.0)), rel=1e-3)
    assert growth(best_values(), FRESH._replace(exchange=1.0, breathing=20.0), NOW).oxygen == 0.0


def test_power_cut_stops_growth_and_slows_dying():
    off = growth(best_values(), FRESH, NOW._replace(running=False))
    on = growth(best_values(), FRESH, NOW)
    assert paces(off, 5.0, 5.0, 120.0, 0.1, 0.1) == (0.0, 0.0, 0.0, 0.0)
    share = parameter("decay_without_oxygen").value
    assert (off.decay_a, off.decay_n) == pytest.approx((share * on.decay_a, share * on.decay_n))


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


def test_binder_hides_ammonia_from_its_oxidisers():
    g = growth(best_values(), FRESH, NOW._replace(available=0.25))
    h = growth(best_values(), FRESH, NOW)
    hidden, less = (
        paces(each, level, 0.0, 120.0, 0.1, 0.1) for each, level in ((g, 4.0), (h, 1.0))
    )
    assert hidden == pytest.approx(less)


def test_warmth():
    at = {c: growth(best_values(), FRESH, NOW._replace(celsius=c)) for c in (20, 10)}
    assert at[10].growth_a / at[20].growth_a == pytest.approx(1.103**-10)
    assert at[10].growth_n / at[20].growth_n == pytest.approx(1.06**-10)
    # In the cold a film holds more of the slower bacteria.
    assert at[10].full_a > at[20].full_a
