"""Oxygen saturation, air pressure and the passage of oxygen from air to water."""

import math

import gsw
import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.water.oxygen import (
    aerator_rate,
    air_pressure,
    saturation,
    transfer_coefficient,
    transfer_rate,
)

ATM = 101325.0
ROOM = Q(25, "degC")

kelvins = st.floats(273.15, 308.15)
salinities = st.floats(0.0, 35.0)
pressures = st.floats(0.5 * ATM, 1.0 * ATM)
steps = st.floats(0.1, 5.0)

# U.S. Geological Survey, table of fresh water at 760 mm Hg, 0 to 40 °C (see USGSTables)
USGS_760 = (
    "14.62 14.22 13.83 13.46 13.11 12.77 12.45 12.14 11.84 11.56 11.29 11.03 10.78 10.54 10.31 "
    "10.08 9.87 9.66 9.47 9.28 9.09 8.92 8.74 8.58 8.42 8.26 8.11 7.97 7.83 7.69 7.56 7.43 7.30 "
    "7.18 7.06 6.95 6.84 6.73 6.62 6.52 6.41"
)


# Against others


def test_saturation_follows_garcia_and_gordon_within_the_accuracy_stated():
    celsius = np.linspace(0.0, 40.0, 41)[:, None]
    salinity = np.linspace(0.0, 40.0, 41)[None, :]
    density = gsw.rho_t_exact(salinity * 35.16504 / 35.0, celsius, 0.0)
    other = gsw.O2sol_SP_pt(salinity + 0.0 * celsius, celsius + 0.0 * salinity)
    ours = saturation(Q(celsius + 0.0 * salinity, "degC"), salinity + 0.0 * celsius).m_as("mg/L")
    assert np.abs(ours / (other * 31.9988e-6 * density) - 1.0).max() < 4e-4


def test_saturation_gives_the_whole_table_of_the_geological_survey():
    printed = np.array([float(word) for word in USGS_760.split()])
    ours = saturation(Q(np.arange(41.0), "degC"), 0, Q(760, "mmHg")).m_as("mg/L")
    assert np.abs(ours - printed).max() <= 0.005


def test_air_pressure_is_that_of_the_standard_atmosphere():
    metres = np.linspace(0.0, 5000.0, 51)
    other = np.array([ATMOSPHERE_1976(height).P for height in metres])
    assert air_pressure(Q(metres, "m")).m_as("Pa") == pytest.approx(other, rel=1e-9)


# Properties of saturation


@given(kelvins, salinities, pressures, steps)
def test_saturation_falls_with_warmth_and_salt(kelvin, salinity, pressure, step):
    here = saturation.bare(kelvin, salinity, pressure)
    assert saturation.bare(kelvin + step, salinity, pressure) < here
    assert saturation.bare(kelvin, salinity + step, pressure) < here


@given(kelvins, salinities, pressures, st.floats(1.001, 1.1))
def test_saturation_rises_with_pressure_a_little_faster(kelvin, salinity, pressure, times):
    ratio = saturation.bare(kelvin, salinity, pressure * times) / saturation.bare(
        kelvin, salinity, pressure
    )
    # Water vapour takes its share first, so oxygen grows faster than the pressure.
    assert times < ratio < times * 1.02


@given(kelvins, salinities)
def test_one_atmosphere_changes_nothing(kelvin, salinity):
    assert saturation.bare(kelvin, salinity, ATM) == saturation.bare(kelvin, salinity)


def test_the_default_pressure_is_one_atmosphere_in_public_and_bare():
    assert saturation(ROOM) == saturation(ROOM, 0, Q(1, "atm"))
    assert saturation(ROOM, pressure=Q(1013.25, "hPa")).magnitude == pytest.approx(
        saturation(ROOM).magnitude, rel=1e-12
    )
    assert 1000.0 * saturation.bare(298.15) == pytest.approx(saturation(ROOM).magnitude, rel=1e-12)
    assert isinstance(saturation.bare(298.15), float)


def test_a_tank_at_1000_metres_holds_12_per_cent_less():
    high = saturation(ROOM, 0, air_pressure(Q(1000, "m")))
    assert (high / saturation(ROOM)).m_as("") == pytest.approx(0.884, abs=0.002)


def test_the_highest_place_allowed_is_within_the_pressures_allowed():
    assert air_pressure(Q(5000, "m")).m_as("atm") > 0.5
    assert saturation(ROOM, 0, air_pressure(Q(5000, "m"))).magnitude > 0


