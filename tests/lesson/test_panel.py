"""The panel: one path for hand and code, refusals in words, units, and pictures that move."""

import hashlib
import io

import numpy as np
import pytest
from ipywidgets import Widget
from PIL import Image

from aqualib.lesson.controls import Choice, Slider, Tick, nice_step
from aqualib.lesson.drawing import style
from aqualib.lesson.panel import Panel
from aqualib.lesson.panels.audit_a_rule import audit_panel
from aqualib.lesson.panels.between_changes import changes_panel
from aqualib.lesson.panels.carbon_in_the_loop import carbon_panel
from aqualib.lesson.panels.careful_cleaning import cleaning_panel
from aqualib.lesson.panels.clean_to_dirty import turnover_panel
from aqualib.lesson.panels.kilograms_of_media import media_panel
from aqualib.lesson.panels.maturing_a_filter import maturation_panel
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
from aqualib.lesson.panels.oxygen_curve import oxygen_panel
from aqualib.lesson.panels.pump_and_loop import pump_panel
from aqualib.lesson.panels.reading_your_test_log import readings_panel
from aqualib.lesson.panels.safety_map import safety_map_panel
from aqualib.lesson.panels.slice_a_piece import slice_panel
from aqualib.lesson.panels.staging_the_solids import filter_panel
from aqualib.lesson.panels.tank_weight import first_slider_panel
from aqualib.lesson.panels.ultraviolet_lamp import lamp_panel
from aqualib.lesson.panels.water_volume import water_volume_panel
from aqualib.lesson.panels.what_it_carries import carries_panel
from aqualib.lesson.panels.what_it_needs import needs_panel
from aqualib.units import DISPLAY, UNIT_SETS, set_units
from aqualib.validity import ValidityError

PANELS = {
    "first slider": first_slider_panel,
    "water volume": water_volume_panel,
    "oxygen": oxygen_panel,
    "nitrogen flow": nitrogen_flow_panel,
    "safety map": safety_map_panel,
    "maturation": maturation_panel,
    "pump and loop": pump_panel,
    "clean to dirty": turnover_panel,
    "filter": filter_panel,
    "readings": readings_panel,
    "slice": slice_panel,
    "kilograms of media": media_panel,
    "carbon": carbon_panel,
    "ultraviolet lamp": lamp_panel,
    "carries": carries_panel,
    "needs": needs_panel,
    "audit a rule": audit_panel,
    "between changes": changes_panel,
    "careful cleaning": cleaning_panel,
}


@pytest.fixture(autouse=True)
def _as_a_lesson_starts():
    set_units("metric")
    style.set_text_size("page")
    yield
    # Widgets live until they are closed; each would redraw when the units change.
    Widget.close_all()
    set_units("metric")
    style.set_text_size("page")


@pytest.fixture(params=list(PANELS), ids=list(PANELS))
def panel(request):
    return PANELS[request.param]()


def ask(panel, **message):
    """Send what the page sends."""
    panel._on_message(panel.view, message, [])


def sliders(panel):
    return {name: c for name, c in panel.controls.items() if isinstance(c, Slider)}


def picture(panel):
    """A short stand-in for the picture's bytes, which would be slow to compare in a failure."""
    return hashlib.sha256(panel.view.png).hexdigest()[:12]


def pixels(png):
    return np.asarray(Image.open(io.BytesIO(png)))


def test_every_slider_changes_the_picture_and_the_words(panel):
    for name, slider in sliders(panel).items():
        if name == "bow":
            panel.set(shape="bow front")
        panel.set(**{name: slider.parameter.low})
        low, sentence = picture(panel), panel.sentence
        panel.set(**{name: slider.parameter.high})
        assert picture(panel) != low, name
        assert panel.sentence != sentence, name
        panel.reset()


