"""The parts of a system: what was left open stays known as open."""

import pickle

import pytest

from aqualib.filtration.media import media_kinds
from aqualib.parameters import parameter
from aqualib.tank.plan import Filter, Pump, Stock, Tank, Tray, Water
from aqualib.tank.plan.parts import HOLDS, MOST_TRAYS
from aqualib.units import Q
from aqualib.validity import ValidityError


def test_a_field_left_open_takes_its_row_and_is_known_as_open():
    tank = Tank(water=Q(60, "L"))
    assert tank.gives("water")
    assert not tank.gives("length")
    assert tank.bare.length == parameter("tank_length").bare
    assert tank.given() == {"water": Q(60, "L")}


def test_a_copy_keeps_open_what_was_open():
    told = Stock(food=Q(1, "g/day"))
    assert told.changed(fish=Q(80, "g")).left_open == {"one_fish", "protein", "solids"}
    assert told.changed(food=None) == Stock()
    back = pickle.loads(pickle.dumps(told))
    assert back == told
    assert back.left_open == told.left_open


def test_given_as_in_the_row_and_left_open_are_not_the_same():
    usual = parameter("tank_temperature").quantity
    assert Water(temperature=usual) != Water()
    assert len({Water(temperature=usual), Water(), Water()}) == 2


@pytest.mark.parametrize(
    ("make", "named"),
    [
        (lambda: Tank(water=Q(0, "L")), "tank.water"),
        (lambda: Pump(rated_flow=Q(3, "m")), "pump.rated_flow"),
        (lambda: Water(ph=11), "water.ph"),
        (lambda: Tray("sand and hope", Q(3, "cm")), "tray.holds"),
        (lambda: Tray("fine pad", Q(3, "cm"), Q(1, "kg")), "tray.media"),
        (lambda: Filter(()), "filter.trays"),
        (lambda: Filter((Tray("nothing", Q(3, "cm")),), length=Q(9, "cm")), "filter.length"),
    ],
)
def test_what_cannot_be_is_refused_by_its_name(make, named):
    with pytest.raises(ValidityError) as refused:
        make()
    assert refused.value.parameter == named


def test_a_filter_of_too_many_trays_is_refused():
    with pytest.raises(ValidityError, match=f"1 to {MOST_TRAYS} trays"):
        Filter((Tray("nothing", Q(3, "cm")),) * (MOST_TRAYS + 1))


def test_every_kind_of_media_but_foam_may_lie_in_a_tray():
    assert set(media_kinds()) - set(HOLDS) == {"open-cell foam"}
