"""The slice: the picture shows the numbers, and the numbers are those of the public function."""

import numpy as np
import pytest

from aqualib.filtration.biofilm.diffusion import SPECIES
from aqualib.filtration.porous_piece.film_parameters import FILM_ROWS, row_of
from aqualib.filtration.porous_piece.piece import KINDS, NITRIFYING, working_piece, zones
from aqualib.filtration.porous_piece.uncertainty import CERTAIN, FILM
from aqualib.lesson.charts.slice_of_piece import FILM_WIDTH, HIGHEST, WINDOWS, reach
from aqualib.lesson.drawing.piece_section import LEFT, LONG, MIDDLE
from aqualib.lesson.panels.slice_a_piece import IN_WORDS, slice_panel
from aqualib.units import Q


@pytest.fixture
def panel():
    made = slice_panel()
    yield made
    made.close()


SETTINGS = [
    {},
    {"total_ammonia": 1.6, "organic_matter": 20},
    {"shape": "slab", "size": 3, "total_ammonia": 5, "velocity": 0},
    {"shape": "cylinder", "pore_diameter": 5, "salinity": 35},
    {"size": 30, "oxygen": 12, "temperature": 10},
    {"size": 1, "oxygen": 0.5, "total_ammonia": 0.05},
]
EACH = pytest.mark.parametrize("settings", SETTINGS)


def test_numbers_are_those_of_the_public_function(panel):
    panel.set(size=6, total_ammonia=1, oxygen=5, velocity=2, shape="cylinder", porosity=40)
    panel.set(pore_diameter=100, organic_matter=8, nitrate=20, temperature=20, salinity=15)
    piece = working_piece(
        "cylinder", Q(6, "mm"), Q(1, "mg/L"), Q(5, "mg/L"), Q(20, "degC"), velocity=Q(2, "mm/s"),
        salinity=15.0, nitrate_nitrogen=Q(20, "mg/L"), organic_carbon=Q(8, "mg/L"), porosity=0.4,
        pore_diameter=Q(100, "um"),
    )  # fmt: skip
    result = panel.result
    assert result.areal_rate == pytest.approx(piece.nitrified.m_as("g/m**2/day"))
    assert result.volumetric_rate == pytest.approx(piece.nitrified_per_volume.m_as("mg/L/day"))
    assert result.working_depth == pytest.approx(piece.working_depth.m_as("mm"))
    assert result.working.concentrations * 1e3 == pytest.approx(piece.concentrations.m_as("mg/L"))


def test_share_of_the_volume(panel):
    result = panel.result
    outer = 1e3 * result.working.piece.outer
    left = (outer - result.working_depth) ** 3 / outer**3
    assert result.share_of_volume == pytest.approx(100.0 * (1.0 - left))
    wall = panel.set(shape="slab")
    assert wall
    assert panel.result.share_of_volume == pytest.approx(
        100.0 * panel.result.working_depth / (1e3 * panel.result.working.piece.outer)
    )


@EACH
def test_zones_of_the_slice_are_to_scale(panel, settings):
    panel.replay(**settings)
    working, section = panel.result.working, panel.picture.chart.section
    found = {zone.kind: zone for zone in zones(working)}
    for kind, polygon in section.zones.items():
        assert polygon.get_visible() == (kind in found)
        if kind in found:
            xy = polygon.get_xy() - [LEFT, MIDDLE]
            away = xy[:, 0] if working.piece.dimensions == 1 else np.hypot(*xy.T)
            zone, per_metre = found[kind], LONG / working.piece.outer
            assert away.max() == pytest.approx((working.piece.outer - zone.top) * per_metre)
            inner = (working.piece.outer - zone.bottom) * per_metre
            assert away.min() == pytest.approx(inner, abs=1e-9)


@EACH
def test_lines_are_the_profiles(panel, settings):
    panel.replay(**settings)
    chart, working = panel.picture.chart, panel.result.working
    window = reach(working)
    for at, species in enumerate(SPECIES):
        curve = chart.curves[species]
        if not curve.get_visible():
            assert working.outside[at] == pytest.approx(0.0, abs=1e-9)
            continue
        x, y = curve.get_data()
        inside = x <= 0.0
        expected = np.interp(-x[inside][:-1] * window, working.depth[::-1],
                             working.concentrations[::-1, at])  # fmt: skip
        shown = y[inside][:-1] / 100.0 * working.outside[at]
        assert shown == pytest.approx(expected, rel=1e-6, abs=1e-12)
        # In the water outside, all of it.
        assert y[np.argmax(x == FILM_WIDTH)] == pytest.approx(100.0)