def test_both_ends_of_all_sliders_together_work(panel):
    for end in ("low", "high"):
        panel.set(**{n: getattr(s.parameter, end) for n, s in sliders(panel).items()})
        assert panel.view.error == ""
        assert np.isfinite(pixels(panel.view.png)).all()


def test_hand_and_code_take_the_same_path(panel):
    name, slider = next(iter(sliders(panel).items()))
    value = slider.start + 3 * slider.step
    by_code = panel.set(**{name: value}), picture(panel)
    panel.reset()
    ask(panel, do="set", name=name, value=value, turn=7)
    assert panel.view.done == 7
    # What takes longer comes when the hand rests; code gets it at once.
    assert panel.view.rough == (panel.refine is not None)
    ask(panel, do="refine", turn=8)
    assert (panel.sentence, picture(panel)) == by_code
    assert not panel.view.rough


def test_reset_brings_back_the_first_picture(panel):
    first = picture(panel), panel.sentence
    for name, slider in sliders(panel).items():
        panel.set(**{name: slider.parameter.high})
    panel.reset()
    assert (picture(panel), panel.sentence) == first


def test_one_figure_for_life(panel):
    figure = panel.picture.figure
    axes = len(figure.axes)
    name, slider = next(iter(sliders(panel).items()))
    for share in np.linspace(0.0, 1.0, 20):
        low, high = slider.parameter.low, slider.parameter.high
        panel.set(**{name: low + share * (high - low)})
    assert panel.picture.figure is figure
    assert len(figure.axes) == axes


@pytest.mark.parametrize("value", [1e9, -1e9, float("nan"), float("inf"), "7", None, [7.0], True])
def test_set_refuses_bad_values_and_changes_nothing(panel, value):
    name = next(iter(sliders(panel)))
    before = panel.values, panel.sentence, picture(panel)
    with pytest.raises(ValidityError) as refused:
        panel.set(**{name: value})
    assert refused.value.parameter == panel.controls[name].name
    assert (panel.values, panel.sentence, picture(panel)) == before


def test_one_bad_value_among_good_ones_changes_nothing(panel):
    (first, slider), (second, _) = list(sliders(panel).items())[:2]
    before = panel.values
    with pytest.raises(ValidityError):
        panel.set(**{first: slider.parameter.low, second: 1e12})
    assert panel.values == before


def test_unknown_control_is_named(panel):
    with pytest.raises(ValidityError, match="bubbles"):
        panel.set(bubbles=1)


@pytest.mark.parametrize("value", ["a lot", "", None, 1e9, [1], True, {}])
def test_a_bad_entry_is_shown_in_words_and_the_value_goes_back(panel, value):
    name = next(iter(sliders(panel)))
    before = panel.values
    ask(panel, do="set", name=name, value=value, turn=3)
    assert panel.controls[name].name in panel.view.error
    assert panel.values == before
    assert panel.view.done == 3
    ask(panel, do="set", name=name, value=panel.controls[name].parameter.low, turn=4)
    assert panel.view.error == ""


@pytest.mark.parametrize(
    "message",
    [
        {},
        {"do": "dance"},
        {"do": "set", "name": "nothing", "value": 1},
        {"do": "units", "value": "cubits"},
        {"do": "pixel ratio", "value": 1e6},
        {"do": "pixel ratio", "value": "big"},
    ],
)
def test_a_strange_message_changes_nothing(panel, message):
    before = panel.values, picture(panel)
    ask(panel, **message)
    assert (panel.values, picture(panel)) == before


@pytest.mark.parametrize("system", UNIT_SETS)
def test_units_are_one_setting_with_metric_alongside(panel, system):
    ask(panel, do="units", value=system, turn=1)
    assert panel.view.units == system
    for name, slider in sliders(panel).items():
        reading = panel.view.readings[name]
        shown = next(spec for spec in panel.view.controls if spec["name"] == name)
        other = slider.unit in DISPLAY and system != "metric"
        assert bool(reading["metric"]) == other, name
        assert shown["low"] <= reading["value"] + shown["step"]
        # The ends the page offers can be set, whatever the units.
        for end in ("low", "high"):
            slider.take(shown[end])
            assert slider.parameter.low <= slider.value <= slider.parameter.high


