"""Sour water and the film: never a gain, no jump at 6.5, and the ends that others measured."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.biofilm import acid_share, film_limits
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError

PH, LOSS = st.floats(5, 10), st.floats(0, 2)


@given(PH, PH, LOSS)
def test_sourer_water_never_helps(one, other, loss):
    sour, less = sorted((one, other))
    assert 0.0 <= acid_share(sour, loss) <= acid_share(less, loss) <= 1.0
    # No jump: a hundredth of a unit takes no more than its hundredth of the loss.
    assert acid_share(less, loss) - acid_share(max(less - 0.01, 5), loss) <= 0.01 * loss + 1e-12


def test_the_rows_ends_are_what_was_measured():
    row = parameter("film_acid_loss")
    # Villaverde and others 1997: 13 % a unit. Forster 1974: all work stopped at pH 5.5.
    assert acid_share(5.5) == pytest.approx(0.87)
    assert acid_share(5.5, row.high) == 0.0
    # Two works that saw no loss at pH 6 and at 4.3: the low end is next to none.
    assert acid_share(6.0, row.low) > 0.99


def test_arrays_give_what_numbers_give_and_a_film_takes_them():
    ph = np.array([5.0, 6.0, 6.5, 7.5])
    most = film_limits(Q(25, "degC"), ph=ph).ammonia_most.m
    alone = [film_limits(Q(25, "degC"), ph=float(x)).ammonia_most.m for x in ph]
    assert most == pytest.approx(alone)
    assert most[2] == most[3] == film_limits(Q(25, "degC")).ammonia_most.m


def test_a_film_gains_nothing_above_30_degrees():
    """Its bacteria work as at 30; the oxygen is that of the hot water, which holds less."""
    same = [film_limits(Q(t, "degC"), oxygen=Q(6, "mg/L")) for t in (30, 31, 34)]
    assert len({film.ammonia_most.m for film in same}) == 1
    assert len({film.transfer.m for film in same}) == 1
    in_air = [film_limits(Q(t, "degC")).ammonia_most.m for t in (29, 30, 31, 34)]
    assert in_air[0] < in_air[1] > in_air[2] > in_air[3]


def test_water_in_which_nobody_measured_is_refused():
    with pytest.raises(ValidityError, match=r"^ph = 4\.9 .* Valid: 5 to 10 .*Villaverde"):
        acid_share(4.9)
