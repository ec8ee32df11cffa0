"""The panel of careful cleaning: the picture shows the numbers, and they are the model's."""

import math

import numpy as np
import pytest

from aqualib.lesson.charts.after_cleaning import LOOKS
from aqualib.lesson.panels.careful_cleaning import WATCHED, cleaning_panel, compute
from aqualib.parameters import parameter
from aqualib.tank.load.nitrogen import ammonia_production
from aqualib.tank.maturation.scenario import Scenario
from aqualib.tank.upkeep.cleaning import largest_safe_cleaning, peaks_after_cleaning
from aqualib.units import Q

SETTINGS = [
    {},
    {"share": 0},
    {"share": 95, "feed": 20, "volume": 20},
    {"temperature": 15, "ammonia": 2, "nitrite": 2},
    {"feed": 1, "surface": 5, "share": 60},
]


@pytest.fixture
def panel():
    made = cleaning_panel()
    yield made
    made.close()


def ripe(values):
    protein = parameter("food_protein").bare
    load = ammonia_production(Q(values["feed"], "g/day"), protein).to("g/day")
    return Scenario(
        volume=Q(values["volume"], "L"),
        media_area=Q(values["surface"], "m**2"),
        load=load,
        seed=1.0,
        temperature=Q(values["temperature"], "degC"),
        days=parameter("run_in_before_cleaning").quantity + Q(WATCHED, "day"),
    )


@pytest.mark.parametrize("settings", SETTINGS)
def test_panel_agrees_with_the_public_functions(panel, settings):
    panel.replay(**settings)
    values, result = panel.values, panel.result
    peaks = peaks_after_cleaning(ripe(values), values["share"] / 100)
    for name in LOOKS:
        assert result.highest(name)[0] == pytest.approx(getattr(peaks, name).m, rel=1e-6)
        assert result.passes(name) == (result.highest(name)[0] > values[name])


@pytest.mark.parametrize("settings", SETTINGS)
def test_lines_are_the_numbers(panel, settings):
    panel.replay(**settings)
    chart, result = panel.picture.chart, panel.result
    for name in LOOKS:
        drawn = chart.substances[name]
        top = float(drawn.height.marks[-1].get_text())
        days, heights = drawn.curve.get_data()
        assert days == pytest.approx(result.days)
        assert np.asarray(heights) * top == pytest.approx(getattr(result, name))
        assert np.max(heights) <= 1.0
        limit = drawn.limit.get_ydata()[0] * top
        assert limit == pytest.approx(panel.values[name])
        (x,), (y,) = drawn.peak.get_data()
        assert (y * top, x) == pytest.approx(result.highest(name))
    assert (days[0], days[-1]) == (0.0, WATCHED)


def test_both_curves_have_one_scale(panel):
    substances = panel.picture.chart.substances
    ammonia, nitrite = (substances[name].height.marks[-1].get_text() for name in LOOKS)
    assert ammonia == nitrite


def test_bar_and_words_show_the_largest_share(panel):
    limits = Q(0.25, "mg/L"), Q(0.1, "mg/L")
    share = largest_safe_cleaning(ripe(panel.values), limits[0], nitrite_limit=limits[1])
    assert panel.result.largest == math.floor(100 * share)
    chart = panel.picture.chart
    assert chart.safe.get_xy()[:, 1].max() == pytest.approx(panel.result.largest / 100)
    assert f"{panel.result.largest:.0f} % safe" == chart.most.get_text()
    assert panel.view.answer == ["Clean at once", f"up to {panel.result.largest:.0f} %"]
    panel.set(share=panel.result.largest + 2)
    assert panel.view.answer[1] == f"no more than {panel.result.largest:.0f} %"
    panel.reset()
    assert chart.share.get_ydata()[0] == pytest.approx(0.3)


def test_setting_the_largest_share_keeps_both_limits(panel):
    panel.set(share=panel.result.largest)
    assert not any(panel.result.passes(name) for name in LOOKS)
    panel.set(share=panel.result.largest + 2)
    assert panel.result.passes("ammonia")
    assert not panel.result.passes("nitrite")


def test_nothing_is_safe_where_a_limit_is_passed_without_cleaning(panel):
    assert "nothing now" in panel.replay(ammonia=0.05, feed=2)
    assert panel.picture.chart.most.get_text() == "none safe"


@pytest.mark.parametrize(
    ("settings", "helps"), [({"feed": 20}, True), ({"ammonia": 0.04, "feed": 1}, False)]
)
def test_less_food_is_advised_only_where_it_helps(panel, settings, helps):
    panel.replay(**settings)
    assert math.isnan(panel.result.largest)
    assert panel.result.food_helps == helps
    assert ("feed less" in panel.sentence) == helps
    assert ("Set a higher one" in panel.sentence) != helps
    panel.set(feed=parameter("tank_feed").low, share=0)
    assert panel.result.passes("ammonia") != helps


def test_titles_keep_off_the_ticks_above(panel):
    upper = panel.picture.chart.substances["ammonia"].curve.axes
    assert [tick.get_text() for tick in upper.get_xticklabels()] == [""] * len(upper.get_xticks())


def test_a_rough_result_promises_no_share(panel):
    rough = compute(**{name: c.bare for name, c in panel.controls.items()})
    assert rough.largest is None
    assert "%" not in panel.answer(rough)[1]
    panel.picture.chart.update(rough)
    assert panel.picture.chart.most.get_text() == ""


def test_more_cleaned_is_never_better(panel):
    peaks = []
    for share in range(0, 96, 19):
        panel.set(share=share)
        peaks.append([panel.result.highest(name)[0] for name in LOOKS])
    assert np.all(np.diff(peaks, axis=0) > 0.0)


def test_what_lesson_09_says_of_ammonia_and_nitrite(panel):
    """Nitrite stays below ammonia until nine tenths are gone, and then catches up."""
    for share in (0, 30, 60, 90):
        panel.set(share=share)
        ammonia, nitrite = (panel.result.highest(name) for name in LOOKS)
        assert nitrite[0] < ammonia[0]
        # Ammonia rises first.
        assert share == 0 or ammonia[1] < nitrite[1]
    panel.set(share=95)
    ammonia, nitrite = (panel.result.highest(name)[0] for name in LOOKS)
    assert nitrite > ammonia
    ripe, limit = panel.result.ripe, Q(0.1, "mg/L")
    strict, easy = Q(0.25, "mg/L"), Q(0.5, "mg/L")
    assert largest_safe_cleaning(ripe, strict, nitrite_limit=limit) == largest_safe_cleaning(
        ripe, strict
    )
    assert largest_safe_cleaning(ripe, easy, nitrite_limit=limit) < largest_safe_cleaning(
        ripe, easy
    )
