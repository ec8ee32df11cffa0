"""The rate of a film: between its two limits, and among the rates that were measured."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.sizing.film import areal_rate, film_rates, joined
from aqualib.tank.sizing.uncertainty import all_sets, span
from aqualib.units import SECONDS_PER_DAY, Q
from aqualib.validity import ValidityError
from aqualib.water.oxygen import saturation

AMMONIA, WARMTH, SALT = st.floats(1e-3, 100), st.floats(4, 33), st.floats(0, 40)
PER_DAY = 1000.0 * SECONDS_PER_DAY


def rate(ammonia, celsius=25.0, salinity=0.0, **rest):
    return areal_rate(Q(ammonia, "mg/L"), Q(celsius, "degC"), salinity, **rest).m


@given(AMMONIA, WARMTH, SALT)
def test_the_curve_lies_below_both_straight_lines(ammonia, celsius, salinity):
    film = film_rates(Q(celsius, "degC"), salinity)
    lines = (film.first_order.m * ammonia, film.maximum.m)
    found = rate(ammonia, celsius, salinity)
    assert min(lines) / 2.0 <= found * (1 + 1e-9)
    assert found < min(lines)


@given(AMMONIA, AMMONIA, WARMTH, SALT)
def test_more_ammonia_more_work_but_less_for_each_milligram(one, other, celsius, salinity):
    less, more = sorted((one, other))
    assert rate(less, celsius, salinity) <= rate(more, celsius, salinity)
    assert rate(less, celsius, salinity) / less >= rate(more, celsius, salinity) / more * (1 - 1e-9)


@given(AMMONIA, WARMTH, WARMTH)
def test_warmth_helps(ammonia, one, other):
    cold, warm = sorted((one, other))
    assert rate(ammonia, cold) <= rate(ammonia, warm)


def test_limits_of_little_and_much_ammonia():
    film = film_rates(Q(25, "degC"))
    assert rate(1e-4) == pytest.approx(film.first_order.m * 1e-4, rel=1e-3)
    fast = rate(100.0, first_order=Q(20, "m/day"))
    assert fast == pytest.approx(film.maximum.m, rel=1e-3)
    assert rate(0.0) == 0.0


@given(AMMONIA)
def test_the_ratio_of_salt_holds_at_any_ammonia(ammonia):
    ratio = rate(ammonia) / rate(ammonia, salinity=35, at_sea=0.28 / 0.69)
    assert ratio == pytest.approx(0.69 / 0.28, rel=1e-9)


def test_oxygen_acts_on_the_most_only():
    full = saturation(Q(25, "degC"))
    assert rate(0.5, oxygen=full) == pytest.approx(rate(0.5))
    scarce = film_rates(Q(25, "degC"), oxygen=full / 4)
    plenty = film_rates(Q(25, "degC"))
    assert scarce.maximum / plenty.maximum == pytest.approx(0.5)
    assert scarce.first_order == plenty.first_order
    assert rate(5.0, oxygen=Q(0, "mg/L")) == 0.0


def test_measured_rates_lie_in_or_near_the_span():
    d = all_sets()
    film = (d.first_order, d.maximum, d.at_sea)

    def spanned(ammonia, celsius, salinity):
        sets = areal_rate.bare(1e-3 * ammonia, 273.15 + celsius, salinity, None, *film)
        best = areal_rate.bare(1e-3 * ammonia, 273.15 + celsius, salinity)
        return [end * PER_DAY for end in span(best, sets)]

    low, best, high = spanned(0.5, 25, 0)
    # Rotating contactors and trickling filters of a farm with much dirt; low and high of a text.
    assert low < 0.14 < high
    assert low / 2 < 0.037
    assert spanned(2.5, 25, 0)[0] < 0.215 < spanned(2.5, 25, 0)[2] < 1.076
    # Rings in sea water at high load: 120 g/m³/day on 320 m²/m³, within a fifth of the most.
    low, best, high = spanned(50, 25, 35)
    assert low < 120 / 320 < high
    assert best == pytest.approx(120 / 320, rel=0.2)


def test_the_bend_lies_where_farms_saw_it_end():
    # Linear up to 2.5 mg/L in one work: the two lines cross near there in fresh water.
    film = film_rates(Q(20, "degC"))
    assert 2.0 < film.maximum.m / film.first_order.m < 4.0


def test_arrays_and_scalars_agree():
    ammonia = np.array([0.0, 0.1, 1.0, 10.0])
    together = areal_rate(Q(ammonia, "mg/L"), Q(25, "degC"), np.array([0.0, 10.0, 35.0, 40.0]))
    for one, c, s in zip(together.m, ammonia, (0.0, 10.0, 35.0, 40.0), strict=True):
        assert one == pytest.approx(rate(c, salinity=s))


def test_joined_of_nothing_is_nothing():
    assert joined(0.0, 0.0) == 0.0
    assert joined(1.0, 1.0) == 0.5


@pytest.mark.parametrize("celsius", [3.9, 33.1])
def test_too_cold_and_too_warm_are_refused(celsius):
    with pytest.raises(ValidityError, match="temperature"):
        rate(0.5, celsius)
