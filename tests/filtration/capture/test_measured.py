"""The measured solids: all of them are there, and the shares are those of another count."""

import numpy as np
import pytest

from aqualib.filtration.capture.measured import paired_solids, shares_cleaner


def test_every_pair_is_read():
    pairs = paired_solids()
    assert len(pairs) == 372
    assert all(pair.inflow > 0 and pair.outflow >= 0 for pair in pairs)
    assert 0 < sum(pair.below_detection for pair in pairs) < 30


@pytest.mark.parametrize("shares", shares_cleaner(), ids=lambda s: s.treatment)
def test_shares_are_those_of_an_independent_count(shares):
    pairs = [pair for pair in paired_solids() if pair.treatment == shares.treatment]
    inflow = np.array([pair.inflow for pair in pairs])
    better = np.array([pair.outflow for pair in pairs]) < inflow
    dirty = inflow > np.median(inflow)
    assert shares.pairs == len(pairs)
    assert shares.dirtier_half == pytest.approx(better[dirty].mean())
    assert shares.cleaner_half == pytest.approx(better[~dirty].mean())


def test_a_filter_helps_more_often_on_dirty_water():
    shares = shares_cleaner()
    assert len(shares) == 4
    assert all(one.dirtier_half > one.cleaner_half for one in shares)
