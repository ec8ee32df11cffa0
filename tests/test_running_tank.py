"""One tank through all lessons: its numbers fit one another, and every panel opens on it."""

import importlib
import json
import pkgutil

import pytest

import aqualib.lesson.panels
from aqualib import running_tank as room
from aqualib.files import data_file
from aqualib.filtration.media import media_kind
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.lesson.panels.pump_and_loop import pump_panel
from aqualib.lesson.panels.staging_the_solids import filter_panel
from aqualib.lesson.panels.water_volume import water_volume_panel
from aqualib.parameters import parameter, parameters
from aqualib.running_tank import MARK, running_tank
from aqualib.tank.load import daily_feed
from aqualib.units import Q
from aqualib.validity import ValidityError

FRESH, MARINE, MEDIA = running_tank()
MARKED = {
    line.split(",", 1)[0]
    for line in data_file("parameters.csv").read_text("utf-8").splitlines()
    if line.split(",")[1] == MARK
}


def value(name):
    return parameter(name).value


def opened_panels():
    """Give every panel that opens without a learner's file."""
    for found in pkgutil.iter_modules(aqualib.lesson.panels.__path__):
        module = importlib.import_module(f"aqualib.lesson.panels.{found.name}")
        for name, make in vars(module).items():
            is_panel = name.endswith("_panel") and make.__module__ == module.__name__
            if is_panel and found.name != "reading_your_test_log":
                panel: Panel = make()
                yield found.name, panel
                panel.close()


def test_each_number_is_written_once_and_lies_in_the_range_of_its_row():
    assert set(FRESH) == MARKED
    twin = json.loads(data_file("running_tank.json").read_text("utf-8"))["marine"]
    assert set(twin) < set(FRESH)
    rows = parameters()
    ends = [(name, table[name]) for table in (FRESH, MARINE) for name in table]
    assert [end for end in ends if not rows[end[0]].range.holds(end[1])] == []
    assert media_kind(MEDIA).name == MEDIA


def test_every_panel_opens_on_the_tank_or_on_its_twin():
    elsewhere = []
    for name, panel in opened_panels():
        for key, control in panel.controls.items():
            if isinstance(control, Slider) and control.parameter.name in MARKED:
                row = control.parameter.name
                if control.start not in (FRESH[row], MARINE[row]):
                    elsewhere.append((name, key))
    # A filter is asked about without rock in the tank first; a symptom shows itself in readings.
    asked = {("what_it_carries", "rock"), ("what_it_needs", "rock")}
    assert set(elsewhere) == asked | {("what_is_wrong", "flow"), ("what_is_wrong", "nitrate")}


def test_its_water_is_what_lesson_01_finds():
    panel = water_volume_panel()
    assert float(panel.replay().split()[-2]) == pytest.approx(value("tank_volume"), abs=1)
    panel.close()


def test_its_fish_eat_its_food():
    stock, body = parameter("fish_stock").quantity, parameter("fish_weight").quantity
    ration = value("feeding_ration")
    food = daily_feed(stock, body, parameter("tank_temperature").quantity, ration)
    assert food.m_as("g/day") == pytest.approx(value("tank_feed"), rel=0.03)
    solids = value("solids_per_feed") * value("tank_feed")
    assert value("solids_made") == pytest.approx(solids, abs=0.05)


def test_its_flow_is_what_pump_and_loop_deliver_when_the_pads_are_due():
    panel = pump_panel()
    panel.replay(pores=50)
    delivered = panel.result.flow
    panel.close()
    for row in ("media_flow", "lamp_flow", "carbon_flow"):
        assert value(row) == pytest.approx(delivered, rel=0.02)


def test_its_filter_holds_so_much_until_it_is_due():
    panel = filter_panel()
    panel.replay()
    assert panel.result.caught_when_due == pytest.approx(value("dirt_until_cleaning"), rel=0.05)
    assert value("cleaning_interval") < panel.result.due
    panel.close()
    surface = value("filter_media") * value("media_area_per_mass") + value("pad_area")
    assert surface == pytest.approx(value("media_surface"), rel=0.02)


def test_its_water_changes_agree():
    weekly = value("change_share") / value("change_interval") * 7
    assert weekly == pytest.approx(value("weekly_change"))


@pytest.mark.parametrize("text", ["{", "{}", '{"fresh": [], "marine": {}, "media": "x"}',
                                  '{"fresh": {"a": "b"}, "marine": {}, "media": "x"}'])  # fmt: skip
def test_a_file_that_cannot_be_read_is_refused_in_words(text, tmp_path, monkeypatch):
    path = tmp_path / room.FILE
    path.write_text(text)
    monkeypatch.setattr(room, "data_file", lambda name: path)
    running_tank.cache_clear()
    with pytest.raises(ValidityError, match="running_tank"):
        running_tank()
    running_tank.cache_clear()


def test_units_of_the_numbers_are_those_of_the_rows():
    assert parameter("tank_volume").quantity == Q(FRESH["tank_volume"], "L")
