"""Salt and the film: a share between nothing lost and all lost, and the published ends."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.biofilm import salt_share, share_after_sudden_salt
from aqualib.parameters import parameter
from aqualib.validity import ValidityError

SALT = st.floats(0, 40)


@given(SALT, SALT)
def test_more_salt_never_helps(one, other):
    fresher, saltier = sorted((one, other))
    assert salt_share(saltier) <= salt_share(fresher)
    assert share_after_sudden_salt(saltier) <= share_after_sudden_salt(fresher)


@given(SALT)
def test_a_filter_that_is_used_to_the_salt_keeps_more_above_its_first_shock(salinity):
    if salinity >= 15:
        assert share_after_sudden_salt(salinity) < salt_share(salinity)
    assert 0.0 <= share_after_sudden_salt(salinity) <= 1.0


def test_published_area_ratio_of_sea_to_fresh():
    ratio = 1.0 / salt_share(35, at_sea=0.28 / 0.69)
    assert ratio == pytest.approx(2.464, abs=0.001)
    assert 1.0 / parameter("sea_film_capacity").value == pytest.approx(2.464, abs=0.002)


def test_arrays_and_scalars_agree():
    salinity = np.array([0.0, 5.0, 12.0, 20.0, 35.0, 40.0])
    for function in (salt_share, share_after_sudden_salt):
        np.testing.assert_allclose(function(salinity), [function(float(s)) for s in salinity])


def test_a_share_of_nothing_is_refused():
    with pytest.raises(ValidityError, match="at_sea"):
        salt_share(35, at_sea=0.0)
