"""The trays of a filter: what fits in, by hand."""

import math

import pytest

from aqualib.parameters import parameter
from aqualib.tank.plan import Filter, System, Tank, Tray, filled
from aqualib.tank.plan.trays import fitting_mass
from aqualib.units import Q
from aqualib.validity import ValidityError


def with_trays(*trays, **more):
    return System(filter=Filter(trays, **more))


def test_media_left_open_fill_their_tray():
    # Rings: 2500 kg/m³ of solid, 55 % pores, 60 % gaps: 450 kg in a cubic metre.
    whole, _ = filled(with_trays(Tray("porous rings", Q(10, "cm")), width=Q(20, "cm")))
    assert whole.places[0].media == pytest.approx(450 * math.pi / 4 * 0.2**2 * 0.1)
    assert fitting_mass("porous rings", 0.001) == pytest.approx(0.45)


def test_a_box_has_a_floor_of_length_times_width():
    tray = Tray("coarse pad", Q(5, "cm"))
    whole, _ = filled(with_trays(tray, shape="box", width=Q(10, "cm"), length=Q(30, "cm")))
    assert whole.floor == pytest.approx(0.03)
    assert not whole.round_filter


def test_a_little_more_than_we_think_may_fit_but_not_twice_as_much():
    fits = fitting_mass("lava rock", math.pi / 4 * 0.24**2 * 0.1)
    height, wide = Q(10, "cm"), Q(24, "cm")
    filled(with_trays(Tray("lava rock", height, Q(1.1 * fits, "kg")), width=wide))
    with pytest.raises(ValidityError, match="do not fit"):
        filled(with_trays(Tray("lava rock", height, Q(2 * fits, "kg")), width=wide))


def test_a_floor_too_large_to_speak_of_is_refused():
    tray = Tray("coarse pad", Q(5, "cm"))
    with pytest.raises(ValidityError, match="no floor of a filter"):
        filled(with_trays(tray, shape="box", width=Q(2000, "cm"), length=Q(2000, "cm")))


def test_without_a_word_on_the_filter_it_is_the_lessons_for_as_many_litres():
    litres = parameter("tank_volume").quantity
    whole, assumed = filled(System(tank=Tank(water=litres / 4)))
    assert whole.floor == pytest.approx(math.pi / 4 * parameter("filter_width").bare ** 2 / 4)
    assert whole.media[0].media == pytest.approx(parameter("filter_media").bare / 4)
    assert "filter" in {one.place for one in assumed}
