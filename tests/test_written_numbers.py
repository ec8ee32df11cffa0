"""Numbers as people write them, with a point or a comma."""

import pytest

from aqualib.written_numbers import TwoMeaningsError, plain_digits


@pytest.mark.parametrize(
    ("written", "number"),
    [("12.5", 12.5), ("12,5", 12.5), ("1200", 1200), ("1.200,5", 1200.5), ("1,234,567", 1234567),
     ("0,125", 0.125), ("1 200", 1200), (",5", 0.5), ("7.", 7), ("1.200", 1.2)],
)  # fmt: skip
def test_point_and_comma(written, number):
    assert float(plain_digits(written)) == number


@pytest.mark.parametrize("written", ["1,200", "12,000", "1,2,3", "1.2.3", "1,20.5"])
def test_what_may_be_two_numbers_is_asked_about(written):
    with pytest.raises(TwoMeaningsError, match=r"Is that|one decimal"):
        plain_digits(written)
