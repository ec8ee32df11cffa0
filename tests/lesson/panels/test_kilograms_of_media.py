"""Kilograms of media: tray and bars are the numbers, and these are those of `media_bed`."""

import numpy as np
import pytest

from aqualib.filtration.media.bed import media_bed
from aqualib.filtration.media.kinds import media_kinds
from aqualib.filtration.media.tray_fill import cost_per_area
from aqualib.lesson.charts.media_by_the_kilogram import (
    FULL,
    NAMES,
    TRAY_HIGH,
    TRAY_WIDE,
    TRAYS,
    rough,
    tray_width,
)
from aqualib.lesson.drawing.pieces import drawn_width, outline
from aqualib.lesson.panels.kilograms_of_media import media_panel
from aqualib.units import Q, set_units


@pytest.fixture
def panel():
    made = media_panel()
    yield made
    set_units("metric")
    made.close()


SETTINGS = [
    {},
    {"kind": "gravel", "size": 4, "inner_porosity": 0, "voidage": 40},
    {"kind": "lava rock", "mass": 8, "size": 20, "pore_size": 2, "price": 0},
    {"kind": "open-cell foam", "size": 1.5, "voidage": 97, "inner_porosity": 0},
    {"kind": "moving plastic carriers", "mass": 10, "size": 10, "voidage": 85},
    {"kind": "porous ceramic balls", "mass": 0.1, "size": 60, "working_depth": 3},
]
EACH = pytest.mark.parametrize("settings", SETTINGS)


@EACH
def test_numbers_are_those_of_the_public_function(panel, settings):
    panel.replay(**settings)
    c = {name: control.value for name, control in panel.controls.items()}
    bed = media_bed(
        c["kind"],
        Q(c["mass"], "kg"),
        Q(c["size"], "mm"),
        c["inner_porosity"] / 100,
        c["voidage"] / 100,
        Q(c["pore_size"], "um"),
        Q(c["working_depth"], "mm"),
    )
    ours = panel.result.bed
    for name, unit in (("volume", "L"), *((name, "m**2") for name in NAMES)):
        theirs = [end.m_as(unit) for end in getattr(bed, name)]
        np.testing.assert_allclose(getattr(ours, name), theirs, rtol=1e-9, err_msg=name)
    area = bed.outer_area.best / Q(c["mass"], "kg")
    assert panel.result.cost == pytest.approx(cost_per_area(c["price"], area))


@EACH
@pytest.mark.parametrize("system", ["metric", "us"])
def test_bars_are_the_areas_and_whiskers_their_ranges(panel, settings, system):
    set_units(system)
    panel.replay(**settings)
    chart, bed = panel.picture.chart, panel.result.bed
    factor = 1.0 if system == "metric" else Q(1, "m**2").m_as("ft**2")

    def read(place):
        return place * chart.axis.end / factor

    ends = []
    for name, block in chart.bars.blocks.items():
        low, best, high = getattr(bed, name)
        assert block.get_visible() == (best > 0)
        if best > 0:
            longest = chart.axis.end / factor
            assert read(block.get_xy()[:, 0].max()) == pytest.approx(min(best, longest))
        if high > 0:
            ends += [low, high]
    x = np.reshape(chart.bars.whiskers.get_xdata(), (-1, 7))
    drawn = [read(place) for place in x[:, [0, 3]].ravel()]
    assert drawn == pytest.approx(list(np.clip(ends, 0.0, chart.axis.end / factor)))


@EACH
def test_tray_is_filled_to_scale(panel, settings):
    panel.replay(**settings)
    chart, litres = panel.picture.chart, panel.result.bed.volume
    wide, high = np.ptp(chart.media.get_xy(), axis=0)
    tray = tray_width(litres.best)
    assert wide == TRAY_WIDE
    if high < TRAY_HIGH:
        cm = tray / TRAY_WIDE
        assert tray**2 * high * cm / 1000 == pytest.approx(litres.best)
    levels = np.array(chart.levels.get_ydata())[[0, 3]] - chart.media.get_xy()[:, 1].min()
    assert levels[0] < high < levels[1] or levels[1] > TRAY_HIGH


