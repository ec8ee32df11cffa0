"""The un-ionised share of ammonia, and the fresh-water limits."""

import numpy as np
import PyCO2SYS
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.units import ZERO_CELSIUS, Q
from aqualib.validity import ValidityError
from aqualib.water.ammonia import (
    SEA_LIMIT,
    acute_criterion,
    chronic_criterion,
    unionised_ammonia_nitrogen,
    unionised_fraction,
)
from aqualib.water.ph_scales import FRESH_BELOW, NBS_FROM, SCALES, convert

ROOM = Q(25, "degC")
KELVIN = 298.15
NUMBER = {"total": 1, "seawater": 2, "free": 3, "nbs": 4}

readings = st.floats(6.0, 9.9)
kelvins = st.floats(273.15, 312.0)
salinities = st.floats(0.0, 40.0)
salty = st.floats(0.51, 40.0)
scales = st.sampled_from(("free", "total", "seawater"))
limit_readings = st.floats(6.5, 8.9)
limit_kelvins = st.floats(273.15, 302.0)
flags = st.booleans()


# Against PyCO2SYS and against the formula of Emerson et al., written out anew


def waters(scale):
    """A grid of temperature (°C) and salinity over all that a scale covers in salt water."""
    low = NBS_FROM if scale == "nbs" else 0.6
    return np.broadcast_arrays(np.linspace(0.5, 40.0, 20)[:, None], np.linspace(low, 40.0, 24))


@pytest.fixture(scope="module")
def constants_of_pyco2sys():
    """Its constant for ammonia by scale on that grid, all in one call."""
    celsius, salinity = np.stack([waters(scale) for scale in SCALES], axis=1)
    found = PyCO2SYS.sys(
        par1=2300.0,
        par2=8.1,
        par1_type=1,
        par2_type=3,
        temperature=celsius,
        salinity=salinity,
        opt_pH_scale=np.array([NUMBER[scale] for scale in SCALES])[:, None, None],
        total_ammonia=1.0,
        opt_buffers_mode=0,
    )
    return dict(zip(SCALES, found["k_ammonia"], strict=True))


@pytest.mark.parametrize("scale", SCALES)
def test_in_salt_water_it_rests_on_the_constant_of_pyco2sys(constants_of_pyco2sys, scale):
    (celsius, salinity), constant = waters(scale), constants_of_pyco2sys[scale]
    assert constant.shape == (20, 24)
    for ph in (6.0, 7.5, 8.1, 10.0):
        other = constant / (constant + 10.0**-ph)
        ours = unionised_fraction.bare(ph, celsius + ZERO_CELSIUS, salinity, scale)
        assert np.abs(ours / other - 1.0).max() < 1e-9


def test_in_fresh_water_it_is_the_formula_of_emerson():
    for celsius in np.linspace(0.0, 50.0, 26):
        for ph in np.linspace(6.0, 10.0, 9):
            acid = 10.0 ** (0.09018 + 2729.92 / (celsius + 273.15) - ph)
            ours = unionised_fraction.bare(ph, celsius + ZERO_CELSIUS)
            assert ours == pytest.approx(1.0 / (1.0 + acid), rel=1e-12)


# Properties of the fraction


@given(readings, kelvins, salinities, scales)
def test_it_is_a_share(ph, kelvin, salinity, scale):
    assert 0.0 < unionised_fraction.bare(ph, kelvin, salinity, scale) < 1.0


@given(readings, kelvins, salinities, scales, st.floats(0.001, 0.1))
def test_it_grows_with_ph(ph, kelvin, salinity, scale, step):
    higher = unionised_fraction.bare(ph + step, kelvin, salinity, scale)
    assert higher > unionised_fraction.bare(ph, kelvin, salinity, scale)


@given(readings, kelvins, salinities, scales, st.floats(0.01, 1.0))
def test_it_grows_with_warmth(ph, kelvin, salinity, scale, step):
    warmer = unionised_fraction.bare(ph, kelvin + step, salinity, scale)
    assert warmer > unionised_fraction.bare(ph, kelvin, salinity, scale)


@given(readings, kelvins, salty, scales, scales)
def test_the_same_water_has_one_fraction_whatever_the_scale(ph, kelvin, salinity, here, there):
    moved = convert.bare(ph, kelvin, salinity, here, there)
    one = unionised_fraction.bare(ph, kelvin, salinity, here)
    assert unionised_fraction.bare(moved, kelvin, salinity, there) == pytest.approx(one, rel=1e-10)


