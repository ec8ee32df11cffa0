import dataclasses

import numpy as np
import pytest

from aqualib.draws import Span
from aqualib.lesson.charts.what_it_carries import BAR, FLOORS, Carrying, WhatItCarries
from aqualib.lesson.drawing.tank_and_filter import Equipment
from aqualib.units import Q, display_unit, label, set_units

PARTS = {
    "surface": Span(4.0, 8.0, 14.0),
    "filter_oxygen": Span(10.0, 15.0, 20.0),
    "tank_oxygen": Span(3.0, 5.0, 9.0),
    "dirt": Span(20.0, 30.0, 400.0),
}


def carrying(feed=4.0, smallest="tank_oxygen"):
    return Carrying(
        equipment=Equipment(200.0, 0.0, 0.0, 0.0, 2.0, 4.4, 3.2, 600.0), body=5.0,
        pads=2.6, feed=feed, parts=PARTS, names={part: part.replace("_", " ") for part in PARTS},
        carried=PARTS[smallest], stock=Span(0.1, 0.2, 0.4), limiting=smallest, smallest=smallest,
        warning="",
    )  # fmt: skip


@pytest.mark.parametrize("smallest", ["tank_oxygen", "surface"])
def test_names_and_numbers_stand_over_their_bars(draw, smallest):
    chart = draw(WhatItCarries(), carrying(smallest=smallest))
    for part, floor in FLOORS.items():
        name = chart.bold if part == smallest else chart.names[part]
        named = part.replace("_", " ")
        assert name.get_text() == (f"{named}: limits" if part == smallest else named)
        for words in (name, chart.numbers[part]):
            assert floor + BAR < words.get_position()[1] < floor + 1.0
        assert chart.names[part].get_visible() == (part != smallest)


def test_what_runs_on_has_an_arrow(draw):
    chart = draw(WhatItCarries(), carrying())
    assert chart.axis.end == 20.0
    assert list(chart.bars.beyond.get_ydata()) == pytest.approx([FLOORS["dirt"] + 0.5 * BAR])


@pytest.mark.parametrize(
    ("feed", "verdict"), [(2.0, "carried"), (4.0, "in doubt"), (9.5, "too much")]
)
def test_the_line_of_the_food_and_its_verdict(draw, feed, verdict):
    chart = draw(WhatItCarries(), carrying(feed))
    assert set(chart.food.get_xdata()) == {chart.axis.place(feed)}
    assert chart.food_name.get_text().startswith(f"given now: {verdict}\n")
    # Across each bar, and not through the names between them.
    heights = np.reshape(chart.food.get_ydata(), (-1, 3))[:, :2]
    for (low, high), floor in zip(heights, FLOORS.values(), strict=True):
        assert low < floor < floor + BAR < high < floor + BAR + 0.15
    assert chart.food_name.across == ("left" if chart.axis.place(feed) < 0.5 else "right")


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_part_that_limits_has_the_doubt_of_the_filter(draw, system):
    set_units(system)
    result = carrying()
    whole = dataclasses.replace(result, carried=Span(2.0, 5.0, 6.0))
    chart = draw(WhatItCarries(), whole)
    at = list(FLOORS).index("tank_oxygen")
    low, high = np.asarray(chart.bars.whiskers.get_xdata())[[7 * at, 7 * at + 3]]
    assert (low, high) == pytest.approx((chart.axis.place(2.0), chart.axis.place(6.0)))
    unit = label(display_unit("g/day", system))
    shown = Q(5.0, "g/day").m_as(display_unit("g/day", system))
    text = chart.numbers["tank_oxygen"].get_text()
    assert float(text.split()[0]) == pytest.approx(shown, rel=0.06)
    assert text.endswith(unit)