def test_a_value_out_and_back_in_other_units_stays(panel):
    set_units("us")
    for name, slider in sliders(panel).items():
        before = slider.value
        slider.take(slider.reading()["value"])
        assert slider.value == pytest.approx(before, rel=1e-8, abs=1e-9), name


def test_units_of_one_panel_reach_the_other():
    first, second = first_slider_panel(), oxygen_panel()
    ask(first, do="units", value="us", turn=1)
    assert second.view.units == "us"
    assert "°F" in second.sentence


def test_large_text_makes_another_picture(panel):
    page = picture(panel)
    ask(panel, do="large", value=True, turn=1)
    assert panel.view.large
    assert picture(panel) != page
    ask(panel, do="large", value=False, turn=2)
    assert picture(panel) == page


def test_a_dense_screen_gets_more_pixels(panel):
    height, width = pixels(panel.view.png).shape[:2]
    ask(panel, do="pixel ratio", value=2, turn=1)
    assert pixels(panel.view.png).shape[:2] == (2 * height, 2 * width)


def test_replay_starts_from_the_lesson_start():
    panel = nitrogen_flow_panel()
    alone = panel.replay(feed=8)
    panel.set(ph=9.0, volume=20)
    assert panel.replay(feed=8) == alone
    assert panel.controls["ph"].value == panel.controls["ph"].start


def broken_panel():
    def compute(ph):
        if ph > 8:
            message = "the sum went wrong"
            raise RuntimeError(message)
        return ph

    class Blank:
        size = (2.0, 1.0)

        def frame(self, result):
            return None

        def build(self, figure, result):
            return []

        def update(self, result):
            pass

    controls = {"ph": Slider("pH", "tank_ph", 0.1)}
    return Panel("t", controls, compute, Blank(), str, lambda r: ("pH", str(r)))


def test_an_error_of_the_computation_is_shown_and_raised():
    panel = broken_panel()
    with pytest.raises(RuntimeError):
        panel.set(ph=8.5)
    assert panel.view.error == "the sum went wrong"
    with pytest.raises(RuntimeError):
        ask(panel, do="set", name="ph", value=8.6, turn=5)
    assert panel.view.done == 5
    panel.set(ph=7.0)
    assert panel.view.error == ""


def test_slider_ranges_come_from_the_parameters(panel):
    for slider in sliders(panel).values():
        assert slider.parameter.low <= slider.start <= slider.parameter.high
        assert slider.parameter.origin in slider.spec()["about"]


def test_a_slider_forgives_the_page_its_arithmetic():
    slider = Slider("pH", "tank_ph", 0.1)
    slider.take(7.199999999999999)
    assert slider.value == 7.2


def test_choice_and_tick_refuse_other_things():
    choice = Choice("Shape", {"a": "A"}, "a")
    with pytest.raises(ValidityError):
        choice.take("b")
    tick = Tick("Live rock", start=False)
    with pytest.raises(ValidityError):
        tick.take("yes")
    tick.take(True)
    assert tick.bare is True


@pytest.mark.parametrize(
    ("step", "nice"), [(0.9, 1.0), (2.64, 2.0), (0.0176, 0.02), (4.5, 5.0), (1.0, 1.0)]
)
def test_steps_in_other_units_are_round(step, nice):
    assert nice_step(step) == pytest.approx(nice)


def test_still_picture_for_a_viewer_without_a_kernel(panel):
    bundle, metadata = panel._repr_mimebundle_()
    assert set(bundle) == {
        "application/vnd.jupyter.widget-view+json",
        "image/png",
        "text/plain",
    }
    assert panel.sentence in bundle["text/plain"]
    assert metadata["image/png"]["alt"] == panel.sentence


