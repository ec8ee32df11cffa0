"""Stacks: the filter as it was bought, and that its order costs nothing."""

from itertools import permutations

import pytest

from aqualib.tank.inspection.stacking import as_bought, put_in_order
from aqualib.tank.plan import as_json, filled, outcome
from aqualib.tank.plan.parts import SETTLING

BOUGHT, _ = filled(as_bought())


def test_the_invented_filter_says_that_it_is_and_is_badly_stacked():
    assert "invented" in as_bought().name
    assert as_json(as_bought()).startswith('{\n "format"')
    assert BOUGHT.places[0].holds == "fine pad"
    assert not BOUGHT.holding(SETTLING)


def test_each_kind_has_its_place_in_the_order():
    held = ["porous rings", "zeolite", "polishing floss", "coarse pad", "ion-exchange resin",
            "fine pad", "settling space", "phosphate remover", "medium pad", "carbon"]  # fmt: skip
    mixed = BOUGHT.with_trays(BOUGHT.places[0]._replace(holds=h) for h in held)
    assert [place.holds for place in put_in_order(mixed).places] == [
        "settling space", "coarse pad", "medium pad", "fine pad", "polishing floss",
        "zeolite", "ion-exchange resin", "phosphate remover", "carbon", "porous rings",
    ]  # fmt: skip


def test_order_keeps_what_is_there_and_lasts_longest_of_all_orders():
    ordered = put_in_order(BOUGHT)
    assert sorted(ordered.places) == sorted(BOUGHT.places)
    dues = [outcome(BOUGHT._replace(places=p)).due for p in permutations(BOUGHT.places)]
    assert outcome(ordered).due == pytest.approx(max(dues), rel=0.01)
    assert max(dues) > 2.0 * outcome(BOUGHT).due
