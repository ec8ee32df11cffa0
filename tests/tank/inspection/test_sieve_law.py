"""The cut size from a catch is the law of the catch turned round."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.capture import grade_efficiency
from aqualib.tank.inspection.sieve_law import cut_size_from_catch


@given(st.floats(1e-6, 1e-2), st.floats(0.01, 0.99), st.floats(0.5, 4.0), st.floats(0.1, 10.0))
def test_a_pad_of_that_cut_size_holds_that_share(size, held, sharpness, ratio):
    cut = cut_size_from_catch.bare(size, held, sharpness, ratio)
    assert grade_efficiency.bare(size, cut, sharpness, ratio) == pytest.approx(held)
