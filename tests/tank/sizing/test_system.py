"""A system: left out means the row, and what cannot be is refused."""

import pytest

from aqualib.parameters import parameter
from aqualib.tank.sizing.system import FilterSystem
from aqualib.units import Q
from aqualib.validity import ValidityError


def test_left_out_is_the_row():
    plain = FilterSystem().bare
    assert plain.media_mass == pytest.approx(parameter("filter_media").bare)
    assert plain.flow == pytest.approx(parameter("media_flow").bare)
    assert plain.protein_fraction == pytest.approx(parameter("food_protein").bare)
    assert plain.cleaning_interval == pytest.approx(parameter("cleaning_interval").bare)
    assert (plain.salinity, plain.rock_mass, plain.anoxic_volume, plain.carbon) == (0, 0, 0, None)


def test_amounts_become_base_units():
    plain = FilterSystem(media_mass=Q(2000, "g"), flow=Q(3.6, "m**3/h"), volume=Q(200, "L")).bare
    assert plain.media_mass == 2.0
    assert plain.flow == pytest.approx(1e-3)
    assert plain.volume == pytest.approx(0.2)


def test_more_oxygen_at_the_outlet_than_in_the_tank_is_refused():
    FilterSystem(oxygen_kept=0.5, oxygen_at_outlet=0.5)
    with pytest.raises(ValidityError, match="more than the tank has"):
        FilterSystem(oxygen_kept=0.4, oxygen_at_outlet=0.5)
