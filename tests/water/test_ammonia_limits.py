"""The salt-water limits, and which limit holds at which salinity."""

import numpy as np
import PyCO2SYS
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.ammonia import (
    FRESH_UP_TO,
    SALT_FROM,
    acute_criterion,
    chronic_criterion,
    saltwater_acute_criterion,
    saltwater_chronic_criterion,
    total_ammonia_limits,
    unionised_ammonia_nitrogen,
)
from aqualib.water.nitrogen import ammonia_as_nitrogen
from aqualib.water.ph_scales import convert

ROOM = Q(25, "degC")
KELVIN = 298.15
SALT = (saltwater_acute_criterion, saltwater_chronic_criterion)
HAIR = 1e-9

readings = st.floats(6.5, 8.9)
kelvins = st.floats(273.15, 302.0)
salinities = st.floats(0.0, 40.0)
salt = st.floats(1.0, 40.0)
scales = st.sampled_from(("free", "total", "seawater"))
flags = st.booleans()
steps = st.floats(0.001, 0.1)


def everywhere(lowest_ph=6.5):
    """A grid of pH and kelvin over all that the limits cover."""
    ph = np.linspace(lowest_ph, 9.0, 26)[None, :]
    return np.broadcast_arrays(ph, np.linspace(273.15, 303.15, 31)[:, None])


# Against PyCO2SYS


NUMBER = {"total": 1, "seawater": 2, "free": 3}
WATERS = np.broadcast_arrays(np.linspace(0.5, 35.0, 12)[:, None], np.linspace(1.0, 40.0, 14))


@pytest.fixture(scope="module")
def constants_of_pyco2sys():
    """Its constant for ammonia by scale, all in one call."""
    found = PyCO2SYS.sys(
        par1=2300.0,
        par2=8.1,
        par1_type=1,
        par2_type=3,
        temperature=WATERS[0],
        salinity=WATERS[1],
        opt_pH_scale=np.array(list(NUMBER.values()))[:, None, None],
        total_ammonia=1.0,
        opt_buffers_mode=0,
    )
    return dict(zip(NUMBER, found["k_ammonia"], strict=True))


@pytest.mark.parametrize("scale", NUMBER)
def test_the_salt_limits_are_unionised_limits_over_the_fraction_of_pyco2sys(
    constants_of_pyco2sys, scale
):
    (celsius, salinity), constant = WATERS, constants_of_pyco2sys[scale]
    assert constant.shape == (12, 14)
    for ph in (6.5, 8.0, 9.0):
        fraction = constant / (constant + 10.0**-ph)
        for criterion, unionised in zip(SALT, (0.233, 0.035), strict=True):
            ours = 1e3 * criterion.bare(ph, celsius + 273.15, salinity, scale)
            other = unionised * 14.007 / 17.031 / fraction
            assert np.abs(ours / other - 1.0).max() < 1e-9


# Properties of the salt-water limits


@given(readings, st.floats(273.15, 308.15), salt, scales)
def test_they_are_one_unionised_limit_whatever_the_water(ph, kelvin, salinity, scale):
    where = (ph, Q(kelvin, "kelvin"), salinity, scale)
    for criterion, printed in zip(SALT, (0.233, 0.035), strict=True):
        total = criterion(*where)
        unionised = ammonia_as_nitrogen(Q(printed, "mg/L"))
        assert unionised_ammonia_nitrogen(total, *where).m_as("mg/L") == pytest.approx(
            unionised.magnitude, rel=1e-12
        )


@given(readings, kelvins, salt, scales, scales)
def test_the_same_water_has_one_limit_whatever_the_scale(ph, kelvin, salinity, here, there):
    moved = convert.bare(ph, kelvin, salinity, here, there)
    for criterion in SALT:
        one = criterion.bare(ph, kelvin, salinity, here)
        assert criterion.bare(moved, kelvin, salinity, there) == pytest.approx(one, rel=1e-10)


