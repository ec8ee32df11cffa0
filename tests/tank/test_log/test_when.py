"""A day is said with its width, no finer than it is known, and without an end that is not there."""

import numpy as np
import pytest

from aqualib.draws import Band
from aqualib.tank.test_log.when import day_and_width, two_figures


@pytest.mark.parametrize(
    ("band", "words"),
    [
        (Band(23.8, 24.4, 25.1), "day 24, ± ½ day"),
        (Band(22.0, 24.0, 28.5), "day 25, ± 3 days"),
        (Band(13.5, 22.0, 31.1), "day 22, ± 9 days"),
        (Band(23.0, 24.0, 25.4), "day 24, ± 1 day"),
        (Band(40.0, 60.0, 90.0), "day 65, ± 25 days"),
        (Band(24.40, 24.44, 24.44), "day 24, ± ½ day"),
        (Band(21.7, 30.0, np.inf), "not before day 22, its end open"),
        (Band(np.inf, np.inf, np.inf), "not within sight"),
    ],
)
def test_day_and_width(band, words):
    assert day_and_width(band) == words


@pytest.mark.parametrize(
    ("value", "words"), [(26.0, "26"), (123.0, "120"), (99.6, "100"), (7.4, "7"), (9.97, "10")]
)
def test_two_figures(value, words):
    assert two_figures(value) == words
