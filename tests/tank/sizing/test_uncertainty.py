"""The sets of uncertain numbers: in their ranges, half on each side, the same every time."""

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.sizing.uncertainty import DOUBTFUL_ROWS, SETS, Doubtful, all_sets, best, span


def test_each_number_has_a_row_and_the_row_says_a_range():
    assert tuple(DOUBTFUL_ROWS) == Doubtful._fields
    assert all(parameter(row).low < parameter(row).high for row in DOUBTFUL_ROWS.values())


@pytest.mark.parametrize("field", DOUBTFUL_ROWS)
def test_sets_lie_in_the_range_half_on_each_side(field):
    row, sets = parameter(DOUBTFUL_ROWS[field]), getattr(all_sets(), field)
    assert sets.shape == (SETS,)
    hair = 1 + 1e-9
    assert row.to_base(row.low) <= sets.min() * hair
    assert sets.max() <= row.to_base(row.high) * hair
    assert np.mean(sets < row.bare) == pytest.approx(0.5, abs=0.01)
    assert getattr(best(), field) == row.bare


def test_numbers_are_drawn_independently():
    names = Doubtful._fields
    together = np.corrcoef(np.log(np.array(all_sets())))
    apart = together[~np.eye(len(names), dtype=bool)]
    assert np.abs(apart).max() < 0.15


def test_same_sets_every_time():
    first = all_sets()
    all_sets.cache_clear()
    np.testing.assert_array_equal(np.array(first), np.array(all_sets()))


def test_span_holds_its_best():
    sets = np.linspace(0.0, 1.0, SETS)
    found = span(0.5, sets)
    assert found.low == pytest.approx(0.05, abs=0.003)
    assert found.high == pytest.approx(0.95, abs=0.003)
    assert span(2.0, sets).high == 2.0
    assert span(3.0, 3.0) == (3.0, 3.0, 3.0)
    assert span(1.0, np.where(sets > 0.9, np.inf, sets)).high == np.inf
