"""What is assumed: the rows stand behind it, and nonsense is refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.porous_piece.film_parameters import (
    FILM_ROWS,
    FilmParameters,
    film_with,
    pore_film_share,
    row_of,
)
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError


def test_every_number_has_a_row():
    assumed = film_with()
    assert set(FILM_ROWS) == set(FilmParameters.__slots__)
    for name, row in FILM_ROWS.items():
        assert getattr(assumed, name) == parameter(row).bare, name
        assert row_of(name).name == row


def test_a_change_changes_one_number():
    assumed = film_with(tortuosity=3.0)
    assert assumed.tortuosity == 3.0
    assert assumed.film_share == film_with().film_share


@pytest.mark.parametrize("value", [0.0, -1.0, np.nan, np.inf])
@pytest.mark.parametrize("name", ["ammonia_half", "tortuosity", "film_share"])
def test_what_cannot_be_is_refused(name, value):
    with pytest.raises(ValidityError, match=name):
        film_with(**{name: value})


@pytest.mark.parametrize("name", ["heterotroph_yield", "denitrifier_yield", "film_share"])
def test_a_share_is_less_than_all(name):
    with pytest.raises(ValidityError, match=name):
        film_with(**{name: 1.2})
    if name.endswith("yield"):
        with pytest.raises(ValidityError, match=name):
            film_with(**{name: 1.0})


def test_unknown_assumption_is_named():
    with pytest.raises(ValidityError, match="moon_phase"):
        film_with(moon_phase=1.0)


widths = st.floats(0.02, 1e4)


@given(widths, st.floats(0.0, 1e3))
def test_share_is_the_ring_of_the_film(width, film):
    share = pore_film_share(Q(width, "um"), Q(film, "um"), Q(0.0, "um"))
    ring = np.pi * (width / 2) ** 2 - np.pi * max(width / 2 - film, 0.0) ** 2
    assert share == pytest.approx(ring / (np.pi * (width / 2) ** 2), abs=1e-9)
    assert 0.0 <= share <= 1.0


@given(st.floats(10.0, 1e4), st.floats(10.0, 1e4))
def test_wider_pores_are_less_full(one, other):
    small, large = sorted((one, other))
    shares = pore_film_share(Q(np.array([small, large]), "um"))
    assert shares[0] >= shares[1]


def test_narrow_pores_are_closed():
    limit = parameter("smallest_open_pore").value
    below, above = pore_film_share(Q([0.99 * limit, 1.01 * limit], "um"))
    assert below == 0.0
    assert above > 0.0