@given(readings, kelvins, salt, scales, steps)
def test_they_fall_with_ph_and_warmth(ph, kelvin, salinity, scale, step):
    for criterion in SALT:
        here = criterion.bare(ph, kelvin, salinity, scale)
        assert criterion.bare(ph + step, kelvin, salinity, scale) < here
        assert criterion.bare(ph, kelvin + step, salinity, scale) < here


# Which limit holds


@given(readings, kelvins, salinities, scales, flags)
def test_the_acute_limit_is_above_the_chronic_one(ph, kelvin, salinity, scale, sensitive):
    limits = total_ammonia_limits.bare(ph, kelvin, salinity, scale, sensitive)
    assert limits.acute > limits.chronic > 0.0


@given(readings, kelvins, salinities, scales, flags, steps)
def test_the_limits_fall_with_ph_and_never_rise_with_warmth(
    ph, kelvin, salinity, scale, sensitive, step
):
    here = total_ammonia_limits.bare(ph, kelvin, salinity, scale, sensitive)
    higher = total_ammonia_limits.bare(ph + step, kelvin, salinity, scale, sensitive)
    warmer = total_ammonia_limits.bare(ph, kelvin + step, salinity, scale, sensitive)
    assert higher.acute < here.acute
    assert higher.chronic < here.chronic
    assert warmer.acute <= here.acute
    assert warmer.chronic <= here.chronic


@given(readings, kelvins, st.floats(0.0, FRESH_UP_TO), scales, flags)
def test_up_to_1_the_fresh_water_limits_hold(ph, kelvin, salinity, scale, sensitive):
    limits = total_ammonia_limits.bare(ph, kelvin, salinity, scale, sensitive)
    assert limits.acute == acute_criterion.bare(ph, kelvin, sensitive)
    assert limits.chronic == chronic_criterion.bare(ph, kelvin)


@given(readings, kelvins, st.floats(SALT_FROM, 40.0), scales, flags)
def test_from_10_the_salt_water_limits_hold(ph, kelvin, salinity, scale, sensitive):
    limits = total_ammonia_limits.bare(ph, kelvin, salinity, scale, sensitive)
    assert limits == tuple(criterion.bare(ph, kelvin, salinity, scale) for criterion in SALT)


@given(readings, kelvins, st.floats(1.001, 9.999), scales, flags)
def test_between_them_the_stricter_holds(ph, kelvin, salinity, scale, sensitive):
    limits = total_ammonia_limits.bare(ph, kelvin, salinity, scale, sensitive)
    acute, chronic = (criterion.bare(ph, kelvin, salinity, scale) for criterion in SALT)
    assert limits.acute == min(acute, acute_criterion.bare(ph, kelvin, sensitive))
    assert limits.chronic == min(chronic, chronic_criterion.bare(ph, kelvin))


@given(readings, st.lists(kelvins, min_size=4, max_size=4), scales, flags)
def test_an_array_gives_what_the_numbers_give(ph, temperatures, scale, sensitive):
    salinity = np.array([0.2, 0.8, 5.0, 35.0])
    together = total_ammonia_limits.bare(ph, np.array(temperatures), salinity, scale, sensitive)
    for place, (kelvin, one) in enumerate(zip(temperatures, salinity, strict=True)):
        alone = total_ammonia_limits.bare(ph, kelvin, float(one), scale, sensitive)
        assert together.acute[place] == pytest.approx(alone.acute, rel=1e-13)
        assert together.chronic[place] == pytest.approx(alone.chronic, rel=1e-13)


