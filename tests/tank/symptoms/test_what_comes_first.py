"""One tank, five trees: none tells it to lift the pH or change water where another forbids it.

The sums of what is safe are written out here: the mix, its pH in the air of a room, the limit.
"""

import itertools
import random
import re

import pytest

from aqualib.tank.symptoms.old_tank_trap import Water, harms, safe_share
from aqualib.tank.symptoms.what_comes_first import share_towards
from aqualib.tank.symptoms.what_tonight import found_in
from aqualib.water.ammonia import total_ammonia_limits, unionised_fraction
from aqualib.water.carbonate import ph_at_equilibrium

CHANGE = re.compile(r"[Cc]hange (?:only )?\{(\w+)\}")
WARM = 273.15 + 24.5
LITTLE, HALF = 0.1, 0.5
FORBIDS, FIRST = "-trap", ("-ammonia", "-act", "-harms")


def advice(tank):
    """The leaf of each tree, the share it changes tonight, and whether it doses soda."""
    ammonia, ph, alkalinity, tap, nitrite, nitrate = (1e-3 * x for x in tank)
    water = {"ammonia": ammonia, "ph": 1e3 * ph, "alkalinity": alkalinity,
             "tap_alkalinity": tap, "temperature": WARM}  # fmt: skip
    asked = {
        "ammonia stays": {},
        "nitrite stays": {"nitrite": nitrite},
        "ph sinks": {},
        "yellow": {"carbon": 0.0, "carbon_day": 0.0},
        "nitrate stays": {"nitrate": nitrate, "tap_nitrate": 0.008},
    }
    for symptom, own in asked.items():
        found = found_in(symptom, {**water, **own})
        named = CHANGE.search(found.leaf.tonight)
        share = found.worked.figures[named[1]].bare if named else 0.0
        doses = "{soda}" in found.leaf.tonight
        yield symptom, found, share, doses


def poison(ammonia, ph):
    return ammonia * unionised_fraction.bare(ph, WARM)


def limit(ph):
    return 1e3 * float(total_ammonia_limits.bare(min(max(ph, 6.5), 9.0), WARM, 0.0).chronic)


def in_room_air(alkalinity):
    return float(ph_at_equilibrium.bare(1e-3 * alkalinity, WARM, 0.0, 1e-3))


def is_lifted(tank, left, alkalinity):
    """Whether the poison ends above its limit, though it was within, or is doubled above it."""
    ammonia, ph, *_ = tank
    then = max(ph, in_room_air(alkalinity))
    most = poison(ammonia, ph) * (1 if ammonia <= limit(ph) else 2)
    return left > limit(then) * (1 + 1e-9) and poison(left, then) > most * (1 + 1e-9)


def many():
    """Tanks on a grid of what decides, and between its points."""
    yield from itertools.product(
        (0.3, 1.2, 3, 8), (5.6, 7.2, 8.3), (5, 35, 100), (20, 250), (0.3,), (120,)
    )
    dice = random.Random(14)
    for _ in range(30):
        yield (
            dice.choice((0.05, 0.4, 0.8, 1.3, 2, 5)) * dice.uniform(0.8, 1.2),
            dice.uniform(5.2, 8.8), dice.uniform(2, 120), dice.uniform(5, 300),
            dice.choice((0.05, 0.15, 1, 5)), dice.choice((20, 90, 180)),
        )  # fmt: skip


def in_trap_wrong(told):
    """What is changed is no richer in alkalinity, so it lifts nothing; and there is no soda."""
    for symptom, found, share, soda in told:
        calm = share <= LITTLE and "no richer in alkalinity" in found.tonight
        if not calm or soda or "no soda" not in found.tonight:
            yield symptom, found.tonight


