"""A change that is not pressing: no jump of alkalinity, no ammonia over its limit, or none."""

import random

import pytest

from aqualib.tank.symptoms.how_much_at_once import Share, calm_share, in_small_steps, most_at_once
from aqualib.tank.symptoms.old_tank_trap import Water, after_change, as_it_is, harms

WARM = 297.65


def water(alkalinity, tap, ammonia=0.0, ph=7.6):
    return Water(1e-3 * ammonia, ph, 1e-3 * alkalinity, 1e-3 * tap, WARM, 0.0)


def test_twenty_a_day_up_or_down_and_never_more_than_half():
    assert most_at_once(water(10, 250)) == pytest.approx(20 / 240)
    assert most_at_once(water(250, 10)) == pytest.approx(20 / 240)
    assert most_at_once(water(60, 99)) == most_at_once(water(60, 60)) == 0.5


def test_no_share_of_a_thousand_tanks_is_a_jump_or_poisons():
    dice = random.Random(8)
    none = 0
    for _ in range(1000):
        tank = water(dice.uniform(2, 300), dice.uniform(2, 400),
                     dice.choice((0, 0.1, 0.4, 0.6)), dice.uniform(6, 8.5))  # fmt: skip
        share = calm_share(tank, dice.choice((0.1, 0.3, 0.9)))
        assert 1e3 * share * abs(tank.tap_alkalinity - tank.alkalinity) <= 20 + 1e-9
        assert 0.0 <= share <= 0.5
        assert share == 0.0 or not harms(as_it_is(tank), after_change(tank, share))
        none += share == 0.0
    assert 0 < none < 200


def test_no_share_is_a_word_and_not_nought_per_cent():
    """0.6 mg/L within its limit at pH 7.5: a small change lifts the pH more than it thins."""
    tank = water(144, 67, 0.6, 7.48)
    assert calm_share(tank, 0.3) == 0.0
    assert f"Change {in_small_steps(tank, 0.3)['part']} of the water" == "Change none of the water"
    assert Share(0.25, "percent").text == "25 %"