def test_scalars_stay_scalars_and_arrays_stay_arrays():
    for salinity in (0.0, 1.0, 5.0, 10.0, 35.0):
        bare = total_ammonia_limits.bare(8.0, KELVIN, salinity)
        assert np.isscalar(bare.acute)
        assert np.isscalar(bare.chronic)
        public = total_ammonia_limits(8.0, ROOM, salinity)
        assert isinstance(public.acute.magnitude, float)
    for salinity in (0.0, 35.0, [0.0, 35.0]):
        both = total_ammonia_limits([7.0, 8.0], ROOM, salinity)
        assert both.acute.magnitude.shape == both.chronic.magnitude.shape == (2,)
    assert total_ammonia_limits(8.0, ROOM, [0.0, 0.5]).acute.magnitude.shape == (2,)


def test_the_results_are_in_milligrams_per_litre_and_named():
    limits = total_ammonia_limits(7.0, Q(68, "degF"))
    assert limits._fields == ("acute", "chronic")
    assert limits.acute.units == limits.chronic.units == Q(1, "mg/L").units
    assert limits.acute.magnitude == pytest.approx(16.76, abs=0.01)


def test_left_out_the_salinity_is_fresh_here_and_sea_there():
    assert total_ammonia_limits(8.0, ROOM) == total_ammonia_limits(8.0, ROOM, 0)
    for criterion in SALT:
        assert criterion(8.0, ROOM) == criterion(8.0, ROOM, 35, "total")


# The steps in salinity


def ratio_at(salinity, scale, sensitive, lowest_ph=6.5):
    """Each limit just above a salinity over that just below."""
    ph, kelvin = everywhere(lowest_ph)
    # The border at 1 belongs to fresh water, that at 10 to salt water.
    below, above = (1.0, 1.0 + HAIR) if salinity == FRESH_UP_TO else (10.0 - HAIR, 10.0)
    before = total_ammonia_limits.bare(ph, kelvin, below, scale, sensitive)
    after = total_ammonia_limits.bare(ph, kelvin, above, scale, sensitive)
    return after.acute / before.acute, after.chronic / before.chronic


def test_at_one_half_there_is_no_step():
    ph, kelvin = everywhere()
    for scale in ("free", "total", "seawater"):
        below = total_ammonia_limits.bare(ph, kelvin, 0.5, scale)
        above = total_ammonia_limits.bare(ph, kelvin, 0.5 + HAIR, scale)
        assert np.array_equal(below.acute, above.acute)
        assert np.array_equal(below.chronic, above.chronic)


@pytest.mark.parametrize("scale", ["free", "total", "seawater"])
def test_the_steps_at_1_only_go_down_and_are_as_stated(scale):
    acute, chronic = ratio_at(FRESH_UP_TO, scale, True)
    bolder, _ = ratio_at(FRESH_UP_TO, scale, False)
    assert max(acute.max(), chronic.max(), bolder.max()) <= 1.0
    assert 1.0 - chronic.min() == pytest.approx(0.39, abs=0.015)
    assert 0.01 < 1.0 - acute.min() < 0.04
    assert 0.11 < 1.0 - bolder.min() < 0.135


@pytest.mark.parametrize("scale", ["free", "total", "seawater"])
def test_the_steps_at_10_only_go_up(scale):
    for sensitive in (True, False):
        for ratio in ratio_at(SALT_FROM, scale, sensitive):
            assert ratio.min() > 1.0 - 1e-9


def test_the_steps_at_10_are_as_large_as_stated():
    acute, _ = ratio_at(SALT_FROM, "total", True)
    assert acute.max() == acute[0, 0] == pytest.approx(23.0, abs=0.5)
    acute, _ = ratio_at(SALT_FROM, "total", True, lowest_ph=7.0)
    assert acute.max() == acute[0, 0] == pytest.approx(10.0, abs=0.5)
    below = total_ammonia_limits.bare(8.0, KELVIN, SALT_FROM - HAIR)
    above = total_ammonia_limits.bare(8.0, KELVIN, SALT_FROM)
    assert above.acute / below.acute == pytest.approx(1.30, abs=0.005)


