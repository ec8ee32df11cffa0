"""The four pH scales: against PyCO2SYS, there and back, and where they part."""

import numpy as np
import PyCO2SYS
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.ph_scales import FRESH_BELOW, NBS_FROM, SCALES, above_free, convert

ROOM = Q(25, "degC")
KELVIN = 298.15
# What PyCO2SYS calls the scales, and the name of its answers.
NUMBER = {"total": 1, "seawater": 2, "free": 3, "nbs": 4}
ANSWER = {"total": "pH_total", "seawater": "pH_sws", "free": "pH_free", "nbs": "pH_nbs"}

CELSIUS = np.linspace(0.5, 40.0, 20)[:, None]
SALTY = np.concatenate([[0.6, 1.0], np.linspace(2.0, 40.0, 20)])[None, :]

kelvins = st.floats(273.15, 318.15)
readings = st.floats(4.0, 11.0)
scales = st.sampled_from(SCALES)
salinities = st.floats(0.0, 45.0)
# Where every scale is known.
known = st.floats(0.0, FRESH_BELOW) | st.floats(NBS_FROM, 45.0)


READINGS = (7.0, 8.1)


@pytest.fixture(scope="module")
def of_pyco2sys():
    """Its answers by scale, reading, temperature and salinity, all in one call."""
    scale, ph, celsius, salinity = np.broadcast_arrays(
        np.array([NUMBER[scale] for scale in SCALES])[:, None, None, None],
        np.array(READINGS)[:, None, None],
        CELSIUS,
        SALTY,
    )
    return PyCO2SYS.sys(
        par1=2300.0,
        par2=ph,
        par1_type=1,
        par2_type=3,
        temperature=celsius,
        salinity=salinity,
        opt_pH_scale=scale,
        opt_buffers_mode=0,
    )


# Against PyCO2SYS


@pytest.mark.parametrize("here", SCALES)
def test_a_reading_is_moved_as_pyco2sys_moves_it(of_pyco2sys, here):
    celsius, salinity = np.broadcast_arrays(CELSIUS, SALTY)
    for place, ph in enumerate(READINGS):
        for there in SCALES:
            ours = convert.bare(ph, celsius + 273.15, salinity, here, there)
            trusted = salinity >= NBS_FROM if "nbs" in (here, there) else salinity > FRESH_BELOW
            theirs = of_pyco2sys[ANSWER[there]][SCALES.index(here), place]
            difference = np.abs(ours - theirs)[trusted]
            assert difference.size >= 200
            assert difference.max() < 1e-9


def test_a_meter_set_in_shop_buffers_reads_higher_in_the_sea():
    assert convert(8.1, ROOM, 35, "total", "nbs") - 8.1 == pytest.approx(0.137, abs=5e-4)
    assert convert(8.1, ROOM, 35, "total", "free") - 8.1 == pytest.approx(0.1077, abs=5e-4)


# Properties


@given(readings, kelvins, known, scales, scales)
def test_there_and_back(ph, kelvin, salinity, here, there):
    moved = convert.bare(ph, kelvin, salinity, here, there)
    assert convert.bare(moved, kelvin, salinity, there, here) == pytest.approx(ph, abs=1e-12)


@given(readings, kelvins, known, scales, scales, scales)
def test_two_steps_are_as_good_as_one(ph, kelvin, salinity, first, second, third):
    by_way_of = convert.bare(
        convert.bare(ph, kelvin, salinity, first, second), kelvin, salinity, second, third
    )
    assert by_way_of == pytest.approx(convert.bare(ph, kelvin, salinity, first, third), abs=1e-12)


@given(readings, kelvins, salinities, scales)
def test_the_same_scale_changes_nothing(ph, kelvin, salinity, scale):
    assert convert.bare(ph, kelvin, salinity, scale, scale) == pytest.approx(ph, abs=1e-12)


@given(readings, kelvins, st.floats(0.0, FRESH_BELOW), scales, scales)
def test_in_fresh_water_there_is_one_scale(ph, kelvin, salinity, here, there):
    assert convert.bare(ph, kelvin, salinity, here, there) == ph


