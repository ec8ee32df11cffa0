"""Head, power and what a year of it costs."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.hydraulics.head import (
    GRAVITY,
    cost_per_year,
    energy_per_year,
    hydraulic_power,
    pressure_as_head,
)
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.water.properties import density

WARM = Q(25, "degC")


@pytest.mark.parametrize("salinity", [0, 35])
def test_head_times_weight_is_the_pressure_again(salinity):
    head = pressure_as_head(Q([0, 100, 5000], "Pa"), WARM, salinity)
    weight = density(WARM, salinity) * Q(GRAVITY, "m/s**2")
    np.testing.assert_allclose((head * weight).m_as("Pa"), [0, 100, 5000])


def test_power_is_pressure_times_flow():
    flow, pressure = Q(1200, "L/h"), Q(7000, "Pa")
    power = hydraulic_power(flow, pressure_as_head(pressure, WARM), WARM)
    assert power.m_as("W") == pytest.approx((flow * pressure).m_as("W"), rel=1e-12)


def test_energy_and_cost_are_in_proportion():
    assert energy_per_year(Q(1, "kW")).m == pytest.approx(8760)
    np.testing.assert_allclose(cost_per_year(Q([10, 20], "W"), [0.1, 0.2]), [8.76, 35.04])


def test_the_example_pump_turns_no_more_of_its_power_into_flow_than_small_pumps_do():
    """A small cheap pump: about a fifth at its best point (SmallPumpClass2016); 5 to 25 % (memory).

    The example's three numbers are invented; they must not promise more than such pumps give.
    """
    head, flow, power = (
        parameter(row).quantity for row in ("pump_rated_head", "pump_rated_flow", "pump_power")
    )
    pump = PumpCurve.from_limits(head, flow)
    flows = np.linspace(0, 1, 200) * flow
    best = hydraulic_power(flows, pump(flows), WARM).m_as("W").max() / power.m_as("W")
    assert best == pytest.approx(0.1336, abs=0.001)
    assert 0.05 < best < 0.25
