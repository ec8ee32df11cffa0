"""Cutting a piece: shells fill it, lie in the right layer, and carry the right numbers."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.biofilm.diffusion import SPECIES
from aqualib.filtration.biofilm.zero_order import PIECE_SHAPES
from aqualib.filtration.porous_piece.film_parameters import film_with
from aqualib.filtration.porous_piece.reactions import ORGANIC, OXYGEN
from aqualib.filtration.porous_piece.shells import FILM_CELLS, PORE_CELLS, Piece, layers, shells_of

EACH_SHAPE = pytest.mark.parametrize("shape", PIECE_SHAPES)


def piece(shape="sphere", size=0.01, porosity=0.5, pore=200e-6, film=1e-4):
    return Piece(shape, size, porosity, pore, film)


def volume(shape, radius):
    """Volume per length of a cylinder, per two faces of a slab."""
    return {
        "slab": 2.0 * radius,
        "cylinder": np.pi * radius**2,
        "sphere": 4.0 / 3.0 * np.pi * radius**3,
    }[shape]


def surface(shape, radius):
    return {
        "slab": 2.0,
        "cylinder": 2.0 * np.pi * radius,
        "sphere": 4.0 * np.pi * radius**2,
    }[shape]


@EACH_SHAPE
def test_cells_fill_piece_and_film(shape):
    one = piece(shape)
    cut = layers(one, film_with())
    assert cut.cells.count == FILM_CELLS + PORE_CELLS
    whole = volume(shape, one.outer) / surface(shape, one.outer)
    assert cut.cells.volumes.sum() == pytest.approx(whole)
    inside = cut.cells.volumes[~cut.in_film].sum()
    assert inside == pytest.approx(volume(shape, one.radius) / surface(shape, one.outer))
    assert inside == pytest.approx(one.volume_per_area)
    assert one.radius in cut.cells.faces
    assert np.all(np.diff(cut.cells.faces) > 0.0)


@EACH_SHAPE
def test_sphere_of_the_same_surface(shape):
    one = piece(shape)
    per_volume = surface(shape, one.outer) / volume(shape, one.outer)
    assert one.sphere_diameter == pytest.approx(6.0 / per_volume)


def test_cells_are_thin_at_the_surface_and_at_the_border():
    cut = layers(piece(size=0.03), film_with())
    thick = np.diff(cut.cells.faces)
    film = thick[cut.in_film]
    pores = thick[~cut.in_film]
    assert film[[0, -1]].max() < 0.4 * film.max()
    assert pores[-1] == pores.min()
    assert pores[-1] < 1e-5
    # Neighbours differ little, so that errors fall as the square.
    assert np.all(pores[1:] / pores[:-1] > 0.8)


def test_twice_as_fine_halves_each_cell():
    coarse, fine = (layers(piece(), film_with(), fineness).cells for fineness in (1.0, 2.0))
    assert fine.count == 2 * coarse.count
    assert fine.faces[::2] == pytest.approx(coarse.faces)


@EACH_SHAPE
def test_a_solid_piece_is_only_its_film(shape):
    one = piece(shape, porosity=0.0)
    cut = layers(one, film_with())
    assert cut.cells.count == FILM_CELLS
    assert cut.cells.faces[0] == one.radius
    assert cut.in_film.all()
    assert np.all(cut.density == 1.0)


def test_density_is_the_room_that_is_lived_in():
    cut = layers(piece(porosity=0.5, pore=200e-6), film_with(pore_film=20e-6))
    assert cut.density[cut.in_film] == pytest.approx(1.0)
    assert cut.density[~cut.in_film] == pytest.approx(0.5 * 0.36)
    closed = layers(piece(pore=1e-6), film_with())
    assert np.all(closed.density[~closed.in_film] == 0.0)


def test_diffusivities_of_film_and_pores():
    bare = np.full(len(SPECIES), 2e-9)
    assumed = film_with(film_share=0.5, film_organic_share=0.2, tortuosity=2.0, pore_film=20e-6)
    one = piece(porosity=0.4, pore=200e-6)
    spread = layers(one, assumed).diffusivity(one, assumed, bare)
    cut = layers(one, assumed)
    film, pores = spread[cut.in_film][0], spread[~cut.in_film][0]
    assert film[[OXYGEN, ORGANIC]] == pytest.approx([1e-9, 0.4e-9])
    # 36 % of the way through the pores is film.
    assert pores[OXYGEN] == pytest.approx(2e-9 * 0.4 / 2.0 * (1.0 - 0.36 * 0.5))
    assert pores[ORGANIC] == pytest.approx(2e-9 * 0.4 / 2.0 * (1.0 - 0.36 * 0.8))
    wide = piece(porosity=0.4, pore=1.0)
    empty = layers(wide, assumed).diffusivity(wide, assumed, bare)[0, OXYGEN]
    assert empty == pytest.approx(2e-9 * 0.4 / 2.0, rel=1e-3)


def test_cells_are_cut_once():
    again = (3, 0.005, 1e-4, 1.0)
    assert shells_of(*again, solid=False) is shells_of(*again, solid=False)