@EACH
def test_pieces_are_drawn_to_scale_and_lie_inside(panel, settings):
    panel.replay(**settings)
    chart, result = panel.picture.chart, panel.result
    x = np.array(chart.pieces.get_xdata())
    inches = 0.1 * TRAY_WIDE / tray_width(result.bed.volume.best)
    piece = drawn_width(result.kind, result.size) * inches
    if not len(x):
        assert "too small to draw" in chart.below.get_text()
        return
    # A marker is drawn twice its reach wide.
    reach = np.abs(outline(result.kind).vertices).max()
    assert chart.pieces.get_markersize() / 72 == pytest.approx(2 * reach * piece)
    left, right = chart.media.get_xy()[:, 0].min(), chart.media.get_xy()[:, 0].max()
    assert left <= x.min() - piece / 2 + 1e-6
    assert x.max() + piece / 2 <= right + 1e-6


@pytest.mark.parametrize("name", media_kinds())
def test_a_kind_brings_its_own_numbers(panel, name):
    kind, times = media_kinds()[name], {"inner_porosity": 100, "voidage": 100}
    panel.set(kind=name)
    for number in ("size", "inner_porosity", "voidage", "pore_size", "price"):
        if number in kind.numbers:
            own = times.get(number, 1) * kind[number].value
            assert panel.values[number] == pytest.approx(own), number
    assert name in panel.sentence
    assert "Not usual" not in panel.sentence
    ours, theirs = panel.result.bed, media_bed(name, Q(1, "kg"))
    assert ours.outer_area.best == pytest.approx(theirs.outer_area.best.m_as("m**2"))
    panel.set(size=12)
    assert panel.values["size"] == 12
    assert panel.values["kind"] == name


def test_every_kind_works_at_all_settings_of_another(panel):
    rings = {n: c.start for n, c in panel.controls.items() if n != "kind"}
    for name in media_kinds():
        panel.set(**rings, kind=name)
        assert name in panel.sentence
        assert panel.view.error == ""
        assert panel.result.size == pytest.approx(15)


def test_pore_walls_are_never_added_to_what_works(panel):
    before = panel.view.answer
    panel.set(pore_size=10)
    assert panel.view.answer == before
    assert "do not add to it" in panel.sentence
    panel.set(pore_size=5)
    assert "too narrow for bacteria" in panel.sentence
    panel.set(inner_porosity=0)
    assert "Without pores" in panel.sentence


def test_a_kind_chosen_by_hand_is_drawn_once_and_reset_brings_the_start_back(panel):
    before, start = panel.updates, panel.values
    panel._on_message(None, {"do": "set", "name": "kind", "value": "gravel"}, [])
    assert panel.updates == before + 1
    assert panel.values["size"] == 4
    panel.reset()
    assert panel.values == start
    panel.set(size=30)
    panel.replay(kind="lava rock")
    assert panel.values["size"] == 20


def test_what_is_not_usual_is_said(panel):
    assert "Not usual" not in panel.sentence
    panel.set(size=60, voidage=30)
    assert panel.sentence.startswith("Not usual: size 60 mm (usual 8 to 25); gaps 30 %")
    set_units("us")
    assert panel.sentence.startswith("Not usual: size 2.4 in (usual 0.31 to 0.98)")


def test_trays_hold_what_fits():
    assert tray_width(0.1) == TRAYS[0]
    assert tray_width(1e9) == TRAYS[-1]
    for litres in (1.0, 5.0, 60.0, 500.0):
        assert 1000 * litres <= FULL * tray_width(litres) ** 3


def test_rough_numbers():
    assert [rough(x) for x in (0.0123, 0.71, 98.7, 488.0, 59179.0)] == [
        "0.012", "0.71", "99", "490", "59 000",
    ]  # fmt: skip
