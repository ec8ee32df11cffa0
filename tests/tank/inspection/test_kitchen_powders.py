"""The cut test: what a powder tells of a pad, worked by hand and put back into the pad's law."""

import math

import pytest

from aqualib.filtration.capture import pad
from aqualib.filtration.capture.pads import GRADES
from aqualib.parameters import parameter
from aqualib.tank.inspection.kitchen_powders import (
    HELD,
    POWDERS,
    bounds_of,
    cut_from_powders,
    grade_of,
)
from aqualib.units import Q
from aqualib.validity import ValidityError

THICK = parameter("pad_reference_depth").bare


def words_for(share):
    return next(word for word in HELD if bounds_of(word)[0] <= share <= bounds_of(word)[1])


@pytest.mark.parametrize("grade", GRADES)
def test_each_grade_is_told_by_what_it_holds(grade):
    """A pad of the table, poured through with grains of the table, is found to be what it is."""
    one = pad(grade, Q(400, "cm**2"), Q(THICK, "m"))
    catches = {
        name: words_for(float(one.efficiency(parameter(row).bare))) for name, row in POWDERS.items()
    }
    found = cut_from_powders(catches, THICK)
    assert grade_of(found.best) == grade
    assert found.low <= one.bare.cut_size <= found.high


def test_the_bounds_of_one_powder_by_hand():
    """Half of the flour, between 0.2 and 0.8: d √(ln 2 / 1.609) to d √(ln 2 / 0.2231)."""
    found = cut_from_powders({"flour": "about half"}, THICK)
    low, high = 70 * math.sqrt(0.6931 / 1.6094), 70 * math.sqrt(0.6931 / 0.2231)
    assert found.best * 1e6 == pytest.approx(math.sqrt(low * high), rel=1e-3)
    assert found.low * 1e6 == pytest.approx(low * 45 / 70, rel=1e-3)
    assert found.high * 1e6 == pytest.approx(high * 111 / 70, rel=1e-3)


def test_a_thicker_pad_that_holds_as_much_is_coarser():
    thin, thick = (cut_from_powders({"flour": "about half"}, depth).best for depth in (0.02, 0.08))
    assert thick == pytest.approx(2.0 * thin)


def test_what_lets_poppy_seeds_pass_is_coarser_than_any_grade():
    found = cut_from_powders({"poppy": "hardly any"}, THICK)
    assert found.best > parameter("coarse_pad_cut_size").bare
    assert grade_of(found.best) == "coarse"


@pytest.mark.parametrize(
    ("catches", "words"),
    [
        ({}, "catches"),
        ({"sugar": "about half"}, "powder"),
        ({"flour": "some"}, "flour"),
        ({"flour": "nearly all", "semolina": "hardly any"}, "fit no pad"),
    ],
)
def test_answers_that_fit_no_pad_are_refused(catches, words):
    with pytest.raises(ValidityError, match=words):
        cut_from_powders(catches, THICK)