@given(readings, kelvins, st.floats(0.0, FRESH_BELOW), scales)
def test_in_fresh_water_the_scale_does_not_matter(ph, kelvin, salinity, scale):
    assert unionised_fraction.bare(ph, kelvin, salinity, scale) == unionised_fraction.bare(
        ph, kelvin
    )


@given(readings, st.lists(kelvins, min_size=3, max_size=3), scales)
def test_an_array_gives_what_the_numbers_give(ph, temperatures, scale):
    salinity = np.array([0.2, 10.0, 35.0])
    together = unionised_fraction.bare(ph, np.array(temperatures), salinity, scale)
    pairs = zip(temperatures, salinity, strict=True)
    alone = [unionised_fraction.bare(ph, t, s, scale) for t, s in pairs]
    assert together == pytest.approx(alone, rel=1e-13)


@given(st.floats(0.0, 1.0), readings, kelvins, salinities, scales)
def test_nitrogen_is_the_fraction_of_the_total(total, ph, kelvin, salinity, scale):
    share = unionised_fraction.bare(ph, kelvin, salinity, scale)
    ours = unionised_ammonia_nitrogen.bare(total, ph, kelvin, salinity, scale)
    assert ours == total * share
    assert 0.0 <= ours <= total


def test_a_rise_from_7_to_8_makes_it_nearly_ten_times_larger():
    for celsius in (0.0, 15.0, 30.0):
        low, high = (unionised_fraction(ph, Q(celsius, "degC")) for ph in (7.0, 8.0))
        assert 9.0 < high / low < 10.0


def test_scalars_stay_scalars_and_arrays_stay_arrays():
    for salinity in (0.0, 0.5, 0.6, 35.0):
        assert np.isscalar(unionised_fraction.bare(8.0, KELVIN, salinity))
        assert isinstance(unionised_fraction(8.0, ROOM, salinity), float)
    assert unionised_fraction([7.0, 8.0], ROOM).shape == (2,)
    assert unionised_fraction(8.0, ROOM, [0, 35]).shape == (2,)
    assert unionised_fraction([[7.0], [8.0]], ROOM, [0.0, 10.0, 35.0]).shape == (2, 3)
    assert unionised_ammonia_nitrogen(Q([1, 2], "mg/L"), 8.0, ROOM).magnitude.shape == (2,)


def test_units_in_and_out():
    warm = unionised_fraction(8.0, Q(77, "degF"))
    assert warm == pytest.approx(unionised_fraction(8.0, ROOM), rel=1e-12)
    nitrogen = unionised_ammonia_nitrogen(Q(1000, "ug/L"), 8.0, ROOM)
    assert nitrogen.units == Q(1, "mg/L").units
    assert nitrogen.magnitude == pytest.approx(0.053662, abs=1e-6)


# The step where fresh water ends


@pytest.mark.parametrize(
    ("scale", "least", "most"),
    [("free", 0.0, 0.003), ("total", 0.002, 0.044), ("seawater", 0.002, 0.044)],
)
def test_the_step_at_salinity_one_half_is_as_stated(scale, least, most):
    ph, kelvin = np.linspace(6.0, 10.0, 41)[None, :], np.linspace(273.15, 313.15, 41)[:, None]
    ph, kelvin = np.broadcast_arrays(ph, kelvin)
    below = unionised_fraction.bare(ph, kelvin, FRESH_BELOW, scale)
    step = unionised_fraction.bare(ph, kelvin, FRESH_BELOW + 1e-9, scale) / below - 1.0
    assert least < step.min() < step.max() < most
    # No wider than need be.
    assert step.max() > 0.8 * most


def test_the_step_of_a_warm_tank_is_as_stated():
    below = unionised_fraction.bare(8.0, KELVIN, FRESH_BELOW)
    for scale, stated in (("total", 0.024), ("seawater", 0.026)):
        above = unionised_fraction.bare(8.0, KELVIN, FRESH_BELOW + 1e-9, scale)
        assert above / below - 1.0 == pytest.approx(stated, abs=5e-4)


# Properties of the fresh-water limits


@given(limit_readings, limit_kelvins, flags)
def test_the_acute_limit_is_above_the_chronic_one(ph, kelvin, sensitive):
    chronic = chronic_criterion.bare(ph, kelvin)
    assert acute_criterion.bare(ph, kelvin, sensitive) > chronic > 0.0


@given(limit_readings, limit_kelvins, flags, st.floats(0.001, 0.1))
def test_the_limits_fall_with_ph(ph, kelvin, sensitive, step):
    higher = ph + step
    assert acute_criterion.bare(higher, kelvin, sensitive) < acute_criterion.bare(
        ph, kelvin, sensitive
    )
    assert chronic_criterion.bare(higher, kelvin) < chronic_criterion.bare(ph, kelvin)


