"""Named stocks: grams in each litre, from rows of parameters."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.load.stock import KINDS, stocking
from aqualib.units import Q


@pytest.mark.parametrize("kind", KINDS)
def test_stock_is_in_proportion_to_the_water(kind):
    several = stocking(Q(np.array([50.0, 100.0, 200.0]), "L"), kind)
    np.testing.assert_allclose(several.stock_mass.m, several.stock_mass.m[0] * np.array([1, 2, 4]))
    assert several.body_mass.shape == several.ration.shape == (3,)
    one = stocking(Q(100, "L"), kind)
    assert one.stock_mass.m == pytest.approx(several.stock_mass.m[1])
    assert one.body_mass.m == pytest.approx(several.body_mass.m[1])
    assert one.ration == several.ration[1]


def test_heavy_is_more_than_light_and_marine_less_than_fresh():
    grams = {kind: stocking(Q(100, "L"), kind).stock_mass.m for kind in KINDS}
    assert grams["light fresh"] < grams["heavy fresh"]
    assert grams["light marine"] < grams["heavy marine"]
    assert grams["light marine"] < grams["light fresh"]
    assert grams["heavy marine"] < grams["heavy fresh"]
    rations = {kind: stocking(Q(100, "L"), kind).ration for kind in KINDS}
    for water in ("fresh", "marine"):
        assert grams[f"growing {water}"] == grams[f"heavy {water}"]
        assert rations[f"light {water}"] < rations[f"heavy {water}"] < rations[f"growing {water}"]


@pytest.mark.parametrize("water", ["fresh", "marine"])
def test_fasting_is_the_light_stock_without_food(water):
    fed, unfed = (stocking(Q(100, "L"), f"{word} {water}") for word in ("light", "fasting"))
    assert unfed.stock_mass == fed.stock_mass
    assert unfed.ration == 0.0
    assert fed.ration == parameter("ration_holding").value
