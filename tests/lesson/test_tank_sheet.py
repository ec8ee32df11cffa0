"""The sheet of the running tank: its numbers are those that the panels of the lessons show."""

import re

import pytest

from aqualib.lesson import tank_sheet as room
from aqualib.lesson.panels.between_changes import changes_panel
from aqualib.lesson.panels.bought_and_yours import stack_panel
from aqualib.lesson.panels.carbon_in_the_loop import carbon_panel
from aqualib.lesson.panels.kilograms_of_media import media_panel
from aqualib.lesson.panels.maturing_a_filter import maturation_panel
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
from aqualib.lesson.panels.oxygen_curve import oxygen_panel
from aqualib.lesson.panels.pump_and_loop import pump_panel
from aqualib.lesson.panels.staging_the_solids import filter_panel
from aqualib.lesson.panels.tank_weight import first_slider_panel
from aqualib.lesson.panels.ultraviolet_lamp import lamp_panel
from aqualib.lesson.panels.water_volume import water_volume_panel
from aqualib.lesson.panels.what_is_wrong import symptoms_panel
from aqualib.lesson.panels.what_it_carries import carries_panel
from aqualib.lesson.panels.your_filter_plan import plan_panel
from aqualib.lesson.serving.shipped import shipped_lessons
from aqualib.lesson.tank_sheet import LINES, tank_sheet
from aqualib.parameters import parameter
from aqualib.running_tank import running_tank
from aqualib.units import number, shown
from aqualib.validity import ValidityError


def span(feed):
    return [shown(end, "g/day", 2) for end in (feed.best, feed.low, feed.high)]


def twin():
    sea = running_tank().marine
    rows = {"salinity": "tank_salinity", "temperature": "tank_temperature", "rock": "rock_mass"}
    return {control: sea[row] for control, row in rows.items()}


# A lesson's number, its panel, where the panel's controls are put, and what it then shows.
SHOWN = {
    "00": (first_slider_panel, {}, lambda r: [shown(r.mass, "kg")]),
    "01 water": (water_volume_panel, {}, lambda r: [shown(r.water, "L")]),
    "01 oxygen": (oxygen_panel, {}, lambda r: [shown(r.grams, "g")]),
    "02": (
        nitrogen_flow_panel,
        {},
        lambda r: [
            shown(r.budget.total_ammonia, "mg/day"),
            shown(r.hours_to_chronic, "h", 2),
        ],
    ),
    "03": (maturation_panel, {}, lambda r: [f"day {r.ready:.0f}"]),
    "04": (
        pump_panel,
        {"pores": 50},
        lambda r: [
            shown(r.flow, "L/h"),
            number(100 * r.flow / r.rated_flow, 2) + " %",
        ],
    ),
    "05": (filter_panel, {}, lambda r: ["coarse pad", f"day {number(r.due, 2)}."]),
    "06": (
        media_panel,
        {"mass": parameter("filter_media").value},
        lambda r: [
            shown(r.bed.volume.best, "L", 2),
            shown(r.bed.outer_area.best, "m**2", 2),
        ],
    ),
    "07": (carries_panel, {}, lambda r: span(r.carried)),
    "08": (carries_panel, twin(), lambda r: span(r.carried)),
    "09": (
        lamp_panel,
        {},
        lambda r: [
            shown(r.one_pass.dose.best, "mJ/cm**2", 2),
            shown(r.clearing.hours, "h", 2),
        ],
    ),
    "10": (carbon_panel, {}, lambda r: [f"day {number(r.halved_on, 2)}."]),
    "11": (changes_panel, {}, lambda r: [shown(r.highest, "mg/L")]),
    "12": (
        maturation_panel,
        {},
        lambda r: [shown(r.ammonia[-1], "mg/L", 2), shown(r.nitrite[-1], "mg/L", 1)],
    ),
    "14": (
        symptoms_panel,
        {"symptom": "power cut"},
        lambda r: [r.diagnosis.worked.figures[name].text for name in ("early", "late", "tank")],
    ),
    "15": (plan_panel, {}, lambda r: [shown(r.given, "g/day"), r.verdict, r.changes[0].name]),
    "13": (stack_panel, {}, lambda r: [shown(r.carried, "g/day", 2)]),
}


@pytest.mark.parametrize("place", SHOWN)
def test_a_line_has_the_numbers_of_its_panel(place):
    make, controls, told = SHOWN[place]
    panel = make()
    panel.replay(**controls)
    line = LINES[place[:2]]()
    assert [one for one in told(panel.result) if not re.search(rf"\b{re.escape(one)}", line)] == []
    panel.close()


def test_every_lesson_has_a_line_and_the_sheet_grows(capsys):
    assert sorted(LINES) == [name[:2] for name in shipped_lessons()]
    tank_sheet("02")
    first, *lines = capsys.readouterr().out.splitlines()
    assert "invented" in first
    assert [line[:2] for line in lines] == ["00", "01", "02"]
    assert all(line.endswith(".") for line in lines)


@pytest.mark.parametrize("name", ["99", "2", "two", None])
def test_a_lesson_that_there_is_not_is_refused(name):
    with pytest.raises(ValidityError, match="lesson"):
        tank_sheet(name)


def test_numbers_come_from_the_running_tank(monkeypatch):
    before = LINES["02"]()
    real = room.of_row
    monkeypatch.setattr(
        room, "of_row", lambda name: 2 * real(name) if name == "tank_feed" else real(name)
    )
    assert LINES["02"]() != before
