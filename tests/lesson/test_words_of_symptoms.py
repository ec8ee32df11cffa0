"""What lesson 14 says in words of trees and tank: true of them as they are."""

import json
import re
from pathlib import Path

from aqualib.lesson import tank_sheet as our
from aqualib.parameters import parameter
from aqualib.tank.symptoms import diagnose, symptoms
from aqualib.tank.symptoms.what_it_says import SURE
from aqualib.units import Q

LESSON = Path(__file__).parents[2] / "lessons" / "14-when-something-is-wrong.ipynb"
CELLS = json.loads(LESSON.read_text(encoding="utf-8"))["cells"]
TEXT = "\n".join("".join(cell["source"]) for cell in CELLS)
STUCK = {"nitrite": Q(0.8, "mg/L"), "alkalinity": Q(100, "mg/L")}


def leaf(symptom, **given):
    return diagnose(symptom, **given).code


def test_the_tries_lead_where_the_lesson_sends_the_reader():
    """The next suspect of a filter that is in order is time; in the cold it is the cold."""
    assert leaf("nitrite stays", **STUCK) == "nitrite-young"
    assert leaf("nitrite stays", **STUCK, temperature=Q(12, "degC")) == "nitrite-cold"
    trap = {"ph": 6.5, "alkalinity": Q(10, "mg/L"), "ammonia": Q(2, "mg/L")}
    assert leaf("ph sinks", **trap) == "ph-trap"
    assert leaf("ammonia stays", **trap) == "ammonia-trap"
    ends = [
        leaf(
            "power cut",
            hours_stood=Q(hours, "h"),
            temperature=parameter("tank_temperature").quantity,
        )
        for hours in (1, 3, 10)
    ]
    assert ends == ["cut-restart", "cut-smell", "cut-fish"]


def test_six_causes_of_nitrite_are_told_apart_and_time_is_what_is_left():
    codes = [one.code for one in symptoms()["nitrite stays"].leaves]
    assert "six causes" in TEXT
    assert len(set(codes) - {f"nitrite-{x}" for x in ("trap", "ammonia", "low", "young")}) == 6


def test_lines_that_the_lesson_names_are_those_of_the_rows():
    assert parameter("alkalinity_short").value == 40
    assert parameter("filter_cleaning").high * 7 == 56
    assert parameter("stale_carbon_dioxide").value == 15
    assert parameter("stale_carbon_dioxide").basis == "memory"
    # "More than half of the water is never changed at once"; "may be a tenth".
    assert parameter("tonight_most_changed").value == 0.5
    assert parameter("trap_change").value == 0.1
    assert parameter("alkalinity_step").value == 20
    assert parameter("oxygen_kept").value == 70
    for said in (
        "no more oxygen than at night, 70 %",
        "below 40 mg/L",
        "moves the alkalinity by 20 mg/L at most",
        "56 days",
        "15 mg/L of carbon dioxide",
    ):
        assert said in TEXT


def test_how_sure_means_what_the_lesson_says():
    assert all(f"*{how}*" in TEXT for how in SURE)


def test_air_comes_before_poison():
    """Fish that gasp may lack oxygen and have nitrite; air comes first."""
    both = {"oxygen": Q(2, "mg/L"), "nitrite": Q(2, "mg/L")}
    assert leaf("gasping", **both) == "gasp-oxygen"


def test_every_lesson_that_a_leaf_points_to_is_there():
    told = {n for tree in symptoms().values() for one in tree.leaves
            for part in (one.tonight, one.week, one.otherwise)
            for n in re.findall(r"lesson (\d\d)", part)}  # fmt: skip
    there = {path.name[:2] for path in LESSON.parent.glob("*.ipynb")}
    assert told
    assert told <= there


def test_the_sheets_line_is_the_trees():
    line = our.LINES["14"]()
    known = {"hours_stood": Q(0, "h"), "temperature": parameter("tank_temperature").quantity}
    figures = diagnose("power cut", **known).worked.figures
    assert all(figures[name].text in line for name in ("early", "late", "tank"))