@given(st.floats(0.0, 4900.0), st.floats(1.0, 100.0))
def test_pressure_falls_with_height(metres, step):
    assert air_pressure.bare(metres + step) < air_pressure.bare(metres)


def test_feet_are_turned_into_metres():
    in_feet, in_metres = air_pressure(Q(1000, "ft")), air_pressure(Q(304.8, "m"))
    assert in_feet.m_as("kPa") == pytest.approx(in_metres.m_as("kPa"), rel=1e-12)


# Passage from air to water


@given(st.floats(0.01, 50.0), st.floats(0.0, 40.0))
def test_the_coefficient_there_and_back(coefficient, celsius):
    moved = transfer_coefficient.bare(coefficient, celsius + 273.15)
    back = moved / transfer_coefficient.bare(1.0, celsius + 273.15)
    assert back == pytest.approx(coefficient, rel=1e-12)


@given(st.floats(0.0, 35.0), steps)
def test_the_coefficient_grows_by_24_per_mille_a_degree(celsius, step):
    ratio = transfer_coefficient.bare(1.0, celsius + step + 273.15) / transfer_coefficient.bare(
        1.0, celsius + 273.15
    )
    assert ratio == pytest.approx(1.024**step, rel=1e-12)


@given(st.floats(0.0, 20.0), st.floats(0.0, 20.0))
def test_oxygen_goes_in_below_saturation_and_out_above(held, now):
    rate = transfer_rate(Q(2, "1/h"), Q(held, "mg/L"), Q(now, "mg/L"), Q(200, "L")).magnitude
    assert math.copysign(1.0, rate) == math.copysign(1.0, held - now) or rate == 0.0
    assert rate == pytest.approx(0.4 * (held - now), abs=1e-9)


def test_the_rate_is_the_same_in_other_units():
    one = transfer_rate(Q(48, "1/day"), Q(9, "g/m**3"), Q(6, "mg/L"), Q(0.2, "m**3"))
    other = transfer_rate(Q(2, "1/h"), Q(9, "mg/L"), Q(6, "mg/L"), Q(200, "L"))
    assert one.m_as("mg/min") == pytest.approx(other.m_as("mg/min"), rel=1e-12)


def test_a_tank_alone_closes_63_per_cent_of_the_gap_in_one_over_the_coefficient():
    # dC/dt = rate / volume, integrated in small steps: (1 - 1/e) after one hour at 1 per hour.
    held, now, hour = 9e-3, 3e-3, 3600.0
    for _ in range(2000):
        now += transfer_rate.bare(1.0 / hour, held, now, 1.0) * hour / 2000
    assert (now - 3e-3) / 6e-3 == pytest.approx(1.0 - math.exp(-1.0), rel=1e-3)


@given(kelvins, salinities, pressures, st.floats(0.4, 0.9), st.floats(0.95, 0.99))
def test_an_aerator_stops_at_the_saturation_of_the_tank(kelvin, salinity, pressure, alpha, beta):
    full = beta * saturation.bare(kelvin, salinity, pressure)
    at = (kelvin, full, alpha, beta, salinity, pressure)
    assert aerator_rate.bare(1.0, *at) == pytest.approx(0.0, abs=1e-12)
    empty = (kelvin, 0.0, alpha, beta, salinity, pressure)
    assert aerator_rate.bare(1.0, *empty) > 0.0
    fuller = (kelvin, 1.1 * full, alpha, beta, salinity, pressure)
    assert aerator_rate.bare(1.0, *fuller) < 0.0


def test_an_aerator_gives_less_in_salt_water_and_high_up():
    tank = (Q(100, "g/h"), ROOM, Q(6, "mg/L"), 0.8, 0.95)
    fresh = aerator_rate(*tank)
    assert aerator_rate(*tank, salinity=35) < fresh
    assert aerator_rate(*tank, pressure=Q(0.9, "atm")) < fresh
    assert aerator_rate(*tank, 0, Q(1, "atm")) == fresh


def test_alpha_and_beta_of_the_parameter_table_are_accepted():
    alpha, beta = parameter("aeration_alpha"), parameter("aeration_beta")
    for a in (alpha.low, alpha.value, alpha.high):
        for b in (beta.low, beta.value, beta.high):
            assert aerator_rate(Q(1, "g/h"), ROOM, Q(6, "mg/L"), a, b).magnitude > 0
