"""Kilograms, litres and trays: there and back, and what walls cost."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.media.packing import wall_voidage
from aqualib.filtration.media.tray_fill import (
    cost_per_area,
    media_in_tray,
    media_mass,
    media_volume,
)
from aqualib.units import Q
from aqualib.validity import ValidityError


def tray(length=200, width=150, size=15, voidage=0.4):
    sides = Q(length, "mm"), Q(width, "mm"), Q(60, "mm")
    return media_in_tray(*sides, Q(size, "mm"), voidage, Q(1125, "kg/m**3"))


@given(st.floats(0, 100), st.floats(5, 5000))
def test_kilograms_to_litres_and_back(mass, density):
    assert media_mass.bare(media_volume.bare(mass, density), density) == pytest.approx(mass)


def test_wide_tray_holds_what_is_on_paper():
    found = tray(10000, 10000, 1)
    assert found.voidage == pytest.approx(0.4, abs=1e-4)
    paper = media_mass(found.volume, Q(0.6 * 1125, "kg/m**3"))
    assert found.mass.m_as("kg") == pytest.approx(paper.m_as("kg"), rel=1e-3)


def test_square_tray_loosens_balls_as_a_round_one_does():
    found = tray(100, 100, 15, 0.39)
    assert found.voidage == pytest.approx(wall_voidage(Q(15, "mm"), Q(100, "mm")))


@pytest.mark.parametrize("size", [5, 10, 30])
def test_larger_pieces_fill_a_tray_less(size):
    assert tray(size=2 * size).mass < tray(size=size).mass


def test_mass_volume_and_voidage_belong_together():
    found = tray()
    solid = found.mass.m_as("kg") / 1125 / found.volume.m_as("m**3")
    assert solid == pytest.approx(1 - found.voidage)
    assert found.volume.m_as("L") == pytest.approx(1.8)


def test_tray_narrower_than_pieces_is_refused():
    with pytest.raises(ValidityError, match="too narrow"):
        tray(40, 10, 15)


@given(st.floats(0, 1e3), st.floats(0.01, 100))
def test_cost(price, area):
    assert cost_per_area.bare(price, area) * area == pytest.approx(price)


def test_no_area_has_no_price():
    with pytest.raises(ValidityError, match="area_per_mass"):
        cost_per_area(12, Q(0, "m**2/kg"))
