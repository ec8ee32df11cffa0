"""One step of clogging: exact in the tank, and the flow is the crossing of two curves."""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.capture.clogging import (
    NEARLY_FULL,
    Circuit,
    Dirt,
    Filters,
    Shares,
    Tank,
    advance,
)
from aqualib.filtration.capture.pads import GRADES, pad, settling_space
from aqualib.filtration.capture.recirculation import concentration_after
from aqualib.filtration.hydraulics.hose import hose_head_loss
from aqualib.filtration.hydraulics.loop import Loss, operating_point
from aqualib.filtration.hydraulics.pads import pad_pressure_loss
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.units import Q
from aqualib.water.properties import density, dynamic_viscosity

AREA, DEPTH = Q(400, "cm**2"), Q(40, "mm")
PUMP = PumpCurve.from_limits(Q(2, "m"), Q(1000, "L/h"))
HOSE = partial(hose_head_loss.bare, bore=0.016, length=3.0, temperature=298.15)
SIZES = np.array([5e-6, 30e-6, 100e-6, 400e-6])
SINKING = np.array([1e-6, 1e-4, 1e-3, 1e-2])
LAYERS = 4


def filters_of(*stacks, layers=LAYERS):
    return Filters.of(stacks, SIZES, SINKING, 298.15, 0.0, layers)


def flow_of(filters, circuit, mass):
    resistance = filters.resistance(filters.filled(mass))
    return circuit.flow(resistance.sum(axis=-1), filters.square)


@pytest.mark.parametrize("filled", [0, 0.3, 0.6, 0.9, 0.99])
def test_flow_is_that_of_the_root_finder(filled):
    # A fine pad in which turning corners takes as much as friction does.
    stages = [pad("coarse", AREA, DEPTH), pad("fine", AREA, DEPTH, inertial_permeability=1e-6)]
    filters = filters_of(stages)
    mass = filled * filters.room
    ours = flow_of(filters, Circuit.of(PUMP, [HOSE]), mass)[0]
    clogging = (1 - filled) ** -3
    weight = density.bare(298.15) * 9.80665
    permeabilities = [(p.bare.permeability, p.bare.inertial_permeability) for p in stages]
    pads = [
        Loss("pad", lambda q, n=n: pad_pressure_loss.bare(
            q / 0.04, 0.04, *n, 298.15, 0.0, clogging) / weight)
        for n in permeabilities
    ]  # fmt: skip
    exact = operating_point(PUMP, [Loss("hose", HOSE), *pads]).flow.m_as("m**3/s")
    assert ours == pytest.approx(exact, rel=1e-4)


def test_a_full_pad_lets_next_to_nothing_through():
    filters = filters_of([pad("fine", AREA, DEPTH)])
    circuit = Circuit.of(PUMP, [HOSE])
    full = flow_of(filters, circuit, 5 * filters.room)
    assert 0 < full[0] < 1e-3 * flow_of(filters, circuit, 0 * filters.room)[0]
    assert filters.filled(5 * filters.room).max() == NEARLY_FULL


def test_no_pads_and_no_reach():
    no_pads = filters_of([settling_space(AREA, DEPTH)])
    nothing = np.zeros((1, 1))
    free = flow_of(no_pads, Circuit.of(PUMP, [HOSE]), nothing)[0]
    exact = operating_point(PUMP, [Loss("hose", HOSE)]).flow.m_as("m**3/s")
    assert free == pytest.approx(exact, rel=1e-4)
    too_high = Circuit.of(PUMP, [lambda flow: 2.5 + 0 * flow])
    assert flow_of(no_pads, too_high, nothing)[0] == 0
    assert flow_of(no_pads, Circuit.of(PUMP, []), nothing)[0] == pytest.approx(PUMP.maximum_flow)


@pytest.mark.parametrize("count", [2, 4, 5, 8, 16])
def test_the_layers_of_a_pad_are_the_pad(count):
    """Their shares multiply to the pad's, and room and resistance add up, in every grade."""
    for grade in GRADES:
        whole = pad(grade, AREA, DEPTH)
        filters = filters_of([whole], layers=count)
        held = 1 - np.prod(1 - filters.efficiency(np.array([1e-4]), 0 * filters.room), axis=1)
        np.testing.assert_allclose(held[0], whole.efficiency(SIZES), rtol=1e-12)
        assert filters.room.sum() == pytest.approx(whole.room)
        weight = density.bare(298.15) * 9.80665
        size, slow = whole.bare, dynamic_viscosity.bare(298.15)
        assert filters.linear.sum() == pytest.approx(
            slow * size.depth / (size.permeability * size.area * weight)
        )


