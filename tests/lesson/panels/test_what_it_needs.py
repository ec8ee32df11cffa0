"""Lesson 07's second panel: heaps and bars are the numbers of `what_it_needs`."""

import numpy as np
import pytest

from aqualib.lesson.charts.media_needed import HIGHEST, SHEETS, SLOT, sheet_width, side
from aqualib.lesson.panels.what_it_needs import needs_panel
from aqualib.parameters import parameter
from aqualib.tank.sizing.needs import what_it_needs
from aqualib.tank.sizing.system import FilterSystem
from aqualib.units import Q, set_units


@pytest.fixture
def panel():
    made = needs_panel()
    yield made
    set_units("metric")
    made.close()


def expected(panel, salinity, rock):
    c = {name: control.value for name, control in panel.controls.items()}
    system = FilterSystem(
        volume=Q(c["volume"], "L"),
        flow=Q(c["flow"], "L/h"),
        temperature=Q(c["temperature"], "degC"),
        salinity=salinity,
        total_ammonia_nitrogen=Q(c["ammonia"], "mg/L"),
        area_per_mass=Q(c["area_per_mass"], "m**2/kg"),
        protein_fraction=c["protein"] / 100.0,
        body_mass=Q(c["body"], "g"),
        ration=c["ration"],
        rock_mass=Q(rock, "kg"),
        pad_area=Q(c["pads"], "m**2"),
    )
    return what_it_needs(system, stock_mass=Q(c["stock"], "kg"))


SETTINGS = [{}, {"stock": 2, "rock": 30}, {"body": 50, "temperature": 15}, {"flow": 30}]


@pytest.mark.parametrize("settings", SETTINGS)
def test_numbers_are_those_of_the_public_function(panel, settings):
    panel.replay(**settings)
    rock = panel.controls["rock"].value
    for water, salinity, stones in (("fresh", 0, 0.0), ("marine", 35, rock)):
        ours, theirs = panel.result.needed[water], expected(panel, salinity, stones)
        np.testing.assert_allclose(ours.mass, [end.m for end in theirs.mass], rtol=1e-9)
        np.testing.assert_allclose(ours.volume, [end.m for end in theirs.volume], rtol=1e-9)
        assert panel.result.feed == pytest.approx(theirs.feed.m)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_bars_and_heaps_are_the_numbers(panel, system):
    set_units(system)
    panel.set(stock=1.5)
    chart, result = panel.picture.chart, panel.result
    factor = 1.0 if system == "metric" else Q(1, "kg").m_as("lb")
    sizes = {}
    for water, block in chart.bars.blocks.items():
        mass = result.needed[water].mass
        width = np.ptp(block.get_xy()[:, 0])
        assert width == pytest.approx(mass.best * factor / chart.axis.end)
        sizes[water] = np.ptp(chart.heaps[water].get_xy(), axis=0)
        assert sizes[water][0] == pytest.approx(sizes[water][1])
    # Drawn to one scale: the volumes are as the cubes of the sides.
    litres = {water: result.needed[water].volume.best for water in sizes}
    ratio = litres["marine"] / litres["fresh"]
    assert (sizes["marine"][0] / sizes["fresh"][0]) ** 3 == pytest.approx(ratio)
    tank = np.ptp(chart.water.get_xy(), axis=0)
    assert tank[0] * tank[1] ** 2 * 0.9 / (sizes["fresh"][0] ** 3 * np.pi / 4) == pytest.approx(
        result.volume / litres["fresh"]
    )


def test_marine_needs_about_twice_the_media(panel):
    panel.set(pads=0)
    fresh, marine = (panel.result.needed[water].mass.best for water in ("fresh", "marine"))
    assert marine / fresh == pytest.approx(2.03, rel=0.02)
    # What pads do comes off both, so that the sea asks for more than twice the rest.
    panel.set(pads=2.6)
    fresh, marine = (panel.result.needed[water].mass.best for water in ("fresh", "marine"))
    assert marine / fresh > 2.5
    assert "marine" in panel.view.answer[1]


def test_litres_change_the_rule_and_not_the_media(panel):
    before = panel.result.needed
    panel.set(volume=400)
    assert panel.result.needed == before
    assert f"{needed_for_hundred(panel):.2g} kg per 100 L" in panel.sentence
    set_units("us")
    shown = Q(needed_for_hundred(panel), "kg/hL").m_as("lb/hectogallon")
    assert f"{shown:.2g} lb per 100 US gal" in panel.sentence


def needed_for_hundred(panel):
    """The middle guess in fresh water, in kg for 100 L of the tank."""
    return 100.0 * panel.result.needed["fresh"].mass.best / panel.values["volume"]


def test_media_that_are_absurd_beside_the_tank_are_called_so(panel):
    most = parameter("media_share_of_tank").value
    assert "absurd" not in panel.sentence
    panel.set(ration=3)
    share = {
        water: needed.volume.best / panel.values["volume"]
        for water, needed in panel.result.needed.items()
    }
    assert share["fresh"] < most < share["marine"]
    assert "Marine, so much is absurd" in panel.sentence
    panel.set(ration=4, ammonia=0.05)
    assert "In either water, so much is absurd" in panel.sentence


def test_too_little_flow_is_said_and_drawn_without_end(panel):
    panel.set(flow=20, stock=5)
    assert "too little ammonia: more flow helps" in panel.sentence
    assert "no amount" in panel.view.answer[1]
    panel.set(ration=0)
    assert panel.view.answer[1] == "0 kg fresh, 0 kg marine"


def test_heaps_find_room():
    heaps = {"fresh": [5.0, 8.0, 20.0], "marine": [10.0, 40.0, 90.0]}
    wide = sheet_width(100.0, 45.0, heaps)
    assert wide in SHEETS
    assert HIGHEST * wide >= 90.0
    assert 100.0 + max(20.0, SLOT * wide) + max(90.0, SLOT * wide) <= wide
    assert sheet_width(100.0, 45.0, {"fresh": [1e6] * 3}) == SHEETS[-1]


def test_side_of_a_heap():
    width = side(10.0)
    assert np.pi / 4 * width**3 == pytest.approx(10_000)
    assert side(np.inf) == 0.0
