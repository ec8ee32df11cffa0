import numpy as np
import pytest

from aqualib.lesson.charts.after_cleaning import AfterCleaning, Aftermath

DAYS = np.linspace(0.0, 14.0, 57)


def aftermath(share=30.0, largest=45.0, nitrite=0.6):
    return Aftermath(
        scenario=None, share=share,
        limits={"ammonia": 0.25, "nitrite": 0.5}, days=DAYS,
        ammonia=0.2 * np.exp(-DAYS), nitrite=nitrite * DAYS * np.exp(1.0 - DAYS), largest=largest,
    )  # fmt: skip


def top(chart):
    return float(chart.substances["ammonia"].height.marks[-1].get_text())


def test_region_above_the_limit_begins_at_the_limit(draw):
    result = aftermath()
    chart = draw(AfterCleaning(), result)
    for name, drawn in chart.substances.items():
        limit = result.limits[name]
        assert drawn.above_limit.within.get_xy()[:, 1].max() * top(chart) == pytest.approx(limit)
        assert drawn.words.get_position()[1] * top(chart) == pytest.approx(limit)
        assert float(drawn.words.get_text().removeprefix("limit ")) == limit


def test_side_of_the_limit_is_told(draw):
    chart = draw(AfterCleaning(), aftermath())
    assert "within" in chart.substances["ammonia"].side.get_text()
    assert "above" in chart.substances["nitrite"].side.get_text()
    (x,), (y,) = chart.substances["nitrite"].peak.get_data()
    assert (x, y * top(chart)) == pytest.approx((1.0, 0.6), rel=1e-3)


@pytest.mark.parametrize(("share", "largest"), [(30.0, 45.0), (60.0, 45.0), (0.0, 0.0), (44, 45)])
def test_bar_shows_the_share_now_and_the_share_that_is_safe(draw, share, largest):
    chart = draw(AfterCleaning(), aftermath(share, largest))
    assert chart.safe.get_xy()[:, 1].max() == pytest.approx(largest / 100)
    assert list(chart.share.get_ydata()) == pytest.approx([share / 100] * 2)
    yours, most = (words.get_position()[1] for words in (chart.yours, chart.most))
    assert abs(yours - most) >= 0.06 - 1e-9
    assert min(yours, most) == pytest.approx(max(min(share, largest) / 100, 0.03))
    if share != largest:
        assert (yours < most) == (share < largest)


def test_room_above_the_highest_number(draw):
    low, high = draw(AfterCleaning(), aftermath(nitrite=0.1)), draw(AfterCleaning(), aftermath())
    assert (top(low), top(high)) == (0.75, 0.75)
    assert top(draw(AfterCleaning(), aftermath(nitrite=3.0))) == 4.0
