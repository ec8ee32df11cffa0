import numpy as np
import pytest

from aqualib.lesson.charts.filling_carbon import LEFT, ROWS, SHEET_WIDTH, FillingCarbon
from aqualib.lesson.drawing.words import Words
from aqualib.lesson.panels.carbon_in_the_loop import DAYS, carbon_panel


@pytest.fixture
def carbon():
    panel = carbon_panel()
    yield panel
    panel.close()


def top(chart):
    return float(chart.marks[-1].get_text())


def test_grey_band_lies_between_carbon_that_holds_more_and_less(draw, carbon):
    chart, doubt = draw(FillingCarbon(DAYS), carbon.result), carbon.result.doubt
    count = len(carbon.result.days)
    outline = chart.band.get_xy()[: 2 * count]
    assert outline[:count, 0] == pytest.approx(carbon.result.days)
    high, low = outline[:count, 1] * top(chart), outline[count:, 1][::-1] * top(chart)
    assert high == pytest.approx(np.minimum(doubt.tank_less, top(chart)))
    assert low == pytest.approx(doubt.tank_more)
    assert chart.grey.get_text() == "grey: how sure that is"


def test_dashed_limit_and_bars_have_one_scale(draw, carbon):
    carbon.set(day=60)
    chart, result = draw(FillingCarbon(DAYS), carbon.result), carbon.result
    limit = chart.limit.get_xdata()[0] - LEFT
    held, room = (np.ptp(bar.get_xy()[:, 0]) for bar in (chart.held, chart.room))
    assert limit / held == pytest.approx(result.room / result.held)
    assert room / limit == pytest.approx(max(result.room_without, result.room) / result.room)


GIVES_BACK = {"initial": 20, "production": 1, "change": 80, "day": 40}


@pytest.mark.parametrize("settings", [{"day": 5}, {"day": 110}, GIVES_BACK])
def test_each_name_says_its_number_and_stands_on_the_side_of_its_line(draw, carbon, settings):
    carbon.replay(**settings)
    chart, result = draw(FillingCarbon(DAYS), carbon.result), carbon.result
    for name, curve, value, over in (
        ("tank", chart.tank, result.now, result.now > result.now_without),
        ("without", chart.without, result.now_without, result.now <= result.now_without),
    ):
        words = chart.names[name]
        assert float(words.get_text().split()[0]) == pytest.approx(value, rel=0.06)
        x, y = words.get_position()
        line = np.interp(x, *curve.get_data())
        # Under a curve that lies on the floor there is no room.
        assert (y > line) == (over or line < 0.06)


def test_a_number_stands_behind_its_caption(draw, carbon):
    chart = draw(FillingCarbon(DAYS), carbon.result)
    sheet = chart.carbon.axes
    captions = {words.get_text(): words for words in sheet.artists if isinstance(words, Words)}
    for name, (caption, height) in ROWS.items():
        x, y = chart.values[name].get_position()
        assert (captions[caption].get_position()[1], y) == (height, height)
        # A letter is about 12 mm of the sheet wide.
        assert x > LEFT + 9.0 * len(caption)
        assert x < SHEET_WIDTH - 50.0


@pytest.mark.parametrize("day", [0, 33, 60, 120])
@pytest.mark.parametrize("grams", [100, 300])
def test_names_keep_off_the_dotted_line(draw, carbon, day, grams):
    carbon.replay(day=day, mass=grams)
    chart, line = draw(FillingCarbon(DAYS), carbon.result), carbon.result.halved_on
    at = chart.now.axes.transData.transform((line, 0.0))[0]
    for words in chart.names.values():
        box = words.get_window_extent()
        assert not box.x0 < at < box.x1
        assert box.x1 < chart.now.axes.bbox.x1 + 5.0


@pytest.mark.parametrize(("mass", "across"), [(50, "left"), (500, "right")])
def test_the_day_it_ends_is_written_on_the_side_with_room(draw, carbon, mass, across):
    carbon.set(mass=mass)
    chart = draw(FillingCarbon(DAYS), carbon.result)
    assert (carbon.result.halved_on < 0.55 * DAYS) == (across == "left")
    for words in (chart.halved_words, chart.halved_day):
        assert words.across == across
        x = words.get_position()[0]
        assert (x > carbon.result.halved_on) == (across == "left")
