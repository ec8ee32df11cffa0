"""A system: its parts, and the example that every lesson speaks of."""

import pytest

from aqualib.parameters import parameter
from aqualib.running_tank import running_tank
from aqualib.tank.plan import Pump, System, Tank, example_system
from aqualib.tank.plan.system import MAY_BE_LEFT_OUT, PARTS, rows_of_part
from aqualib.units import Q
from aqualib.validity import ValidityError


def test_the_example_is_the_running_tank_number_for_number():
    fresh = running_tank().fresh
    system = example_system()
    told = {}
    for name, kind in PARTS.items():
        for field, row in rows_of_part(kind).items():
            if getattr(system, name).gives(field):
                told[row] = getattr(getattr(system, name).bare, field)
    different = {
        row: value
        for row, value in told.items()
        if value != pytest.approx(parameter(row).to_base(fresh[row]))
    }
    assert different == {}
    # The rest of the running tank is what sums make of these.
    assert len(told) >= 22


def test_the_marine_twin_differs_where_the_file_says_so():
    sea, marine = example_system(marine=True), running_tank().marine
    assert sea.water.bare.salinity == marine["tank_salinity"]
    assert sea.tank.own.rock == marine["rock_mass"]
    assert sea.stock.own.food == marine["tank_feed"]
    assert sea.filter == example_system().filter


def test_one_part_is_changed_and_the_rest_stays():
    before = example_system()
    after = before.changed("water", temperature=Q(20, "degC"))
    assert after.water.own.temperature == pytest.approx(20)
    assert after.tank == before.tank
    assert before.water.own.temperature == parameter("tank_temperature").value
    assert System().changed("lamp", power=Q(9, "W")).lamp.gives("power")


@pytest.mark.parametrize(
    "given",
    [{"name": ""}, {"name": "a\nb"}, {"name": 7}, {"name": "x" * 81}, {"currency": "too long" * 2},
     {"name": "a\ud800"}, {"tank": Pump()}, {"water": None}, {"lamp": Tank()}],
)  # fmt: skip
def test_what_is_no_such_part_or_line_is_refused(given):
    with pytest.raises(ValidityError) as refused:
        System(**given)
    assert refused.value.parameter in given


def test_only_some_parts_may_be_missing():
    assert {name for name in PARTS if getattr(System(), name) is None} == set(MAY_BE_LEFT_OUT)
