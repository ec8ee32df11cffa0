"""Fittings: what each is worth, and that a step which is none costs nothing."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.hydraulics.fittings import (
    bend_coefficient,
    contraction_coefficient,
    expansion_coefficient,
    fitting_coefficient,
    fitting_head_loss,
)
from aqualib.units import Q
from aqualib.validity import ValidityError

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


def test_no_step_no_loss():
    assert contraction_coefficient(BORE, BORE) == pytest.approx(0, abs=1e-9)
    assert expansion_coefficient(BORE, BORE) == 0


def test_steps_the_wrong_way_are_refused():
    narrow = Q(12, "mm")
    with pytest.raises(ValidityError, match="expansion_coefficient"):
        contraction_coefficient(narrow, BORE)
    with pytest.raises(ValidityError, match="contraction_coefficient"):
        expansion_coefficient(BORE, narrow)


def test_more_bend_costs_more():
    turns = bend_coefficient(BORE, 5, 0.0255, Q([45, 90, 180], "degree"))
    assert np.all(np.diff(turns) > 0)
    assert turns[1] == pytest.approx(bend_coefficient(BORE, 5, 0.0255))
    assert turns[1] < fitting_coefficient("elbow", BORE) / 2
