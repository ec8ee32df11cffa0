import numpy as np
import pytest

from aqualib.lesson.charts.safety_map import CELSIUS, PH, SafetyMap, along_strip
from aqualib.lesson.panels.safety_map import compute
from aqualib.units import Q, set_units
from aqualib.water.ammonia import total_ammonia_limits


def place_of(ammonia, ph, kelvin, salinity, nitrite=0.2e-3):
    return compute(ammonia, "nitrogen", nitrite, ph, kelvin, salinity, "nitrogen", 10e-3)


PLACES = [(1e-3, 7.5, 298.15, 0.0), (0.2e-3, 8.4, 283.15, 35.0), (8e-3, 6.6, 301.15, 0.0)]
EACH = pytest.mark.parametrize("place", PLACES)


def edges(region):
    """Left and right end of a region at each temperature."""
    outline = region.get_xy()[: 2 * len(CELSIUS)]
    return outline[: len(CELSIUS), 0], outline[len(CELSIUS) :, 0][::-1]


@EACH
def test_regions_meet_where_a_limit_equals_the_reading(draw, place):
    reading, _, _, salinity = place
    chart = draw(SafetyMap(), place_of(*place))
    safe, harm, act = (edges(region) for region in chart.regions)
    assert np.all(safe[0] == PH[0])
    assert np.all(act[1] == PH[-1])
    assert safe[1] == pytest.approx(harm[0])
    assert harm[1] == pytest.approx(act[0])
    for name, border in (("chronic", safe[1]), ("acute", harm[1])):
        # Below 6.5 no limit is printed, and that of 6.5 holds.
        limits = total_ammonia_limits(np.maximum(border, 6.5), Q(CELSIUS, "degC"), salinity)
        over = getattr(limits, name).m_as("kg/m**3") / reading
        # The limits fall as pH rises: at an end of the map they may lie to one side.
        first, last = border == PH[0], border == PH[-1]
        assert np.all(over[first] < 1.01)
        assert np.all(over[last] > 0.99)
        inside = ~first & ~last & (border > 6.5)
        assert over[inside] == pytest.approx(1.0, rel=0.01)


@EACH
@pytest.mark.parametrize("system", ["metric", "us"])
def test_point_is_the_water(draw, place, system):
    set_units(system)
    chart = draw(SafetyMap(), place_of(*place))
    (x,), (y,) = chart.point.get_data()
    unit = {"metric": "degC", "us": "degF"}[system]
    assert (x, y) == pytest.approx((place[1], Q(place[2], "kelvin").m_as(unit)))
    assert chart.own.across == ("right" if x > 8.2 else "left")


@EACH
def test_a_name_stands_in_its_region_or_not_at_all(draw, place):
    chart = draw(SafetyMap(), place_of(*place))
    named = 0
    for region, name in zip(chart.regions, chart.names, strict=True):
        left, right = edges(region)
        if name.get_visible():
            x, y = name.get_position()
            at = int(np.argmin(np.abs(chart.height - y)))
            assert x == pytest.approx((left[at] + right[at]) / 2)
            # Where there is most room, but not at the edge of the map.
            assert (right - left)[at] == pytest.approx((right - left)[4:-4].max(), abs=0.05)
            assert 4 <= at < len(CELSIUS) - 4
            named += 1
        else:
            assert np.max(right - left) < 0.4
    assert named > 0


def test_no_ammonia_is_safe_everywhere(draw):
    chart = draw(SafetyMap(), place_of(0.0, 7.5, 298.15, 0.0))
    low, high = edges(chart.regions[0])
    assert np.all(low == PH[0])
    assert np.all(high == PH[-1])
    assert PH[0] == 5.0


def test_strip_sets_nitrite_against_its_limits(draw):
    for nitrite in (0.0, 0.05e-3, 0.2e-3, 5e-3):
        place = place_of(1e-3, 7.5, 298.15, 0.0, nitrite)
        chart = draw(SafetyMap(), place)
        safe, harm, act = (np.unique(zone.get_xy()[:, 0]) for zone in chart.zones)
        assert safe[-1] == harm[0] == along_strip(place.nitrite.long)
        assert harm[-1] == act[0] == along_strip(place.nitrite.short)
        (at,) = chart.nitrite.get_xdata()
        assert at == pytest.approx(along_strip(1e3 * nitrite))
        inside = [zone[0] <= at <= zone[-1] for zone in (safe, harm, act)]
        assert inside.index(True) == place.nitrite.rank