def test_maturation_curves_are_the_results():
    panel = maturation_panel()
    chart, run = panel.picture.chart, panel.result
    top = float(chart.marks[-1].get_text())
    for name, curve in chart.curves.items():
        days, heights = curve.get_data()
        assert (days == run.time).all()
        assert heights * top == pytest.approx(getattr(run, name))
    left = chart.safe.get_xy()[:, 0].min()
    assert left == pytest.approx(run.ready)
    assert run.ammonia_falls < run.ready
    assert chart.words[1].get_text().startswith("nitrite")


def test_figures_show_the_numbers_of_the_result():
    panel = safety_map_panel()
    panel.set(total_ammonia=1.0, ph=8.0, temperature=20)
    chart = panel.picture.chart
    x, y = chart.point.get_data()
    assert (x[0], y[0]) == (8.0, pytest.approx(20.0))
    # On the edge of the safe region the limit equals the reading.
    from aqualib.units import Q
    from aqualib.water.ammonia import total_ammonia_limits

    outline = chart.regions[0].get_xy()
    for ph, celsius in outline[len(outline) // 2 :: 9]:
        if 6.5 < ph < 9.0:
            chronic = total_ammonia_limits(ph, Q(celsius, "degC"), 0).chronic
            assert chronic.m_as("mg/L") == pytest.approx(1.0, rel=0.01)


def test_bands_of_the_flow_are_in_proportion():
    panel = nitrogen_flow_panel()
    chart, budget = panel.picture.chart, panel.result.budget
    heights = {
        share: band.get_xy()[0, 1] - band.get_xy()[-2, 1] for share, band in chart.bands.items()
    }
    whole = np.ptp(chart.food.get_xy()[:, 1])
    for share, height in heights.items():
        fraction = getattr(budget, share) / panel.result.budget_total
        assert height / whole == pytest.approx(fraction, rel=1e-6), share


def test_tank_is_drawn_to_scale():
    panel = water_volume_panel()
    panel.set(length=120, depth=50)
    water = panel.picture.chart.section.water.get_xy()
    assert np.ptp(water[:, 0]) == pytest.approx(120)
    assert np.ptp(water[:, 1]) == pytest.approx(50)
    assert panel.picture.figure.axes[0].get_aspect() == 1.0


def test_a_refused_entry_is_told_in_the_units_it_was_typed_in():
    panel = water_volume_panel()
    set_units("us")
    ask(panel, do="set", name="length", value=900)
    assert "900 in is out of range. Valid: 8 to 62 in" in panel.view.error
    assert panel.controls["length"].value == 100.0


class Shell:
    """Stands in for the notebook's shell: which cell runs, and in which run."""

    execution_count = 1

    def __init__(self, cell):
        self.cell = cell

    def get_parent(self):
        return {"metadata": {"cellId": self.cell}}


def test_a_cell_run_again_closes_the_panel_it_showed_before(monkeypatch):
    shell = Shell("a cell")
    monkeypatch.setattr("aqualib.lesson.panel.get_ipython", lambda: shell)
    first, beside = first_slider_panel(), first_slider_panel()
    first._repr_mimebundle_()
    first._repr_mimebundle_()
    beside._repr_mimebundle_()
    shell.execution_count = 2
    second = first_slider_panel()
    second._repr_mimebundle_()
    shell.cell, shell.execution_count = "another cell", 3
    elsewhere = first_slider_panel()
    elsewhere._repr_mimebundle_()
    assert [p.view.comm is None for p in (beside, second, elsewhere)] == [True, False, False]


def test_a_closed_panel_still_works_for_code():
    panel = first_slider_panel()
    before, name = picture(panel), next(iter(sliders(panel)))
    panel.close()
    panel.set(**{name: panel.controls[name].parameter.low})
    panel.reset()
    assert picture(panel) == before