def lifted_wrong(tank, told):
    """What is changed, dosed or stirred leaves no ammonia above its limit."""
    ammonia, _, alkalinity, tap, *_ = tank
    for symptom, found, share, soda in told:
        if share > HALF + 1e-9:
            yield symptom, share
        if share and is_lifted(
            tank, (1 - share) * ammonia, alkalinity + share * (tap - alkalinity)
        ):
            yield symptom, found.code, share
        # Soda at its end, and air, with all the ammonia still there.
        if soda and is_lifted(tank, ammonia, max(alkalinity, 80)):
            yield symptom, "soda"
        if found.code == "ph-stale" and is_lifted(tank, ammonia, alkalinity):
            yield symptom, "air"


def in_one_voice_wrong(tank, told):
    """All five are in the trap or none; all five put ammonia first or none; no soda beside it."""
    codes = [found.code for _, found, *_ in told]
    if len({code.endswith(FORBIDS) for code in codes}) > 1:
        yield codes
    first = [(s, share) for s, found, share, _ in told if found.code.endswith(FIRST)]
    if len(first) not in (0, 5) or (first and any(soda for *_, soda in told)):
        yield "ammonia first in some", codes
    # The same share, but where nitrite asks for more.
    nitrite = tank[4]
    shares = {round(share, 9) for s, share in first if s != "nitrite stays" or nitrite <= 0.1}
    if len(shares) > 1:
        yield shares


def test_no_tree_says_what_another_forbids():
    wrong, seen = [], set()
    for tank in many():
        told = list(advice(tank))
        seen.update(found.code for _, found, *_ in told)
        wrong += [(tank, one) for one in in_one_voice_wrong(tank, told)]
        trapped = told[0][1].code.endswith(FORBIDS)
        wrong += [(tank, x) for x in (in_trap_wrong(told) if trapped else lifted_wrong(tank, told))]
    assert wrong == []
    # The tanks went through the leaves that matter.
    for tree in ("ammonia", "nitrite", "ph", "yellow", "nitrate"):
        assert f"{tree}-trap" in seen
    assert {"ammonia-act", "ammonia-harms", "ammonia-no-alkalinity", "ph-spent", "ph-stale",
            "nitrite-no-alkalinity", "yellow-no-carbon", "nitrate-habit"} <= seen  # fmt: skip


def test_soda_is_refused_by_every_tree_that_knows_the_ammonia():
    """At 1.2 mg/L and 80 mg/L of alkalinity: pH 8.0, where the limit is 0.56."""
    tank = 1.2, 6.2, 10, 120, 1, 120
    assert limit(in_room_air(80)) == pytest.approx(0.56, abs=0.01)
    assert {found.code for _, found, *_ in advice(tank)} == {
        f"{tree}-trap" for tree in ("ammonia", "nitrite", "ph", "yellow", "nitrate")
    }


def test_a_share_is_made_larger_where_a_small_one_would_not_thin_enough():
    """0.8 mg/L at pH 7.6, within its limit: a little new water in fresh air is worse than half."""
    water = Water(0.8e-3, 7.6, 0.060, 0.120, 297.65, 0.0)
    share = safe_share(water, 0.1)
    assert 0.1 < share <= 0.5
    tank = 0.8, 7.6, 60
    assert not is_lifted(tank, 0.8 * (1 - share), 60 + 60 * share)
    assert is_lifted(tank, 0.8 * 0.9, 66)
    assert safe_share(water, 0.0) == 0.0
    assert safe_share(water, 0.9) == 0.5


def test_shares_are_those_of_the_lesson():
    """x = 1 - limit / reading, half at most, and none where nothing is wrong."""
    assert share_towards(1.25, 1.0) == pytest.approx(0.2)
    assert share_towards(10.0, 1.0) == 0.5
    assert share_towards(0.5, 1.0) == 0.0


def test_water_above_its_limit_may_grow_no_worse_than_twofold():
    from aqualib.tank.symptoms.old_tank_trap import After

    before = After(2.0, 7.6, 0.04, 0.9)
    assert not harms(before, After(1.0, 8.0, 0.079, 0.6))
    assert harms(before, After(1.0, 8.1, 0.081, 0.6))
    within = After(0.8, 7.6, 0.016, 0.9)
    assert harms(within, After(0.7, 7.9, 0.020, 0.65))
    assert not harms(within, After(0.6, 7.9, 0.020, 0.65))
