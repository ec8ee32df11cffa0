"""The fitting code, on readings and constants from outside the project."""

import numpy as np
import pytest
from scipy.special import ndtr

from aqualib.tank.test_log.least_squares import beyond, estimate, saturation_constants
from aqualib.units import Q
from aqualib.validity import ValidityError

# Puromycin: concentration (ppm) and rate (counts/min/min), Treloar 1974, in Bates & Watts 1988,
# appendix A1.3; retyped.
CONCENTRATION = [0.02, 0.02, 0.06, 0.06, 0.11, 0.11, 0.22, 0.22, 0.56, 0.56, 1.10, 1.10]
TREATED = [76, 47, 97, 107, 123, 139, 159, 152, 191, 201, 207, 200]
UNTREATED = [67, 51, 84, 86, 98, 115, 131, 124, 144, 158, 160]


def test_saturation_constants_of_treated_cells():
    """As R's nls prints them: 2.127e+02 (6.947e+00), 6.412e-02 (8.281e-03)."""
    found = saturation_constants(CONCENTRATION, TREATED)
    assert found.largest == pytest.approx(212.7, abs=0.05)
    assert found.half == pytest.approx(0.06412, abs=5e-6)
    assert found.largest_error == pytest.approx(6.947, abs=5e-4)
    assert found.half_error == pytest.approx(0.008281, abs=5e-7)
    # The digits of another print: 212.68370711, 0.06412123, and 1195.449 for the sum of squares.
    assert found.largest == pytest.approx(212.68370711, abs=1e-3)
    curve = found.largest * np.array(CONCENTRATION) / (found.half + np.array(CONCENTRATION))
    assert np.sum((curve - TREATED) ** 2) == pytest.approx(1195.449, abs=5e-4)


def test_saturation_constants_of_untreated_cells():
    """160.3 and 0.0477 (from memory)."""
    found = saturation_constants(CONCENTRATION[:11], UNTREATED)
    assert found.largest == pytest.approx(160.3, abs=0.05)
    assert found.half == pytest.approx(0.0477, abs=5e-5)


def test_exact_readings_give_exact_constants():
    c = np.array([0.1, 0.5, 1.0, 3.0, 10.0])
    found = saturation_constants(c, 7.0 * c / (0.4 + c))
    assert (found.largest, found.half) == pytest.approx((7.0, 0.4), rel=1e-6)


@pytest.mark.parametrize(
    ("c", "v"),
    [
        ([1, 2], [1, 2]),
        ([1, 1, 1], [1, 2, 3]),
        ([1, 2, 3], [1, 2]),
        ([1, 2, float("nan")], [1, 2, 3]),
        ([1, 2, 3], [1, float("inf"), 3]),
        ([-1, 2, 3], [1, 2, 3]),
        ([1, 2, 3], [0, 0, 0]),
        ([1, 2, 3], [1, 2, 1e308]),
        ("many", [1, 2, 3]),
        ([1, 2, 3], None),
        (["a", "b", "c"], [1, 2, 3]),
        ([1, 2, 3], [1j, 2, 3]),
        ([1, 2, 3], [True, False, True]),
        ([[1, 2], [3, 4]], [[1, 2], [3, 4]]),
        (Q([1, 2, 3], "mg/L"), [1, 2, 3]),
        (np.ma.array([1.0, 2.0, 3.0], mask=[1, 0, 0]), [1, 2, 3]),
    ],
)
def test_too_little_or_bad_readings_are_refused(c, v):
    with pytest.raises(ValidityError, match=r"concentrations|rates"):
        saturation_constants(c, v)


@pytest.mark.parametrize("v", [[1, 1, 1], [3, 2, 1], [1, 2, 3], [1, 4, 9]])
def test_rates_that_hold_no_constants_are_refused(v):
    """The search would end somewhere, at constants a thousand times beyond all readings."""
    with pytest.raises(ValidityError, match="does not bend"):
        saturation_constants([1, 2, 3], v)


def test_a_straight_line_is_fitted_as_the_textbook_says():
    x = np.array([0.0, 1.0, 2.0, 3.0, 4.0])
    y = np.array([1.1, 2.9, 5.2, 6.8, 9.1])
    found = estimate(lambda p: y - p[0] - p[1] * x, [0.0, 0.0], 1e-3)
    slope, constant = np.polyfit(x, y, 1)
    assert found.values == pytest.approx([constant, slope], rel=1e-6)
    design = np.column_stack([np.ones(5), x])
    assert found.covariance == pytest.approx(np.linalg.inv(design.T @ design), rel=1e-6)


def test_beyond_is_the_chance_of_a_limit():
    room = np.array([-30.0, -3.0, 0.0, 1.0, 5.0])
    assert np.exp(-0.5 * beyond(room) ** 2)[1:] == pytest.approx(ndtr(room)[1:], rel=1e-9)
    # Far on the wrong side it counts as a reading does; far on the right side, nothing.
    assert beyond(np.array([-30.0]))[0] == pytest.approx(30.0, rel=0.01)
    assert beyond(np.array([50.0]))[0] == 0.0
    assert np.all(np.diff(beyond(room)) < 0.0)