def test_between_the_borders_there_is_no_step():
    for low, high in ((0.0, 1.0), (1.0 + HAIR, 10.0 - HAIR), (10.0, 40.0)):
        salinity = np.linspace(low, high, 4001)
        limits = total_ammonia_limits.bare(8.0, KELVIN, salinity)
        for limit in limits:
            assert np.abs(np.diff(np.log(limit))).max() < 1e-3


# What is refused


ALL = (*SALT, total_ammonia_limits)


def test_both_limits_together_stop_where_no_tank_is_kept():
    with pytest.raises(ValidityError, match=r"^temperature = 34\.1"):
        total_ammonia_limits(8.0, Q(34.1, "degC"), 35)
    with pytest.raises(ValidityError, match=r"^ph = 4\.9"):
        total_ammonia_limits(4.9, ROOM)
    assert saltwater_acute_criterion(8.0, Q(35, "degC")).magnitude > 0.0


@pytest.mark.parametrize("fresh", [0, 0.5, 0.99])
def test_the_salt_limits_are_refused_in_fresh_water(fresh):
    for criterion in SALT:
        with pytest.raises(ValidityError, match=r"^salinity .* Valid: 1 to 40"):
            criterion(8.0, ROOM, fresh)


@pytest.mark.parametrize("salinity", [1, 5, 19.9, [5, 35]])
def test_the_nbs_scale_is_refused_in_brackish_water(salinity):
    for limit in ALL:
        with pytest.raises(ValidityError, match=r"^salinity .* NBS"):
            limit(8.0, ROOM, salinity, "nbs")


def test_on_the_nbs_scale_more_is_allowed_in_the_sea():
    for limit in SALT:
        assert limit(8.2, ROOM, 35, "nbs") > limit(8.2, ROOM, 35, "total")


@pytest.mark.parametrize("scale", ["total", "free"])
def test_small_groupers_die_in_days_of_what_the_acute_limit_allows_for_an_hour(scale):
    """The two stand beside each other: neither is moved to meet the other."""
    groupers = parameter("small_grouper_unionised_ammonia").bare
    at_limit = ammonia_as_nitrogen.bare(parameter("saltwater_acute_unionised_ammonia").bare)
    assert 1.5 < at_limit / groupers < 2.0
    # 2.68 mg/L killed half in 96 hours, at pH 8, 25 °C and salinity 30.5.
    assert saltwater_acute_criterion(8, ROOM, 30.5, scale).m > 2.68
    assert saltwater_chronic_criterion(8, ROOM, 30.5, scale).m < 2.68 / 4.0


# Beyond the printed tables: sour water and hot


def test_sour_water_has_the_limits_of_the_last_printed_ph():
    for celsius in (5, 25, 33):
        printed = total_ammonia_limits(6.5, Q(celsius, "degC"))
        for ph in (5.0, 5.5, 6.49):
            assert total_ammonia_limits(ph, Q(celsius, "degC")) == printed


@pytest.mark.parametrize("salinity", [0, 5, 35])
def test_hot_water_is_never_allowed_more_than_at_30_degrees(salinity):
    """Neither of all ammonia nor of the un-ionised part; without a jump, and ever less."""
    ph = np.linspace(5.0, 9.0, 17)[:, None]
    kelvin = np.linspace(303.15, 307.15, 41)[None, :]
    held = np.maximum(ph, 6.5)
    share = unionised_ammonia_nitrogen.bare(1.0, held, kelvin, salinity)
    for limit in total_ammonia_limits.bare(ph, kelvin, salinity):
        assert np.all(np.diff(limit) < 0.0)
        assert np.all(limit * share <= (limit * share)[:, :1] * (1.0 + 1e-12))
        # A tenth of a degree takes less than a hundredth.
        assert np.all(limit[:, 1:] > 0.99 * limit[:, :-1])
    # Up to 30 degC it is the printed law and nothing else.
    at_end = total_ammonia_limits(8.0, Q(30, "degC")).chronic
    assert at_end == chronic_criterion(8.0, Q(30, "degC"))
