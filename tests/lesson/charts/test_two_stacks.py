"""Two filters over one table: what moves is yours, and its numbers stand in its column."""

from aqualib.lesson.charts.two_stacks import COLUMNS, TwoStacks
from aqualib.lesson.panels.bought_and_yours import compute
from aqualib.parameters import parameter

TANK = tuple(parameter(row).bare for row in ("tank_feed", "solids_made", "filter_width"))
AS_BOUGHT = compute("fine pad", "carbon", "coarse pad", "porous rings", 0.6, *TANK)
OTHER = compute("settling space", "coarse pad", "nothing", "porous rings", 2.0, *TANK)


def test_numbers_of_yours_follow_and_those_as_bought_stay(draw):
    chart = draw(TwoStacks(), AS_BOUGHT)
    chart.update(OTHER)
    for words, line in zip(chart.numbers, OTHER.lines, strict=True):
        assert tuple(one.get_text() for one in words) == line.each
        assert tuple(one.get_position()[0] for one in words) == COLUMNS[1:]
    shown = [name.get_text() for name in chart.trays.names]
    assert shown[0].startswith("1 settling space")
    assert shown[2].startswith("3 empty")
    assert shown[3] == "4 porous rings\n2 kg = 4.41 lb"
