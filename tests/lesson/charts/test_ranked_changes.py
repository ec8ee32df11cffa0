import math

import pytest

from aqualib.draws import Span
from aqualib.lesson.charts.ranked_changes import ROWS, Effect, RankedChanges, Ranking

NOW = Effect("as it is now", "", 3.2, 51.0, 159.0)
CHANGES = (
    Effect("feed a quarter less", "", 3.2, 68.0, 121.0),
    Effect("more air", "nothing gained", 3.2, 51.0, 159.0),
    Effect("media for the fine pad", "nothing gained", 1.6, math.inf, math.inf),
)


def ranking(changes=CHANGES, *, ranked=True):
    return Ranking(3.5, Span(1.7, 3.2, 5.0), "tight", "surface", NOW, changes, ranked, None)


def length(column, row):
    return column.bars[row].get_xy()[:, 0].max()


def test_bars_are_as_long_as_the_numbers(draw):
    chart = draw(RankedChanges(), ranking())
    for name, column in chart.columns.items():
        now = length(column, 0)
        for row, change in enumerate(CHANGES, start=1):
            value, old = getattr(change, name), getattr(NOW, name)
            if math.isfinite(value):
                assert length(column, row) / now == pytest.approx(value / old)
            else:
                assert length(column, row) > now
        assert [bar.get_visible() for bar in column.bars] == [True] * 4 + [False] * (ROWS - 4)


def test_the_line_stands_at_what_is_now(draw):
    chart = draw(RankedChanges(), ranking())
    for column in chart.columns.values():
        x = column.before.get_xdata()
        assert len(x) == 3 * len(CHANGES)
        assert x[0] == pytest.approx(length(column, 0))


def test_words_tell_before_and_after(draw):
    chart = draw(RankedChanges(), ranking())
    days = [word.get_text() for word in chart.columns["days"].numbers]
    assert days == ["51", "51 → 68", "the same", "51 → over 180", "", ""]
    assert chart.columns["food"].numbers[0].get_text() == "3.2, given ▲ 3.5"
    assert chart.columns["nitrate"].numbers[3].get_text() == "159 → no end"
    assert [word.get_text() for word in chart.worths][:4] == ["", "", *["nothing gained"] * 2]


def test_the_mark_and_the_whisker_stand_on_the_scale_of_the_bar(draw):
    food = draw(RankedChanges(), ranking()).columns["food"]
    scale = length(food, 0) / NOW.food
    assert list(food.given.get_xdata()) == pytest.approx([3.5 * scale])
    assert min(food.whisker.get_xdata()) == pytest.approx(1.7 * scale)
    assert max(food.whisker.get_xdata()) == pytest.approx(5.0 * scale)


def test_while_a_hand_moves_only_what_is_now_is_shown(draw):
    chart = draw(RankedChanges(), ranking(), ranking((), ranked=False))
    assert chart.wait.get_visible()
    assert not any(bar.get_visible() for bar in chart.columns["days"].bars)
    assert sum(bar.get_visible() for bar in chart.columns["food"].bars) == 1
    assert not draw(RankedChanges(), ranking()).wait.get_visible()
