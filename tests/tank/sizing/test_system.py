"""A system is refused, by the name of the field, if it cannot be; left out means the row."""

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.sizing.system import FilterSystem, Plain
from aqualib.units import Q
from aqualib.validity import ValidityError

BAD_FIELDS = {
    "media_mass": [Q(-1, "kg"), 2.0, Q(2, "L"), "2 kg", True, Q([1, 2], "kg")],
    "volume": [Q(0, "L"), Q(np.nan, "L"), 200],
    "flow": [Q(0, "L/h"), Q(600, "L"), 600],
    "temperature": [Q(3, "degC"), Q(34, "degC"), 25],
    "salinity": [-1, 41, "sea", [0, 35]],
    "total_ammonia_nitrogen": [Q(0, "mg/L"), Q(101, "mg/L"), 0.5],
    "area_per_mass": [Q(0, "m**2/kg"), Q(1, "m**2")],
    "bulk_density": [Q(0, "kg/m**3"), 675],
    "rock_mass": [Q(-1, "kg"), 0.0, Q(1, "m")],
    "surface_exchange": [Q(-1, "1/h"), Q(201, "1/h"), 1.0],
    "dirt_held": [Q(-1, "g"), Q(np.inf, "g")],
    "cleaning_interval": [Q(0, "day"), 30],
    "protein_fraction": [0, 1.1, Q(0.45, "g"), True],
    "body_mass": [Q(0, "g"), Q(3, "kg"), 5],
    "ration": [0, 16, "much"],
    "oxygen_kept": [0.0, 1.1, np.nan],
    "oxygen_at_outlet": [-0.1, 1.1, 0.8],
    "anoxic_volume": [Q(-1, "L"), 0.0],
    "carbon": [Q(-1, "g/day"), Q(1, "g")],
}


@pytest.mark.parametrize(
    ("name", "value"), [(name, bad) for name, values in BAD_FIELDS.items() for bad in values]
)
def test_bad_field(name, value):
    with pytest.raises(ValidityError) as error:
        FilterSystem(**{name: value})
    assert error.value.parameter == name


def test_every_field_has_been_tried():
    assert set(BAD_FIELDS) == set(FilterSystem.rules) == set(Plain._fields)


def test_left_out_is_the_row():
    plain = FilterSystem().bare
    for field, row in FilterSystem.rows.items():
        assert getattr(plain, field) == parameter(row).bare, field
        rule = FilterSystem.rules[field]
        assert rule.low <= parameter(row).bare * 1e9  # in range, whatever the unit
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