@pytest.mark.parametrize("face", [2, 5, 10, 80])
def test_a_pad_is_due_by_its_working_face_and_no_other_layer(face):
    one = pad("medium", AREA, DEPTH, working_face=Q(face, "mm"))
    filters = filters_of([one], layers=8)
    edges = one.layer_edges(8)
    assert edges[one.layers_in_face(8)] == pytest.approx(min(face, 40) / 1000)
    in_face = edges[1:] <= min(face, 40) / 1000 + 1e-12
    half_full = one.bare.deposit_limit * filters.room
    np.testing.assert_allclose(filters.fullness(half_full), 1)
    np.testing.assert_allclose(filters.fullness(half_full * in_face), 1)
    np.testing.assert_allclose(filters.fullness(half_full * ~in_face), 0, atol=1e-15)


def test_a_full_layer_hands_its_dirt_on():
    filters = filters_of([pad("fine", AREA, DEPTH)])
    mass = 0 * filters.room
    mass[0, 0] = filters.full[0, 0]
    clean, now = (filters.efficiency(np.array([1e-4]), m)[0] for m in (0 * mass, mass))
    np.testing.assert_array_equal(now[0], 0)
    np.testing.assert_array_equal(now[1:], clean[1:])


def test_settling_follows_the_flow_and_stops_when_full():
    filters = filters_of([settling_space(AREA, DEPTH), pad("fine", AREA, DEPTH)])
    empty = np.zeros((1, 1 + LAYERS))
    full = empty.copy()
    full[0, 0] = filters.room[0, 0]
    fast, slow = (filters.efficiency(np.array([q]), empty)[0] for q in (4e-4, 1e-4))
    assert np.all(slow[0] > fast[0])
    np.testing.assert_array_equal(slow[1:], fast[1:])
    # One stirred cell: w A / Q = 1e-3 x 0.04 / 4e-4 = 0.1.
    assert fast[0, 2] == pytest.approx(1 - 1 / 1.1)
    np.testing.assert_array_equal(filters.efficiency(np.array([1e-4]), full)[0, 0], 0)
    still = filters.efficiency(np.array([0.0]), empty)[0, 0]
    np.testing.assert_allclose(still, 1)


@given(
    st.lists(st.lists(st.floats(0, 1), min_size=4, max_size=4), min_size=1, max_size=5),
    st.floats(0, 1e-3),
    st.floats(0, 1e6),
    st.lists(st.floats(0, 1e-2), min_size=4, max_size=4),
    st.floats(0, 1e-3),
)
def test_a_step_loses_nothing(efficiencies, flow, seconds, afloat, loss):
    held = np.array([efficiencies])
    made = np.array([1e-8, 0, 3e-8, 2e-7])
    before = Dirt.none(held.shape)
    before.afloat = np.array([afloat])
    tank = Tank(made, 0.2, loss)
    after = advance(before, Shares.of(held), np.array([flow]), tank, seconds)
    there = after.caught.sum(axis=1) + after.afloat + after.lost
    np.testing.assert_allclose(there[0], afloat + made * seconds, rtol=1e-9, atol=1e-18)
    for part in (after.caught, after.afloat, after.lost):
        assert np.all(part >= -1e-17)  # what is left of a difference of equals
    leaving = flow * (1 - np.prod(1 - held[0], axis=0)) + loss * 0.2
    exact = concentration_after.bare(np.array(afloat) / 0.2, made, leaving, 1.0, 0.2, seconds)
    np.testing.assert_allclose(after.afloat[0] / 0.2, exact, rtol=1e-9, atol=1e-15)


def test_filter_and_loss_share_what_leaves_the_tank():
    """By the rates of both: 2 turnovers an hour of which half is held, against 3 an hour lost."""
    held, flow = np.full((1, 1, 4), 0.5), np.array([2 * 0.2 / 3600])
    before = Dirt.none(held.shape)
    before.afloat = np.full((1, 4), 1.0)
    tank = Tank(np.zeros(4), 0.2, 3 / 3600)
    after = advance(before, Shares.of(held), flow, tank, 1800.0)
    np.testing.assert_allclose(after.afloat, np.exp(-2))
    np.testing.assert_allclose(after.lost, 3 * after.caught[:, 0])


def test_without_a_tank_what_is_not_held_has_passed():
    held = np.full((1, 2, 4), 0.5)
    tank = Tank(np.full(4, 1e-6), None, 1.0)
    after = advance(Dirt.none(held.shape), Shares.of(held), np.array([1e-4]), tank, 100.0)
    np.testing.assert_allclose(after.caught[0, 0], 5e-5)
    np.testing.assert_allclose(after.caught[0, 1], 2.5e-5)
    np.testing.assert_allclose(after.passed[0], 2.5e-5)
    np.testing.assert_array_equal(after.lost, 0)


def test_many_filters_at_once_are_each_as_if_alone():
    stacks = [[pad(a, AREA, DEPTH), pad(b, AREA, DEPTH)] for a in ("coarse", "fine")
              for b in ("medium", "fine")]  # fmt: skip
    together = filters_of(*stacks)
    circuit = Circuit.of(PUMP, [HOSE])
    mass = 0.4 * together.room
    flows = flow_of(together, circuit, mass)
    for at, stack in enumerate(stacks):
        alone = flow_of(filters_of(stack), circuit, mass[at : at + 1])
        assert alone[0] == pytest.approx(flows[at], rel=1e-12)