@given(readings, kelvins, st.floats(0.51, 45.0))
def test_each_scale_counts_more_hydrogen_than_the_one_before(ph, kelvin, salinity):
    total = convert.bare(ph, kelvin, salinity, "free", "total")
    seawater = convert.bare(ph, kelvin, salinity, "free", "seawater")
    assert seawater < total < ph


@given(readings, readings, kelvins, salinities)
def test_the_distance_of_two_scales_does_not_depend_on_ph(one, other, kelvin, salinity):
    moved = [convert.bare(ph, kelvin, salinity, "free", "total") - ph for ph in (one, other)]
    assert moved[0] == pytest.approx(moved[1], abs=1e-12)


@given(st.floats(273.15, 313.15), st.floats(0.6, 40.0), st.floats(0.1, 5.0))
def test_warmth_drives_the_scales_apart(kelvin, salinity, warmer):
    for scale in ("total", "seawater"):
        assert above_free(kelvin + warmer, salinity, scale) > above_free(kelvin, salinity, scale)


# Cold and saltier, bisulphate comes apart about as fast as sulphate is added.
@given(kelvins, st.floats(0.6, 20.0), st.floats(0.1, 5.0))
def test_salt_drives_the_scales_apart_up_to_25(kelvin, salinity, more):
    for scale in ("total", "seawater"):
        assert above_free(kelvin, salinity + more, scale) > above_free(kelvin, salinity, scale)


@given(st.lists(kelvins, min_size=3, max_size=3), scales, scales)
def test_an_array_gives_what_the_numbers_give(temperatures, here, there):
    salinity = np.array([0.2, 25.0, 35.0])
    together = convert.bare(8.0, np.array(temperatures), salinity, here, there)
    alone = [
        convert.bare(8.0, t, s, here, there) for t, s in zip(temperatures, salinity, strict=True)
    ]
    assert together == pytest.approx(alone, abs=1e-13)


def test_scalars_stay_scalars():
    for salinity in (0.0, 0.5, 0.6, 35.0):
        assert np.isscalar(convert.bare(8.0, KELVIN, salinity, "free", "total"))
        assert isinstance(convert(8.0, ROOM, salinity, "free", "total"), float)
    assert convert([8.0, 8.1], ROOM, 35, "free", "total").shape == (2,)
    assert convert(8.0, ROOM, [[0, 10], [20, 30]], "free", "total").shape == (2, 2)


def test_units_of_temperature():
    celsius = convert(8.0, ROOM, 35, "total", "free")
    assert convert(8.0, Q(77, "degF"), 35, "total", "free") == pytest.approx(celsius, abs=1e-12)
    assert convert(8.0, Q(298.15, "K"), 35, "total", "free") == pytest.approx(celsius, abs=1e-12)


# The step where fresh water ends


@pytest.mark.parametrize("scale", ["total", "seawater"])
def test_the_step_at_salinity_one_half_is_as_stated(scale):
    kelvin = np.linspace(273.15, 318.15, 46)
    below = convert.bare(8.0, kelvin, FRESH_BELOW, "free", scale)
    above = convert.bare(8.0, kelvin, FRESH_BELOW + 1e-9, "free", scale)
    step = below - above
    assert np.all(np.diff(step) > 0.0)
    assert step[0] == pytest.approx(0.005, abs=0.001)
    assert step[-1] == pytest.approx(0.020, abs=0.001)


# What is refused


@pytest.mark.parametrize("salinity", [0.51, 5, 19.99, [0.2, 10], [35, 19]])
@pytest.mark.parametrize("scales_asked", [("nbs", "total"), ("free", "nbs"), ("nbs", "nbs")])
def test_the_nbs_scale_is_refused_in_brackish_water(salinity, scales_asked):
    with pytest.raises(ValidityError, match=r"below 0\.5 or from 20 with the NBS scale") as caught:
        convert(8.0, ROOM, salinity, *scales_asked)
    assert caught.value.parameter == "salinity"


def test_the_message_names_the_salinity_at_fault():
    with pytest.raises(ValidityError, match=r"salinity = 10 is brackish"):
        convert(8.0, ROOM, [0.2, 10, 35], "nbs", "total")


def test_the_nbs_scale_is_taken_where_it_is_known():
    for salinity in (0, 0.5, 20, 45):
        assert 7.5 < convert(8.0, ROOM, salinity, "nbs", "total") < 8.5
