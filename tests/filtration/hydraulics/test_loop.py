"""The pump in its loop: operating points that can be worked out by hand, and how they move."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.filtration.hydraulics.fittings import fitting_head_loss
from aqualib.filtration.hydraulics.head import pressure_as_head
from aqualib.filtration.hydraulics.hose import hose_head_loss
from aqualib.filtration.hydraulics.loop import (
    Loss,
    bed_loss,
    filter_flow,
    fitting_loss,
    hose_loss,
    lift,
    operating_point,
    pad_loss,
    system_head,
)
from aqualib.filtration.hydraulics.packed_bed import bed_pressure_loss
from aqualib.filtration.hydraulics.pads import pad_pressure_loss
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.units import Q
from aqualib.validity import ValidityError

COOL = Q(20, "degC")
RATED = Q(1000, "L/h")


def power_law(head_m: float, exponent: float) -> Loss:
    """A loss of `head_m` at 1000 L/h."""
    rated = RATED.m_as("m**3/s")
    return Loss("made up", lambda flow: head_m * (flow / rated) ** exponent)


def test_parabola_against_parabola():
    pump = PumpCurve.from_limits(Q(2, "m"), RATED)
    point = operating_point(pump, [power_law(1, 2)])
    assert point.flow.m_as("L/h") == pytest.approx(1000 * np.sqrt(2 / 3), rel=1e-9)
    assert point.head.m_as("m") == pytest.approx(2 / 3, rel=1e-9)


def test_line_against_line():
    pump = PumpCurve.from_limits(Q(2, "m"), RATED, exponent=1)
    point = operating_point(pump, [power_law(1, 1)])
    assert point.flow.m_as("L/h") == pytest.approx(2000 / 3, rel=1e-9)


@pytest.mark.parametrize("clogging", [1, 2, 5, 10, 20, 50, 1000])
def test_root_finder_and_formula_agree(clogging):
    box = {"shut_off_head": Q(2.2, "m"), "maximum_flow": Q(1200, "L/h")}
    point = operating_point(
        PumpCurve.from_limits(**box), [power_law(0.8, 2), power_law(0.1 * clogging, 1)]
    )
    loop = {"plumbing_head": Q(0.8, "m"), "media_head": Q(0.1, "m"), "rated_flow": RATED}
    formula = filter_flow(**box, **loop, clogging=clogging)
    assert point.flow.m_as("L/h") == pytest.approx(formula.m_as("L/h"), rel=1e-9)


def test_flow_that_looks_fine_is_a_late_sign():
    box = {"shut_off_head": Q(2.2, "m"), "maximum_flow": Q(1200, "L/h"), "rated_flow": RATED}
    loop = {**box, "plumbing_head": Q(0.8, "m"), "media_head": Q(0.1, "m")}
    share = filter_flow(**loop, clogging=[1, 5, 10, 50]).m / filter_flow(**loop).m
    assert share[1] > 0.9
    assert share[2] > 0.8
    assert share[3] < 0.4


def test_nothing_attached_and_too_high_a_lift():
    pump = PumpCurve.from_limits(Q(2, "m"), RATED)
    assert operating_point(pump, []).flow.m_as("L/h") == pytest.approx(1000)
    high = operating_point(pump, [lift(Q(2, "m"))])
    assert high.flow.m == 0
    assert high.head.m == pytest.approx(2)


@pytest.mark.parametrize("plumbing", [0.0, 0.5])
@pytest.mark.parametrize("media", [0.0, 0.1])
def test_a_pump_without_head_moves_nothing_by_pencil_either(plumbing, media):
    flow = filter_flow(Q([0, 1], "m"), RATED, Q(plumbing, "m"), Q(media, "m"), RATED)
    alone = filter_flow(Q(1, "m"), RATED, Q(plumbing, "m"), Q(media, "m"), RATED)
    assert flow.m.tolist() == [0.0, alone.m]
    assert alone.m > 0.0


def test_two_printed_curves_cross():
    """120 - 0.004 Q² against 50 + 0.003 Q², ft and gallons a minute (PumpAndSystemExercise)."""
    gallon = Q(1, "gallon/minute").m_as("m**3/s")
    pump = PumpCurve.from_limits(Q(120, "ft"), Q(np.sqrt(120 / 0.004), "gallon/minute"))
    friction = Loss("pipes", lambda q: Q(0.003 * (q / gallon) ** 2, "ft").m_as("m"))
    point = operating_point(pump, [lift(Q(50, "ft")), friction])
    assert point.flow.m_as("gallon/minute") == pytest.approx(100, rel=1e-9)
    assert point.head.m_as("ft") == pytest.approx(80, rel=1e-9)


def test_any_function_of_flow_is_a_loss_too():
    pump = PumpCurve.from_limits(Q(2, "m"), RATED)
    point = operating_point(pump, [lambda flow: Q(1, "m") * (flow / RATED).m_as("") ** 2])
    assert point.flow.m_as("L/h") == pytest.approx(1000 * np.sqrt(2 / 3), rel=1e-9)


def test_parts_are_the_equations():
    flow, bore, area = Q(700, "L/h"), Q(16, "mm"), Q(300, "cm**2")
    hose = hose_loss(bore, Q(3, "m"), COOL, roughness=Q(0.01, "mm"), salinity=20)
    assert hose(flow) == hose_head_loss(flow, bore, Q(3, "m"), COOL, Q(0.01, "mm"), 20)
    assert fitting_loss(bore, 2)(flow) == fitting_head_loss(flow, bore, 2)
    bed = {"depth": Q(15, "cm"), "diameter": Q(15, "mm"), "voidage": 0.45, "temperature": COOL}
    lost = pressure_as_head(bed_pressure_loss((flow / area).to("m/s"), **bed), COOL)
    assert bed_loss(area, **bed)(flow).m == pytest.approx(lost.m)
    pad = {"depth": Q(4, "cm"), "permeability": Q(1e-8, "m**2"), "temperature": COOL}
    pad |= {"inertial_permeability": Q(1e-4, "m"), "salinity": 35}
    lost = pressure_as_head(pad_pressure_loss((flow / area).to("m/s"), **pad), COOL, 35)
    assert pad_loss(area, **pad)(flow).m == pytest.approx(lost.m)
    both = system_head([hose, pad_loss(area, **pad)], flow)
    assert both.m == pytest.approx(hose(flow).m + lost.m)


@given(st.floats(0.2, 5), st.floats(100, 5000), st.floats(8, 40), st.floats(0.1, 10))
@settings(max_examples=60, deadline=None)
def test_both_curves_meet_at_the_point(shut_off, maximum, bore, length):
    pump = PumpCurve.from_limits(Q(shut_off, "m"), Q(maximum, "L/h"))
    losses = [hose_loss(Q(bore, "mm"), Q(length, "m"), COOL), fitting_loss(Q(bore, "mm"), 2.0)]
    point = operating_point(pump, losses)
    assert 0 < point.flow.m_as("L/h") < maximum
    given, taken = pump(point.flow).m_as("m"), system_head(losses, point.flow).m_as("m")
    # Where slow flow turns to tumbling, friction jumps, and the curves cross within the jump.
    hair = system_head(losses, point.flow * (1 + 1e-6)).m_as("m")
    assert given == pytest.approx(taken, rel=1e-6) or min(taken, hair) * 0.5 < given < hair * 2


def test_wider_hose_more_flow():
    pump = PumpCurve.from_limits(Q(1.5, "m"), RATED)
    flows = [
        operating_point(pump, [hose_loss(Q(bore, "mm"), Q(3, "m"), COOL)]).flow.m
        for bore in (9, 12, 16, 25)
    ]
    assert flows == sorted(flows)
    assert flows[0] < 0.6 * flows[-1]


def test_an_open_pump_curve_crossed_with_a_system_curve():
    """Net3 of wntr 1.5.0 (see test_filtration_pump), scaled down a hundredfold."""
    heads = Q([104.0, 92.0, 63.0], "ft")
    pump = PumpCurve.from_points(Q([0.0, 20.0, 40.0], "gallon/minute"), heads)
    # A system that takes 98 ft at 10 gallons a minute must run there, half way to the point.
    ten = Q(10, "gallon/minute").m_as("m**3/s")
    point = operating_point(pump, [Loss("pipe", lambda q: Q(98, "ft").m_as("m") * (q / ten) ** 2)])
    assert point.flow.m_as("gallon/minute") == pytest.approx(10, rel=1e-9)
    assert point.head.m_as("ft") == pytest.approx(98, rel=1e-9)


@pytest.mark.parametrize(
    ("make", "name"),
    [
        (lambda: hose_loss(Q(0, "mm"), Q(3, "m"), COOL), "bore"),
        (lambda: hose_loss(Q(16, "mm"), Q(3, "m"), 20), "temperature"),
        (lambda: fitting_loss(Q(16, "mm"), -1), "loss_coefficient"),
        (lambda: lift(Q(1, "kg")), "height"),
        (lambda: bed_loss(Q(1, "m"), temperature=COOL), "area"),
        (lambda: system_head([], Q(-1, "L/h")), "flow"),
        (lambda: lift(Q(1, "m"))(5), "flow"),
    ],
    ids=["bore", "temperature", "coefficient", "height", "area", "system flow", "part flow"],
)
def test_bad_parts_are_refused_by_name(make, name):
    with pytest.raises(ValidityError, match=name):
        make()
