"""Start-up on paper: what cannot be is refused, and the pieces fit one another."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.tank.maturation.start_up import (
    ammonia_at_rest,
    doubling_time,
    head_start,
    lowest_substrate,
    nitrite_peak,
)
from aqualib.units import Q
from aqualib.validity import ValidityError


def a_day(value):
    return Q(value, "1/day")


def test_doubling_is_a_head_start_of_two():
    assert head_start(2, a_day(0.8), a_day(0.05)) == doubling_time(a_day(0.8), a_day(0.05))


@pytest.mark.parametrize("function", [doubling_time, lambda g, b: head_start(10, g, b)])
def test_bacteria_that_die_out_have_no_doubling_time(function):
    with pytest.raises(ValidityError, match=r"growth.*die out"):
        function(a_day(0.1), a_day(0.1))


def test_shortest_stay_is_where_food_left_has_no_end():
    """1 / (mu - b) is 1.3333 and 1.4620 days for the two sets."""
    for growth, decay, shortest in ((0.8, 0.05, 1.3333), (0.78, 0.096, 1.4620)):
        rates = (Q(1, "mg/L"), a_day(growth), a_day(decay))
        with pytest.raises(ValidityError, match=r"retention.*wash"):
            lowest_substrate(*rates, Q(shortest - 1e-4, "day"))
        assert lowest_substrate(*rates, Q(shortest + 1e-3, "day")).m > 500


def test_more_than_the_media_can_take():
    media = (Q(10, "m**2"), Q(0.3, "g/m**2/day"), Q(1, "mg/L"))
    with pytest.raises(ValidityError, match=r"load.*never stops rising"):
        ammonia_at_rest(Q(3, "g/day"), *media)
    assert ammonia_at_rest(Q(0, "g/day"), *media).m == 0.0


def test_equal_rates_have_no_such_formula_but_a_limit():
    with pytest.raises(ValidityError, match=r"second.*equals"):
        nitrite_peak(Q(4, "mg/L"), a_day(0.2), a_day(0.2))
    near = nitrite_peak(Q(4, "mg/L"), a_day(0.2), a_day(0.2001))
    assert near.time.m == pytest.approx(5.0, rel=1e-3)
    assert near.concentration.m == pytest.approx(4 / np.e, rel=1e-3)
