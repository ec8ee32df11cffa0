"""What a panel shows: every control moves picture and words, at any setting and any size."""

import re

import numpy as np
import pytest
from matplotlib.text import Text
from panels_of_lessons import ask, picture, pixels, sliders

from aqualib.lesson.controls import Choice, Tick
from aqualib.lesson.panels.maturing_a_filter import maturation_panel
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
from aqualib.lesson.panels.safety_map import safety_map_panel
from aqualib.lesson.panels.water_volume import water_volume_panel
from aqualib.units import Q
from aqualib.water.ammonia import total_ammonia_limits

pytestmark = pytest.mark.usefixtures("lesson_start")

NO_NUMBER = re.compile(r"\b(nan|inf|None)\b")


def words_shown(panel):
    """All that can be read in a panel: the sentence, the answer, and what stands in the picture."""
    drawn = panel.picture.figure.findobj(Text)
    texts = [text.get_text() for text in drawn if text.get_visible()]
    return [panel.sentence, *panel.view.answer, *texts]


def colours(png):
    """The different colours of a picture, each as one number."""
    return np.unique(pixels(png).astype(np.uint32) @ np.array([1 << 16, 1 << 8, 1]))


ONLY_SAID = {("From clean to dirty", name) for name in ("power", "price")}
"""The bill of a pump is no part of the picture."""
# In the tree of a leak, no more than the air takes is no leak, whatever the surface.
ONLY_SAID |= {("What is wrong?", name) for name in ("tank_length", "tank_width")}
ONLY_DRAWN = {("What is a kilogram of media worth?", "working_depth")}
"""The reach of oxygen is drawn; that pores do not add to the surface stays true."""
# They stand at their own question, and another was answered with yes.
ONLY_DRAWN |= {
    ("What is wrong?", name) for name in ("days_since_medicine", "salt_rise", "tap_alkalinity")
}


def test_every_slider_changes_the_picture_and_the_words(panel):
    for name, slider in sliders(panel).items():
        others = {"shape": "bow front"} if name == "bow" else wanted_with(panel, name)
        panel.replay(**others, **{name: slider.parameter.low})
        low, sentence = picture(panel), panel.sentence
        panel.replay(**others, **{name: slider.parameter.high})
        assert picture(panel) != low or (panel.title, name) in ONLY_SAID, name
        assert panel.sentence != sentence or (panel.title, name) in ONLY_DRAWN, name


def wanted_with(panel, name):
    """The choice for which a control stands on the page, where one owns it."""
    choices = {n: c for n, c in panel.controls.items() if isinstance(c, Choice)}
    found = [
        (names.index(name), {n: v})
        for n, c in choices.items()
        for v, names in c.shows.items()
        if name in names
    ]
    # Where it stands highest it is asked for, and does not only help.
    return min(found, key=lambda one: one[0])[1] if found else {}


def test_both_ends_of_all_sliders_together_work(panel):
    seen = []
    for end in ("low", "high"):
        panel.set(**{n: getattr(s.parameter, end) for n, s in sliders(panel).items()})
        assert panel.view.error == ""
        assert [words for words in words_shown(panel) if NO_NUMBER.search(words)] == []
        assert len(colours(panel.view.png)) > 10, "blank"
        seen.append(picture(panel))
    assert seen[0] != seen[1]


def test_every_choice_and_tick_has_a_picture_of_its_own(panel):
    for name, control in panel.controls.items():
        stops = {Choice: list(getattr(control, "words", ())), Tick: [False, True]}
        seen = []
        for value in stops.get(type(control), []):
            panel.replay(**{name: value})
            assert [words for words in words_shown(panel) if NO_NUMBER.search(words)] == []
            seen.append((picture(panel), panel.sentence))
        assert len(set(seen)) == len(seen), name


def other_end(slider):
    """Return an end of a slider that it does not start at."""
    row = slider.parameter
    return row.low if slider.start >= row.high else row.high


def test_reset_brings_back_the_first_picture(panel):
    first = picture(panel), panel.sentence
    panel.set(**{name: other_end(slider) for name, slider in sliders(panel).items()})
    assert (picture(panel), panel.sentence) != first
    panel.reset()
    assert (picture(panel), panel.sentence) == first


def test_one_figure_for_life(panel):
    figure = panel.picture.figure
    axes = len(figure.axes)
    name, slider = next(iter(sliders(panel).items()))
    for share in np.linspace(0.0, 1.0, 6):
        low, high = slider.parameter.low, slider.parameter.high
        ask(panel, do="set", name=name, value=low + share * (high - low), units="metric")
        assert panel.view.error == ""
    assert panel.picture.figure is figure
    assert len(figure.axes) == axes


def test_large_text_makes_another_picture(panel):
    page = picture(panel)
    ask(panel, do="large", value=True, turn=1)
    assert panel.view.large
    assert picture(panel) != page
    ask(panel, do="large", value=False, turn=2)
    assert picture(panel) == page


@pytest.mark.parametrize(("width", "ratio"), [(636, 1.0), (400, 1.25), (500, 2.0), (900, 1.0)])
def test_the_picture_has_the_pixels_of_its_place_in_the_page(panel, width, ratio):
    updates = panel.updates
    ask(panel, do="fit", value=width, ratio=ratio, turn=1)
    assert pixels(panel.view.png).shape[1] == int(width * ratio)
    assert panel.updates == updates, "nothing is computed anew"


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
    assert chart.safe.get_xdata()[0] == pytest.approx(run.ready)
    assert run.ammonia_falls < run.ready
    assert chart.words[1].get_text().startswith("nitrite")


def test_figures_show_the_numbers_of_the_result():
    panel = safety_map_panel()
    panel.set(total_ammonia=1.0, ph=8.0, temperature=20)
    chart = panel.picture.chart
    x, y = chart.point.get_data()
    assert (x[0], y[0]) == (8.0, pytest.approx(20.0))
    # On the edge of the safe region the limit equals the reading.
    outline = chart.regions[0].get_xy()
    on_the_edge = [
        (ph, celsius) for ph, celsius in outline[len(outline) // 2 :: 9] if 6.5 < ph < 9.0
    ]
    assert len(on_the_edge) > 3
    for ph, celsius in on_the_edge:
        chronic = total_ammonia_limits(ph, Q(celsius, "degC"), 0).chronic
        assert chronic.m_as("mg/L") == pytest.approx(1.0, rel=0.01)


def test_bands_of_the_flow_are_in_proportion():
    panel = nitrogen_flow_panel()
    chart, budget = panel.picture.chart, panel.result.budget
    heights = {
        share: band.get_xy()[0, 1] - band.get_xy()[-2, 1] for share, band in chart.bands.items()
    }
    assert heights
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
