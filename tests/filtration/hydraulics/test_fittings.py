"""Fittings: what each is worth, and that a step which is none costs nothing."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.hydraulics.fittings import (
    fitting_coefficient,
    fitting_head_loss,
)
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
