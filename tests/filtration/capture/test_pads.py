"""Trays: what a pad or settling space is taken to be, and that it is said to be assumed."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.capture.pads import GRADES, pad, renamed, settling_space
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError

AREA, DEPTH = Q(400, "cm**2"), Q(40, "mm")


def test_room_and_capacity():
    coarse = pad("coarse", AREA, DEPTH, voidage=0.9, deposit_density=50.0, deposit_limit=0.5)
    assert coarse.room == pytest.approx(0.04 * 0.04 * 0.9 * 50)
    assert coarse.capacity == pytest.approx(coarse.room / 2)
    space = settling_space(AREA, DEPTH, deposit_density=30.0)
    assert space.capacity == space.room == pytest.approx(0.04 * 0.04 * 30)


@pytest.mark.parametrize("grade", GRADES)
def test_nature_is_that_of_the_rows(grade):
    one = pad(grade, AREA, Q(parameter("pad_reference_depth").value, "mm"))
    cut = parameter(f"{grade}_pad_cut_size")
    assert one.cut_size == pytest.approx(cut.bare)
    assert one.efficiency(np.array([cut.bare]))[0] == pytest.approx(0.5)
    assert one.efficiency(np.array([one.aperture]))[0] == 1
    assert one.aperture == pytest.approx(cut.bare * parameter("pad_aperture_ratio").bare)
    assert cut.basis == "assumed"


def test_finer_pads_hold_more_and_let_less_water_through():
    pads = [pad(grade, AREA, DEPTH) for grade in GRADES]
    held = [p.efficiency(np.array([50e-6]))[0] for p in pads]
    assert held == sorted(held)
    permeabilities = [p.permeability for p in pads]
    assert permeabilities == sorted(permeabilities, reverse=True)


def test_twins_get_numbers():
    stages = [settling_space(AREA, DEPTH), pad("fine", AREA, DEPTH), pad("fine", AREA, DEPTH)]
    assert [s.name for s in renamed(stages)] == ["settling", "fine 1", "fine 2"]


@pytest.mark.parametrize(
    ("make", "name"),
    [
        (lambda: pad("finest", AREA, DEPTH), "grade"),
        (lambda: pad("fine", Q(0, "cm**2"), DEPTH), "area"),
        (lambda: pad("fine", AREA, 40), "depth"),
        (lambda: settling_space(AREA, Q(1, "kg")), "depth"),
    ],
    ids=["grade", "area", "depth of pad", "depth of space"],
)
def test_bad_trays(make, name):
    with pytest.raises(ValidityError, match=name):
        make()
