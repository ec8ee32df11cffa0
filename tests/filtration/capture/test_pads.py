"""Trays: what a pad or settling space is taken to be, and that it is said to be assumed."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.capture.pads import (
    GRADES,
    full_to,
    pad,
    pads_in_order,
    pads_loss,
    renamed,
    settling_space,
)
from aqualib.filtration.hydraulics import pad_loss, system_head
from aqualib.filtration.hydraulics.pads import foam_inertial_permeability, foam_permeability
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError

AREA, DEPTH = Q(400, "cm**2"), Q(40, "mm")


def test_room_and_capacity():
    coarse = pad("coarse", AREA, DEPTH, voidage=0.9, deposit_density=50.0, deposit_limit=0.5)
    assert coarse.room == pytest.approx(0.04 * 0.04 * 0.9 * 50)
    # An eighth of its depth is its working face.
    assert coarse.bare.working_face == pytest.approx(0.005)
    assert coarse.capacity == pytest.approx(coarse.room / 8 / 2)
    thin = pad("coarse", AREA, Q(2, "mm"))
    assert thin.capacity == pytest.approx(thin.room / 2)
    space = settling_space(AREA, DEPTH, deposit_density=30.0)
    assert space.capacity == space.room == pytest.approx(0.04 * 0.04 * 30)


@pytest.mark.parametrize("grade", GRADES)
def test_nature_is_that_of_the_rows(grade):
    one = pad(grade, AREA, Q(parameter("pad_reference_depth").value, "mm"))
    cut = parameter(f"{grade}_pad_cut_size")
    assert one.bare.cut_size == pytest.approx(cut.bare)
    assert one.efficiency(np.array([cut.bare]))[0] == pytest.approx(0.5)
    assert one.efficiency(np.array([one.bare.aperture]))[0] == 1
    ratio = parameter("pad_aperture_ratio").bare
    assert one.bare.aperture == pytest.approx(cut.bare * ratio)
    assert cut.basis == "assumed"
    cell = parameter(f"{grade}_pad_cell").bare
    assert one.bare.permeability == foam_permeability.bare(cell)
    assert one.bare.inertial_permeability == foam_inertial_permeability.bare(cell)
    assert one.bare.deposit_density == parameter(f"{grade}_pad_deposit_density").bare


def test_finer_pads_hold_more_and_let_less_water_through():
    pads = [pad(grade, AREA, DEPTH) for grade in GRADES]
    held = [p.efficiency(np.array([50e-6]))[0] for p in pads]
    assert held == sorted(held)
    permeabilities = [p.bare.permeability for p in pads]
    assert permeabilities == sorted(permeabilities, reverse=True)


def test_a_litre_of_sponge_holds_what_was_measured():
    """46 g held by the finest of five sponges set the scale, and coarser held much less.

    That abstract chose the numbers (HangingSponge2018). Another, which did not, found 23 to 46 g
    of volatile solids in a litre at full scale (HangingSpongeFullScale2016).
    """
    rooms = {grade: pad(grade, Q(100, "cm**2"), Q(100, "mm")).room * 1000 for grade in GRADES}
    # As one over the width of the cells, of the same amount on the same thread.
    for grade, room in rooms.items():
        cell = parameter(f"{grade}_pad_cell").value
        assert room == pytest.approx(46 * 0.56 / cell, rel=0.05)
    assert 23 < rooms["fine"] < 46
    assert rooms["coarse"] < 0.5 * rooms["fine"]


def test_twins_get_numbers():
    stages = [settling_space(AREA, DEPTH), pad("fine", AREA, DEPTH), pad("fine", AREA, DEPTH)]
    assert [s.name for s in renamed(stages)] == ["settling", "fine 1", "fine 2"]


BAD = {
    "grade": [lambda: pad("finest", AREA, DEPTH)],
    "area": [lambda: pad("fine", Q(0, "cm**2"), DEPTH)],
    "depth": [lambda: pad("fine", AREA, 40), lambda: settling_space(AREA, Q(1, "kg"))],
    "voidage": [lambda v=v: pad("coarse", AREA, DEPTH, voidage=v) for v in (-3.0, 2, np.nan, "x")],
    "cut_size": [lambda v=v: pad("fine", AREA, DEPTH, cut_size=v) for v in (Q(25, "g"), 1e3)],
    "deposit_limit": [lambda: pad("fine", AREA, DEPTH, deposit_limit=0.95)],
    "width": [lambda: pad("coarse", AREA, DEPTH, width=1.0)],
    "name": [lambda: pad("coarse", AREA, DEPTH, name="mine")],
    "cells": [lambda: settling_space(AREA, DEPTH, cells=0.0)],
}


@pytest.mark.parametrize("name", BAD)
def test_bad_stages(name):
    for make in BAD[name]:
        with pytest.raises(ValidityError) as caught:
            make()
        assert caught.value.parameter == name


def test_a_change_is_a_quantity_or_a_plain_si_number():
    plain, with_unit = (pad("fine", AREA, DEPTH, cut_size=cut) for cut in (25e-6, Q(25, "um")))
    assert plain.bare == pytest.approx(with_unit.bare)


def test_pads_in_a_row_take_what_each_takes_by_the_public_law():
    pads, warm, flow = pads_in_order(Q(491, "cm**2"), Q(45, "mm")), Q(25, "degC"), Q(700, "L/h")
    by_law = [
        pad_loss(
            one.area,
            depth=one.depth,
            permeability=one.permeability,
            inertial_permeability=one.inertial_permeability,
            temperature=warm,
            salinity=35,
            clogging=8,
        )
        for one in pads
    ]
    half_full = pads_loss(pads, 298.15, 35.0, full=0.5)
    assert half_full(flow).m == pytest.approx(system_head(by_law, flow).m, rel=1e-12)


def test_dirt_acts_by_the_cube_of_the_room_left():
    assert [full_to(share) for share in (0.0, 0.5, 0.9)] == pytest.approx([1, 8, 1000])
