"""Fittings: what each is worth, and that a step which is none costs nothing."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.hydraulics.fittings import (
    fitting_coefficient,
    fitting_head_loss,
)
from aqualib.filtration.hydraulics.hose import friction_factor
from aqualib.units import Q

BORE = Q(16, "mm")


def test_head_grows_with_the_square_of_flow_and_adds_up():
    heads = fitting_head_loss(Q([500, 1000], "L/h"), BORE, 2.5).m
    assert heads[1] / heads[0] == pytest.approx(4)
    parts = [fitting_head_loss(Q(1, "m**3/h"), BORE, k).m for k in (0.5, 1, 1.5)]
    assert parts[0] + parts[1] == pytest.approx(parts[2])


def test_ends_do_not_depend_on_the_bore():
    for kind, value in (("entrance", 0.5), ("exit", 1.0)):
        np.testing.assert_array_equal(fitting_coefficient(kind, Q([8, 16, 25], "mm")), value)


def test_elbow_is_ten_ball_valves():
    elbow, valve = (fitting_coefficient(kind, BORE) for kind in ("elbow", "ball valve"))
    assert elbow == pytest.approx(10 * valve)


def test_two_pipes_in_series_and_a_contraction_that_disagrees():
    """Cast-iron pipes of 0.6 and 0.4 m, 0.5 m³/s: 13.337 m lost, contraction 0.24 (PipesInSeries).

    For the contraction the library has 0.38, so its K and theirs disagree by half, and ours is
    neither: no part of a filter's loop narrows so. All losses together differ by 1 %, since the
    pipes' walls take most of them.
    """
    from fluids.fittings import contraction_sharp

    flow, roughness, viscosity = 0.5, 0.26e-3, 1.31e-6
    lost = 0.0
    for bore, ends in ((0.6, ("entrance",)), (0.4, ("exit",))):
        velocity = flow / (np.pi / 4 * bore**2)
        wall = friction_factor(velocity * bore / viscosity, roughness / bore) * 300 / bore
        k = sum(fitting_coefficient(end, Q(bore, "m")) for end in ends)
        lost += (wall + k) * velocity**2 / (2 * 9.80665)
    library = contraction_sharp(0.6, 0.4)
    assert library == pytest.approx(0.384, abs=5e-4)
    assert library / 0.24 == pytest.approx(1.6, abs=0.01)
    both = [lost + k * velocity**2 / (2 * 9.80665) for k in (0.24, library)]
    assert both == pytest.approx([13.337, 13.48], rel=0.012)
    assert both[1] - both[0] == pytest.approx(0.116, abs=0.005)
