"""Numbers in, a number out; arrays in, an array out."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.arguments import one_by_one


def double_and_add(x: float, y: float) -> float:
    assert not isinstance(x, np.ndarray)
    return 2 * x + y


def test_numbers():
    answer = one_by_one(double_and_add, 3, np.float64(1))
    assert type(answer) is float
    assert answer == 7.0


def test_arrays_and_numbers_together():
    answer = one_by_one(double_and_add, np.array([[1, 2], [3, 4]]), 1)
    assert answer.dtype == float
    np.testing.assert_array_equal(answer, [[3, 5], [7, 9]])


def test_errors_are_not_swallowed():
    with pytest.raises(ZeroDivisionError):
        one_by_one(lambda x: 1 / x, 0.0)