@given(limit_readings, limit_kelvins, flags, st.floats(0.01, 1.0))
def test_the_limits_never_rise_with_warmth(ph, kelvin, sensitive, step):
    warmer = kelvin + step
    assert acute_criterion.bare(ph, warmer, sensitive) <= acute_criterion.bare(
        ph, kelvin, sensitive
    )
    assert chronic_criterion.bare(ph, warmer) <= chronic_criterion.bare(ph, kelvin)


@given(limit_readings, st.floats(289.15, 302.0), st.floats(0.01, 1.0))
def test_the_limits_fall_with_warmth_in_a_warm_tank(ph, kelvin, step):
    warmer = kelvin + step
    assert acute_criterion.bare(ph, warmer) < acute_criterion.bare(ph, kelvin)
    assert chronic_criterion.bare(ph, warmer) < chronic_criterion.bare(ph, kelvin)


@given(limit_readings, limit_kelvins)
def test_salmon_and_trout_never_loosen_a_limit(ph, kelvin):
    without = acute_criterion.bare(ph, kelvin, False)
    assert acute_criterion.bare(ph, kelvin, True) <= without * (1.0 + 1e-12)


@given(limit_readings)
def test_below_7_degrees_the_chronic_limit_stands_still(ph):
    kelvin = np.array([273.15, 276.0, 280.15])
    assert np.ptp(chronic_criterion.bare(ph, kelvin)) < 1e-15


@given(limit_readings, st.lists(limit_kelvins, min_size=2, max_size=2), flags)
def test_an_array_of_limits_is_what_the_numbers_give(ph, kelvin, sensitive):
    acute = acute_criterion.bare(ph, np.array(kelvin), sensitive)
    chronic = chronic_criterion.bare(ph, np.array(kelvin))
    assert acute == pytest.approx([acute_criterion.bare(ph, t, sensitive) for t in kelvin])
    assert chronic == pytest.approx([chronic_criterion.bare(ph, t) for t in kelvin])


def test_the_limits_have_no_step():
    ph, kelvin = np.linspace(6.5, 9.0, 2501), np.linspace(273.15, 303.15, 3001)
    for sensitive in (True, False):
        over_ph = acute_criterion.bare(ph, KELVIN, sensitive)
        over_warmth = acute_criterion.bare(8.0, kelvin, sensitive)
        assert np.abs(np.diff(np.log(over_ph))).max() < 0.003
        assert np.abs(np.diff(np.log(over_warmth))).max() < 0.001
    assert np.abs(np.diff(np.log(chronic_criterion.bare(8.0, kelvin)))).max() < 0.001


# What is refused


def test_the_limits_stop_at_30_degrees():
    for criterion in (acute_criterion, chronic_criterion):
        with pytest.raises(ValidityError, match=r"^temperature = 30\.1 .*EPA2013"):
            criterion(8.0, Q(30.1, "degC"))


@pytest.mark.parametrize("bad", [6.4, 9.1])
def test_the_limits_stop_where_their_tables_do(bad):
    for criterion in (acute_criterion, chronic_criterion):
        with pytest.raises(ValidityError, match=r"^ph"):
            criterion(bad, ROOM)


def test_salt_water_stops_at_40_degrees_and_fresh_water_at_50():
    assert unionised_fraction(8.0, Q(50, "degC"), 0.5) > 0.0
    assert unionised_fraction(8.0, Q(40, "degC"), 35) > 0.0
    assert SEA_LIMIT == ZERO_CELSIUS + 40.0
    for call in (
        lambda: unionised_fraction(8.0, Q(40.1, "degC"), 0.6),
        lambda: unionised_ammonia_nitrogen(Q(1, "mg/L"), 8.0, Q(40.1, "degC"), 35),
    ):
        with pytest.raises(ValidityError, match="too warm for the sea-water formula"):
            call()


def test_the_message_names_the_temperature_at_fault():
    with pytest.raises(ValidityError, match=r"temperature = 41 degC is too warm"):
        unionised_fraction(8.0, Q([45, 41, 20], "degC"), [0, 35, 35])


@pytest.mark.parametrize("salinity", [0.6, 10, 19.9, [0, 10]])
def test_the_nbs_scale_is_refused_in_brackish_water(salinity):
    for call in (
        lambda: unionised_fraction(8.0, ROOM, salinity, "nbs"),
        lambda: unionised_ammonia_nitrogen(Q(1, "mg/L"), 8.0, ROOM, salinity, "nbs"),
    ):
        with pytest.raises(ValidityError, match=r"^salinity .* NBS"):
            call()
