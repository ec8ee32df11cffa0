"""Molar masses: sums of the abridged atomic weights, nothing rounded on the way."""

import pytest

from aqualib.water import molar_masses as m


@pytest.mark.parametrize(
    ("atoms", "expected"),
    [
        ({"N": 1, "O": 3}, 62.004),
        ({"N": 1, "H": 4}, 18.039),
        ({"Ca": 1, "C": 1, "O": 3}, 100.086),
        ({"Ca": 1, "O": 1}, 56.077),
        ({"N": 1, "H": 4, "Cl": 1}, 53.489),
    ],
)
def test_molar_mass_is_the_sum_of_its_atoms(atoms, expected):
    assert m.molar_mass(**atoms) == pytest.approx(expected, abs=1e-9)


def test_named_masses():
    named = (m.CARBON_DIOXIDE, m.SODIUM_BICARBONATE, m.ALKALINITY, m.OXYGEN_GAS, m.NITROGEN)
    assert named == pytest.approx((44.009, 84.006, 50.043, 31.998, 14.007))


def test_unknown_element_is_refused():
    with pytest.raises(KeyError):
        m.molar_mass(Xx=1)
