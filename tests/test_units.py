"""The registry, its traps, and how amounts are shown in the three unit sets."""

from __future__ import annotations

import gc
import math

import numpy as np
import pint
import pytest

from aqualib.units import (
    DISPLAY,
    LABELS,
    UNIT_SETS,
    NotLinearError,
    Q,
    base_unit,
    display_unit,
    from_si,
    get_units,
    label,
    line_to,
    metric_unit_of,
    number,
    registry,
    set_units,
    show,
    shown,
    unit_set,
)
from aqualib.validity import ValidityError


@pytest.fixture(autouse=True)
def metric_before_and_after():
    set_units("metric")
    yield
    set_units("metric")


def test_there_is_one_registry():
    assert Q(1, "m")._REGISTRY is registry
    assert pint.get_application_registry().get() is registry
    assert isinstance(Q(1, "m"), registry.Quantity)


def test_temperatures_need_no_special_care():
    assert Q(25, "degC").m_as("degF") == pytest.approx(77.0)
    assert Q(77, "degF").m_as("kelvin") == pytest.approx(298.15)


def test_gallons_are_two_units():
    assert Q(1, "gal").m_as("L") == pytest.approx(3.785411784)
    assert Q(1, "imperial_gallon").m_as("L") == pytest.approx(4.54609)


def test_degree_of_hardness_as_calcium_carbonate():
    assert Q(1, "dKH").m_as("mg/L") == pytest.approx(17.848)
    # 10 mg CaO over its molar mass, times that of CaCO3
    assert Q(1, "dKH").m_as("mg/L") == pytest.approx(10 / 56.077 * 100.086, rel=3e-5)


def test_line_between_units():
    assert line_to("degC", "kelvin") == pytest.approx((1.0, 273.15))
    assert line_to("degC", "degF") == pytest.approx((1.8, 32.0))
    assert line_to("mg/L", base_unit("mg/L")) == pytest.approx((1e-3, 0.0))
    assert line_to("L/h", base_unit("L/h")) == pytest.approx((1e-3 / 3600, 0.0))


def test_no_line_leads_to_a_logarithm():
    with pytest.raises(NotLinearError, match="dBm and W are not in proportion"):
        line_to("dBm", "W")


@pytest.mark.parametrize(
    ("value", "unit", "there"),
    [
        (0.001, "mg/L", 1.0),
        (1 / 3.6e6, "L/h", 1.0),
        (1e-3 / 86400, "g/day", 1.0),
        (3.6e6, "kW*h", 1.0),
        (298.15, "degC", 25.0),
        (10.0, "mJ/cm**2", 1.0),
        (0.45, "percent", 45.0),
        (7.0, "kg", 7.0),
    ],
)
def test_a_number_comes_from_base_units(value, unit, there):
    assert from_si(value, unit) == pytest.approx(there, rel=1e-12)


@pytest.mark.parametrize("unit", DISPLAY)
def test_from_base_units_is_the_way_back(unit):
    """For numbers and arrays alike, with what pint makes of the same amount."""
    amounts = np.array([0.1, 3.0, 700.0])
    base = Q(amounts, unit).to_base_units().m
    assert from_si(base, unit) == pytest.approx(amounts, rel=1e-12)
    assert [from_si(float(one), unit) for one in base] == list(from_si(base, unit))


ALL_UNITS = sorted({*DISPLAY, *LABELS, *(unit for pair in DISPLAY.values() for unit in pair)})


@pytest.mark.parametrize("unit", ALL_UNITS)
def test_every_display_unit_is_known(unit):
    assert registry.Unit(unit) is not None


@pytest.mark.parametrize("metric", DISPLAY)
def test_each_set_shows_the_same_kind_of_unit(metric):
    assert len(DISPLAY[metric]) == len(UNIT_SETS) - 1
    for system in UNIT_SETS:
        there = Q(10.0, metric).m_as(display_unit(metric, system))
        assert Q(there, display_unit(metric, system)).m_as(metric) == pytest.approx(10.0)


def test_units_outside_the_table_stay():
    for system in UNIT_SETS:
        assert display_unit("mg/L", system) == "mg/L"


@pytest.mark.parametrize("system", ["cubits", "", 1, ["us"], np.array(["us", "us"])])
@pytest.mark.parametrize("unit", ["L", "mg/L"])
def test_display_unit_refuses_other_sets(unit, system):
    with pytest.raises(ValidityError, match=r"system = .* is not one of the choices"):
        display_unit(unit, system)


