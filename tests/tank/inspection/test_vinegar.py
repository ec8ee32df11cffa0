"""The vinegar test: gas lost, rock dissolved, vinegar used."""

import pytest

from aqualib.tank.inspection.vinegar import carbonate_from_fizz, vinegar_for_carbonate
from aqualib.units import Q


def test_rock_weighs_more_than_its_gas_and_acid_is_used_in_step():
    chip = carbonate_from_fizz(Q(1, "g"))
    # By hand: 100.09 / 44.01.
    assert chip.m_as("g") == pytest.approx(2.274, abs=0.001)
    weak, strong = (vinegar_for_carbonate(chip, Q(s, "percent")) for s in (5, 10))
    assert (weak / strong).m_as("") == pytest.approx(2.0)
    # Two acids of 60.05 to each rock of 100.09, in 5 % vinegar.
    assert weak.m_as("mL") == pytest.approx(2.274 * 2 * 60.05 / 100.09 / 0.05, rel=1e-3)
