"""Trays to scale: what stands in them, how high, and words that never lie on each other."""

from itertools import pairwise

import numpy as np
import pytest
from matplotlib.figure import Figure

from aqualib.lesson.drawing.filter_trays import FLOOR, FilterTrays, apart, draw_trays
from aqualib.tank.plan import example_system, filled
from aqualib.tank.plan.parts import CARBON, HOLDS, MOST_TRAYS, NOTHING
from aqualib.tank.plan.trays import Place, fitting_mass
from aqualib.units import set_units

WHOLE, _ = filled(example_system())
MANY = WHOLE._replace(places=tuple(Place(holds, 0.02, 0.0) for holds in HOLDS[:MOST_TRAYS]))


def axes_of(wide=4.0, high=4.5):
    return Figure(figsize=(wide, high)).add_axes((0.0, 0.0, 1.0, 1.0))


@pytest.fixture
def trays():
    return FilterTrays(axes_of())


def height(polygon):
    return float(np.ptp(polygon.get_xy()[:, 1]))


def test_trays_are_to_scale_and_stand_in_the_order_of_the_water(trays):
    trays.move(WHOLE)
    shown = trays.fillings[: len(WHOLE.places)]
    wide = np.ptp(shown[0].get_xy()[:, 0])
    for filling, place in zip(shown[:4], WHOLE.places, strict=False):
        assert height(filling) / wide == pytest.approx(place.height / WHOLE.width)
    lows = [filling.get_xy()[:, 1].min() for filling in shown]
    assert lows[0] == pytest.approx(FLOOR)
    assert lows == sorted(lows)
    assert not any(filling.get_visible() for filling in trays.fillings[len(shown) :])


def test_media_lie_as_high_as_they_reach(trays):
    rings = WHOLE.places[-1]
    full = fitting_mass(rings.holds, WHOLE.floor * rings.height)
    trays.move(WHOLE._replace(places=(rings._replace(media=full / 4.0), Place(NOTHING, 0.1, 0.0))))
    quarter, empty = trays.fillings[:2]
    box = trays.water.get_xy()[:, 1]
    share = rings.height / (rings.height + 0.1)
    assert height(quarter) == pytest.approx(0.25 * share * np.ptp(box))
    assert height(empty) == 0.0


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("whole", [WHOLE, MANY], ids=["example", "many"])
def test_words_lie_apart_and_on_the_sheet(whole, system):
    set_units(system)
    try:
        axes = axes_of()
        artists = draw_trays(axes, whole)
    finally:
        set_units("metric")
    words = [a for a in artists if hasattr(a, "get_text") and a.get_text()]
    boxes = [word.get_window_extent() for word in words]
    assert len(words) == len(whole.places) + 3
    for at, box in enumerate(boxes):
        assert axes.bbox.x0 <= box.x0 < box.x1 <= axes.bbox.x1
        assert axes.bbox.y0 <= box.y0 < box.y1 <= axes.bbox.y1 + 1
        assert not any(box.overlaps(other) for other in boxes[:at]), words[at].get_text()


def test_words_keep_their_place_where_there_is_room_and_their_order_where_not():
    assert apart([1.0, 3.0], [0.5, 0.5], 4.0) == [1.0, 3.0]
    close = apart([1.9, 1.95, 2.0], [0.5, 0.5, 0.5], 2.0)
    assert all(b - a >= 0.5 - 1e-9 for a, b in pairwise(close))
    assert close[-1] <= 1.75


def test_carbon_and_media_do_not_look_alike(trays):
    trays.move(WHOLE._replace(places=(Place(CARBON, 0.05, 0.0), WHOLE.places[-1])))
    assert trays.fillings[0].get_hatch() != trays.fillings[1].get_hatch()
