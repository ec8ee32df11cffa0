"""The way out and back: by hand, in parts, and as the list that a solver takes."""

from __future__ import annotations

import pytest

from aqualib.filtration.hydraulics import (
    PumpCurve,
    canister_head,
    canister_loop,
    fitting_coefficient,
    fitting_loss,
    hose_loss,
    operating_point,
    system_head,
)
from aqualib.units import Q

COOL = Q(20, "degC")
BORE, LONG = Q(16, "mm"), Q(3, "m")
FLOW = Q(700, "L/h")


def test_it_is_the_sum_of_its_parts_put_together_by_hand():
    bends = 0.5 + 1 + 4 * fitting_coefficient("elbow", BORE)
    by_hand = [hose_loss(BORE, LONG, COOL), fitting_loss(BORE, bends), fitting_loss(BORE, 12)]
    whole = canister_loop(BORE, LONG, 4, COOL, 12)
    assert system_head([*whole], FLOW).m == pytest.approx(system_head(by_hand, FLOW).m, rel=1e-12)
    pump = PumpCurve.from_limits(Q(2, "m"), Q(1150, "L/h"))
    at = operating_point(pump, whole)
    parts = canister_head(at.flow, BORE, LONG, 4, COOL, 12)
    assert sum(part.m for part in parts) == pytest.approx(at.head.m, rel=1e-9)


def test_a_wider_hose_leaves_the_filter_s_own_parts_as_they_were():
    wide = canister_head(FLOW, Q(25, "mm"), LONG, 4, COOL, own_bore=BORE)
    narrow = canister_head(FLOW, BORE, LONG, 4, COOL)
    assert wide.own_parts == narrow.own_parts
    # Friction falls with nearly the fifth power of the bore, bends with the fourth.
    assert wide.hose.m / narrow.hose.m == pytest.approx((16 / 25) ** 4.75, rel=0.03)
    assert wide.fittings < narrow.fittings * (16 / 25) ** 4
