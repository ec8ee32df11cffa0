"""Top-up: salt is kept, fresh water undoes evaporation, salt water does not."""

import gsw
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.upkeep import top_up as t
from aqualib.units import Q
from aqualib.validity import ValidityError

salinities = st.floats(0, 42)
parts = st.floats(0, 0.5)


@given(s=salinities, part=parts, celsius=st.floats(0, 40))
def test_salt_is_kept(s, part, celsius):
    volume, warm = Q(100, "L"), Q(celsius, "degC")
    after = t.salinity_after_evaporation(s, volume, part * volume, warm)
    kelvin = celsius + 273.15
    before = t.density.bare(kelvin, s) * 0.1
    left = before - t.density.bare(kelvin, 0.0) * 0.1 * part
    assert after * left == pytest.approx(s * before, rel=1e-9, abs=1e-12)
    assert after >= s * (1 - 1e-12)


@given(s=salinities, part=parts)
def test_fresh_water_brings_back_what_left(s, part):
    volume = Q(100, "L")
    assert t.salinity_topped_up_with(s, volume, part * volume) == pytest.approx(s, abs=1e-9)


@given(s=st.floats(5, 40), part=st.floats(0.01, 0.5), top=st.floats(1, 40))
def test_saltier_top_up_means_saltier_water(s, part, top):
    volume = Q(100, "L")
    with_salt = t.salinity_topped_up_with(s, volume, part * volume, top)
    assert with_salt > t.salinity_topped_up_with(s, volume, part * volume, 0.5 * top) > s


def test_against_gsw():
    """Densities of TEOS-10 in place of EOS-80 make no difference that shows."""
    for s in (5.0, 20.0, 35.0):
        for celsius in (5.0, 15.0, 25.0, 30.0):
            before = gsw.rho_t_exact(s * 35.16504 / 35, celsius, 0) * 0.1
            left = before - gsw.rho_t_exact(0.0, celsius, 0) * 0.02
            ours = t.salinity_after_evaporation(s, Q(100, "L"), Q(20, "L"), Q(celsius, "degC"))
            assert ours == pytest.approx(s * before / left, rel=2e-5)


@given(s=st.floats(0, 40), rise=st.floats(0, 2))
def test_salt_to_raise_does_raise(s, rise):
    grams = t.salt_to_raise(Q(100, "L"), s, s + rise).m_as("kg")
    water = t.density.bare(298.15, s) * 0.1
    there = s * 35.16504 / 35 / 1000
    reached = (there * water + grams) / (water + grams)
    assert reached * 1000 / (35.16504 / 35) == pytest.approx(s + rise, rel=1e-9, abs=1e-9)


def test_salt_undoes_too_much_fresh_water():
    """Evaporate, then take the salt that stayed for salt that was added."""
    assert t.salt_to_raise(Q(100, "L"), 35, 35).magnitude == 0


def test_evaporation_is_area_times_depth():
    areas = Q(np.array([0.0, 0.5, 1.0]), "m**2")
    lost = t.evaporation(areas, Q(2, "mm/day")).m_as("L/day")
    assert lost == pytest.approx([0, 1, 2])
    assert t.evaporation(Q(1, "m**2")).m_as("L/day") == pytest.approx(3)


def test_too_much_gone_is_refused():
    for function in (t.salinity_after_evaporation, t.salinity_topped_up_with):
        assert function(35, Q(100, "L"), Q(50, "L")) > 30
        with pytest.raises(ValidityError, match="more than half") as caught:
            function(35, Q(100, "L"), Q(51, "L"))
        assert caught.value.parameter == "evaporated"
        assert caught.value.value == "51 L"


def test_salt_cannot_lower():
    with pytest.raises(ValidityError, match="target"):
        t.salt_to_raise(Q(100, "L"), np.array([30.0, 36.0]), 35)
