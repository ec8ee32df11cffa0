from itertools import pairwise

import numpy as np
import pytest

from aqualib.lesson.charts.nitrogen_flow import BRANCHES, FULL, NitrogenFlow, duration
from aqualib.lesson.drawing.axes import round_above
from aqualib.lesson.panels.nitrogen_flow import compute

USUAL = {"feed": 4e-3 / 86400, "protein": 0.45, "ph": 7.5, "temperature": 298.15,
         "salinity": 0.0, "volume": 0.2, "hours": 86400.0}  # fmt: skip
DAYS = [{}, {"feed": 0.5e-3 / 86400, "protein": 0.2}, {"ph": 9.0, "hours": 168 * 3600.0}]
EACH = pytest.mark.parametrize("change", DAYS)


def edge(band, end):
    """Bottom and top of a band at its beginning (0) or its end (-1)."""
    outline = band.get_xy()[:50]
    there, back = outline[:25], outline[25:][::-1]
    return back[end, 1], there[end, 1]


@EACH
def test_branches_leave_the_food_side_by_side(draw, change):
    chart = draw(NitrogenFlow(), compute(**{**USUAL, **change}))
    food = chart.food.get_xy()
    ends = [edge(chart.bands[share], 0) for share in BRANCHES]
    assert ends[0][1] == pytest.approx(food[:, 1].max())
    for (low, _), (_, high) in pairwise(ends):
        assert low == pytest.approx(high)
    assert ends[-1][0] == pytest.approx(food[:, 1].min())


@EACH
def test_all_bands_have_one_scale_that_is_told(draw, change):
    day = compute(**{**USUAL, **change})
    chart = draw(NitrogenFlow(), day)
    full = round_above(day.budget_total)
    # The bar is as long as so much nitrogen is high.
    told = float(chart.full.get_text().split()[0])
    assert np.ptp(chart.bar.get_ydata()) == pytest.approx(FULL * told / full)
    assert np.ptp(chart.food.get_xy()[:, 1]) == pytest.approx(FULL * day.budget_total / full)
    ammonia = FULL * day.budget.total_ammonia / full
    for band in (chart.bands["total_ammonia"], chart.inside, chart.nitrate):
        low, high = edge(band, -1)
        assert high - low == pytest.approx(ammonia)
    # What enters the filter leaves it as nitrate, at the same height.
    assert edge(chart.inside, 0) == pytest.approx(edge(chart.bands["total_ammonia"], -1))
    assert edge(chart.nitrate, 0) == pytest.approx(edge(chart.inside, -1))


@EACH
def test_strip_sets_the_ammonia_against_the_limits(draw, change):
    day = compute(**{**USUAL, **change})
    chart = draw(NitrogenFlow(), day)
    safe, harm, act = (np.unique(zone.get_xy()[:, 0]) for zone in chart.zones)
    assert [safe[-1], harm[0]] == pytest.approx([day.chronic] * 2)
    assert [harm[-1], act[0]] == pytest.approx([day.acute] * 2)
    assert chart.marker.get_xdata() == pytest.approx([np.clip(day.total_ammonia, 0.01, 100)])
    assert chart.reading.get_text() == f"after {day.hours:.0f} h without a filter"
    assert chart.limit.get_text() == f"limit at {duration(day.hours_to_chronic)}"
    x = chart.leaders.get_xdata()
    assert (x[0], x[-1]) == pytest.approx((chart.marker.get_xdata()[0], day.chronic))
    # The words of the limit stand away from the leader that goes past them.
    assert (chart.limit.get_position()[0] > day.chronic) == (x[0] < day.chronic)
    for zone, name in zip(chart.zones, chart.zone_names, strict=True):
        low, high = zone.get_xy()[:, 0].min(), zone.get_xy()[:, 0].max()
        if name.get_visible():
            assert low < name.get_position()[0] < high
