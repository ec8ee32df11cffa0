"""How sure: the band holds the best guess and each single change, and says what matters most."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from aqualib.filtration.porous_piece.balance import Water
from aqualib.filtration.porous_piece.film_parameters import FILM_ROWS, film_with, row_of
from aqualib.filtration.porous_piece.piece import solved_piece, working_piece
from aqualib.filtration.porous_piece.shells import Piece
from aqualib.filtration.porous_piece.uncertainty import ANSWERS, CERTAIN, FILM, piece_doubt
from aqualib.units import Q

BALL = Piece("sphere", 0.01, 0.5, 2e-4, 1e-4)
WATER = Water(298.15, 0.0, 7e-3, 2e-3, None, 1e-2, 2e-2, 0.005)


@pytest.fixture(scope="module")
def result():
    return solved_piece(BALL, WATER)


@pytest.fixture(scope="module")
def doubt(result):
    return piece_doubt(result)


def test_band_holds_the_best_guess(result, doubt):
    for name in ANSWERS:
        assert doubt.low[name] <= getattr(result, name) <= doubt.high[name], name
    assert doubt.low["anoxic_share"] >= 0.0
    assert doubt.high["anoxic_share"] <= 1.0
    assert doubt.high["working_depth"] <= BALL.outer


def test_band_holds_each_single_change(doubt):
    for name, (low, high) in doubt.swings.items():
        assert doubt.low["nitrified"] <= min(low, high) * (1 + 1e-9), name
        assert doubt.high["nitrified"] >= max(low, high) * (1 - 1e-9), name


def test_swings_are_runs_at_the_ends_of_the_rows(doubt):
    for name in ("ammonia_rate", "tortuosity"):
        row = row_of(name)
        for end, swing in zip((row.low, row.high), doubt.swings[name], strict=True):
            run = solved_piece(BALL, WATER, film_with(**{name: row.to_base(end)}))
            assert swing == pytest.approx(run.nitrified, rel=1e-8)


def test_factors_add_as_squares_of_logarithms(result, doubt):
    best = result.nitrified
    ups = [max(np.log(max(ends) / best), 0.0) for ends in doubt.swings.values()]
    assert np.log(doubt.high["nitrified"] / best) == pytest.approx(np.sqrt(np.sum(np.square(ups))))


def test_widest_first_and_every_assumption_is_there(doubt):
    widths = [abs(high - low) for low, high in doubt.swings.values()]
    assert widths == sorted(widths, reverse=True)
    assert doubt.largest == next(iter(doubt.swings))
    wanted = {n for n in FILM_ROWS if n not in CERTAIN and row_of(n).low < row_of(n).high} | {FILM}
    assert set(doubt.swings) == wanted


def test_a_film_that_is_known_is_no_doubt(result):
    known = piece_doubt(result, film_known=True)
    assert FILM not in known.swings
    assert known.high["nitrified"] <= piece_doubt(result).high["nitrified"]


def test_nothing_stays_nothing():
    starved = solved_piece(BALL, replace(WATER, organic=0.0))
    doubt = piece_doubt(starved)
    assert doubt.low["denitrified"] == doubt.high["denitrified"] == 0.0
    assert all(np.isfinite(list(ends.values())).all() for ends in (doubt.low, doubt.high))


def test_solid_and_closed_pieces_have_a_band_too():
    for piece in (replace(BALL, porosity=0.0), replace(BALL, pore_diameter=5e-6)):
        doubt = piece_doubt(solved_piece(piece, WATER))
        assert doubt.low["nitrified"] < doubt.high["nitrified"]


def test_a_result_with_units_has_a_band_with_units():
    found = working_piece(
        "sphere", Q(10, "mm"), Q(2, "mg/L"), Q(7, "mg/L"), Q(25, "degC"),
        organic_carbon=Q(20, "mg/L"),
    )  # fmt: skip
    with_units, bare = piece_doubt(found), piece_doubt(solved_piece(BALL, WATER))
    assert with_units.low["nitrified"].m_as("kg/m**2/s") == pytest.approx(bare.low["nitrified"])
    assert with_units.high["working_depth"].m_as("m") == pytest.approx(bare.high["working_depth"])
    assert with_units.high["anoxic_share"] == pytest.approx(bare.high["anoxic_share"])
    assert with_units.swings["film"][0].m_as("kg/m**2/s") == pytest.approx(bare.swings["film"][0])