@EACH
def test_bands_behind_the_lines_are_the_zones(panel, settings):
    panel.replay(**settings)
    chart, working = panel.picture.chart, panel.result.working
    window = reach(working)
    drawn = {zone.kind: zone for zone in zones(working) if zone.top < window}
    # The zones follow each other from the surface down: together they fill the plot.
    assert sum(min(zone.bottom, window) - zone.top for zone in drawn.values()) == pytest.approx(
        min(window, working.piece.outer)
    )
    for kind in KINDS:
        band, ribbon = chart.bands[kind], chart.ribbons[kind]
        assert (band.get_visible(), ribbon.get_visible()) == (kind in drawn,) * 2
    for kind, zone in drawn.items():
        x = chart.bands[kind].get_xy()[:, 0]
        assert -x.max() * window == pytest.approx(zone.top)
        assert -x.min() * window == pytest.approx(min(zone.bottom, window))
        assert chart.ribbons[kind].get_xy()[:, 0] == pytest.approx(x)


@EACH
def test_mark_is_the_working_depth(panel, settings):
    panel.replay(**settings)
    chart, window = panel.picture.chart, reach(panel.result.working)
    x = chart.working.get_xdata()
    assert -x[0] * window == pytest.approx(panel.result.working.working_depth)
    assert x[1] == 0.0
    low, high = (end["working_depth"] for end in (panel.result.doubt.low, panel.result.doubt.high))
    ends = -np.array(chart.range.get_xdata()) * window
    assert ends == pytest.approx([min(high, window), low])


@EACH
def test_plot_reaches_what_happens_or_the_middle(panel, settings):
    panel.replay(**settings)
    working = panel.result.working
    window = reach(working)
    assert window >= min(1.2 * working.working_depth, working.piece.outer)
    ends = np.array([working.piece.outer, *WINDOWS])
    assert np.min(np.abs(window / ends - 1.0)) < 1e-9
    assert panel.picture.chart.ticks[2].get_text() == "0"


@EACH
def test_names_of_the_lines_stand_apart_and_inside(panel, settings):
    panel.replay(**settings)
    names = panel.picture.chart.names.values()
    heights = sorted(name.get_position()[1] for name in names if name.get_visible())
    assert np.all(np.diff(heights) > 0.04 * HIGHEST)
    assert heights[0] > 0.0
    assert heights[-1] < HIGHEST


@EACH
def test_every_zone_is_named(panel, settings):
    panel.replay(**settings)
    section = panel.picture.chart.section
    found = {zone.kind for zone in zones(panel.result.working)}
    for kind in KINDS:
        assert section.names[kind].get_visible() == (kind in found)
        if kind in found:
            assert section.names[kind].get_text()


def test_core_and_food_in_words(panel):
    assert "Oxygen reaches all of it" in panel.sentence
    panel.set(total_ammonia=3, organic_matter=0)
    assert "No oxygen below" in panel.sentence
    assert "takes out 0 mg of nitrate" in panel.sentence
    assert "Oxygen is short" in panel.set(oxygen=2)


def test_little_oxygen_is_told_without_contradiction(panel):
    """The layer that does the work is the one that is drawn; below it there is no oxygen."""
    panel.set(oxygen=0.5)
    assert panel.result.working.anoxic_depth < panel.result.working.working_depth
    assert "Oxygen is scarce there, gone below" in panel.sentence
    zone = next(zone for zone in zones(panel.result.working) if zone.kind == NITRIFYING)
    assert zone.bottom == pytest.approx(panel.result.working.working_depth)
    assert f"{1e3 * zone.bottom:.2g} mm" in panel.view.answer[1]


def test_doubt_is_told_when_the_hand_rests(panel):
    message = {"do": "set", "name": "size", "value": 12.0, "turn": 1}
    panel._on_message(panel.view, message, [])
    assert panel.result.doubt is None
    assert ", by how" not in panel.sentence
    assert not panel.picture.chart.sure.get_visible()
    panel._on_message(panel.view, {"do": "refine", "turn": 2}, [])
    assert panel.result.doubt is not None
    assert ", by how many ammonia oxidisers" in panel.sentence
    assert panel.picture.chart.sure.get_visible()


def test_every_doubt_has_words():
    doubts = {n for n in FILM_ROWS if n not in CERTAIN and row_of(n).low < row_of(n).high} | {FILM}
    assert set(IN_WORDS) == doubts