@pytest.mark.parametrize("unit", [None, 5, ["L"], Q(1, "L")])
def test_display_unit_refuses_what_is_no_unit(unit):
    with pytest.raises(ValidityError, match="metric_unit"):
        display_unit(unit)


@pytest.mark.parametrize("quantity", [5, None, "5 L", [1, 2], Q([1, 2], "L")])
def test_show_refuses_what_is_no_single_amount(quantity):
    with pytest.raises(ValidityError, match="quantity"):
        show(quantity)


def test_set_and_get():
    assert get_units() == "metric"
    for system in UNIT_SETS:
        set_units(system)
        assert get_units() == system


@pytest.mark.parametrize("system", ["Metric", "", None, 1, "uk", ["us"], np.array(["us", "us"])])
def test_set_units_refuses_other_words(system):
    with pytest.raises(ValidityError, match=r"system = .* is not one of the choices"):
        set_units(system)
    assert get_units() == "metric"


def test_show_in_each_set():
    assert show(Q(100, "L")) == "100 L"
    set_units("us")
    assert show(Q(100, "L")) == "26.4 US gal (100 L)"
    assert show(Q(25, "degC")) == "77 °F (25 °C)"
    set_units("imperial")
    assert show(Q(100, "L")) == "22.0 imp gal (100 L)"
    assert show(Q(2, "mg/L")) == "2 mg/L"


def test_show_finds_the_metric_twin():
    assert show(Q(10, "gal")) == "37.9 L"
    assert show(Q(77, "degF")) == "25 °C"
    assert metric_unit_of(Q(1, "imperial_gallon/h")) == "L/h"
    assert metric_unit_of(Q(1, "mg/L")) == "mg/L"


def test_shown_takes_a_plain_number():
    assert shown(54.0, "L") == "54 L"
    set_units("us")
    assert shown(54.0, "L") == "14.3 US gal (54 L)"
    assert shown(0.5, "") == "0.500"


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (0, 3, "0"),
        (0.0, 3, "0"),
        (1234.5678, 3, "1235"),
        (123.456, 3, "123"),
        (12.3456, 3, "12.3"),
        (1.23456, 3, "1.23"),
        (0.0123456, 3, "0.0123"),
        (99.96, 3, "100"),
        (9.996, 3, "10.0"),
        (-1.23456, 3, "-1.23"),
        (0.053662, 5, "0.053662"),
        (1.2e-7, 3, "1.20e-07"),
        (5e-10, 3, "5.00e-10"),
        (-4e-10, 2, "-4.0e-10"),
        (1e-17, 3, "0"),
        (-0.0, 3, "0"),
        (2.0000000001, 3, "2"),
        (math.inf, 3, "inf"),
        (math.nan, 3, "nan"),
        (20.0, 3, "20"),
    ],
)
def test_number(value, digits, text):
    assert number(value, digits) == text


def test_labels():
    assert label("degC") == "°C"
    assert label("gal") == "US gal"
    assert label("imperial_gallon") == "imp gal"
    assert label("furlong") == "furlong"
    assert label("") == ""


class Listener:
    """Something that wants to know when the unit set changes."""

    def __init__(self):
        self.heard = []

    def hear(self):
        self.heard.append(get_units())


def test_listeners_hear_each_change_while_they_live():
    listener = Listener()
    unit_set.follow(listener.hear)
    set_units("us")
    set_units("imperial")
    assert listener.heard == ["us", "imperial"]
    del listener
    gc.collect()
    set_units("metric")


def test_a_refused_set_is_not_announced():
    listener = Listener()
    unit_set.follow(listener.hear)
    with pytest.raises(ValidityError):
        set_units("troy")
    assert listener.heard == []


class Broken:
    """A listener that fails."""

    def hear(self):
        raise RuntimeError("cannot draw this")


def test_one_listener_that_fails_keeps_nobody_from_hearing():
    broken, listener = Broken(), Listener()
    unit_set.follow(broken.hear)
    unit_set.follow(listener.hear)
    with pytest.raises(RuntimeError, match="cannot draw this"):
        set_units("us")
    assert listener.heard == ["us"]
    del broken
    gc.collect()
