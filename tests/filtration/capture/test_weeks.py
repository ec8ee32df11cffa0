"""The steps of a run: short where something changes, and blind to how long the run shall be."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.capture import weeks
from aqualib.filtration.capture.clogging import AS_GOOD_AS_FULL, Circuit, Filters, Tank
from aqualib.filtration.capture.pads import pad, settling_space
from aqualib.filtration.capture.particle_sizes import size_classes
from aqualib.filtration.capture.run import sinking_speeds
from aqualib.filtration.capture.weeks import moments
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.units import Q

AREA, DEPTH = Q(490.874, "cm**2"), Q(40, "mm")
DAY, WARM = 86400.0, 298.15
CIRCUIT = Circuit.of(PumpCurve(2.2, 1.2 / 3600), [lambda flow: 1.3 * (flow * 3600) ** 2])
SIZES = size_classes(count=12)
TANK = Tank(1e-3 / DAY * SIZES.mass_shares, 0.2, 5 / DAY)
SPACE = settling_space(AREA, Q(50, "mm"))


def filters_of(*stacks):
    stacks = [[SPACE, *(pad(grade, AREA, DEPTH) for grade in stack)] for stack in stacks]
    return Filters.of(stacks, SIZES.diameters, sinking_speeds(SIZES, WARM), WARM, 0.0, 8)


def course(*stacks, days=180, tank=TANK, circuit=CIRCUIT, **rest):
    return list(moments(filters_of(*stacks), circuit, tank, days * DAY, 0.5, **rest))


@pytest.mark.parametrize("stack", [("coarse", "medium", "fine"), ("fine", "medium", "coarse")])
def test_steps_an_eighth_as_long_give_the_same(stack, monkeypatch):
    usual = course(stack)
    for name in ("FIRST", "GROWTH", "LONGEST", "STEEPEST"):
        monkeypatch.setattr(weeks, name, getattr(weeks, name) / 8)
    finer = course(stack)
    assert len(finer) > 5 * len(usual)
    for day in (10, 50, 100, 180):
        mass, flow, due = (
            [np.array([np.interp(day * DAY, [m.time[0] for m in run], series)
                       for series in np.array([getattr(m, part)[0].ravel() for m in run]).T])
             for run in (usual, finer)]
            for part in ("mass", "flow", "due")
        )  # fmt: skip
        np.testing.assert_allclose(mass[0].sum(), mass[1].sum(), rtol=3e-3)
        np.testing.assert_allclose(flow[0], flow[1], atol=0.05 * usual[0].flow[0])
        np.testing.assert_allclose(due[0][:-1], due[1][:-1], atol=0.02)


def test_steps_are_short_where_a_layer_fills_and_long_where_nothing_happens():
    run = course(("fine", "medium", "coarse"))
    time = np.array([m.time[0] for m in run]) / DAY
    filters = filters_of(("fine",))
    fill = np.array([m.mass[0, 1] for m in run]) / filters.full[0, 1]
    at = int(np.flatnonzero(fill >= AS_GOOD_AS_FULL)[0])
    # The step ends with the layer full, not after it.
    assert fill[at] < 1.005
    assert np.diff(time)[at - 1] < 0.5 * np.diff(time).max()
    assert np.diff(time).max() == pytest.approx(10)
    assert time[-1] == 180


def test_no_step_lets_the_resistance_jump():
    run = course(("fine", "fine", "fine"))
    felt = np.array([m.resistance[0].sum() for m in run])
    felt += weeks.UNFELT * CIRCUIT.spare[0] / CIRCUIT.flows[-1]
    # A step is as long as today's catch allows, which is not quite that of the whole step.
    assert 1 + 0.5 * weeks.STEEPEST < np.max(felt[1:] / felt[:-1]) < 1 + 1.5 * weeks.STEEPEST


def test_how_long_a_run_shall_be_moves_no_step_but_the_last():
    short, long = (course(("fine", "coarse"), days=days) for days in (40, 400))
    for here, there in zip(short[:-1], long, strict=False):
        assert here.time == there.time
        np.testing.assert_array_equal(here.mass, there.mass)


def test_each_filter_stops_when_it_is_due():
    stacks = [("coarse", "medium", "fine"), ("fine", "medium", "coarse"), ("fine", "fine", "fine")]
    together = course(*stacks, until_due=True)
    last = together[-1]
    assert np.all(last.due.max(axis=-1) >= 1)
    for at, stack in enumerate(stacks):
        (end,) = course(stack, until_due=True)[-1].time
        assert last.time[at] == end
    assert last.time[0] > 2 * last.time[1]


def test_without_flow_all_dirt_leaves_by_other_ways():
    too_high = Circuit.of(PumpCurve(2.2, 1.2 / 3600), [lambda flow: 3.0 + 0 * flow])
    end = course(("fine",), circuit=too_high)[-1]
    assert end.flow[0] == 0
    assert end.mass.max() == 0
    made = TANK.made.sum() * 180 * DAY
    assert (end.dirt.lost + end.dirt.afloat).sum() == pytest.approx(made)
    assert end.due[0, -1] == 0
