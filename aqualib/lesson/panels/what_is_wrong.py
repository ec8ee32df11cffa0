"""The panel of lesson 14: choose what you see, set what you measured, and read what to do."""

from __future__ import annotations

from aqualib.lesson.charts.tree_of_questions import Reached, TreeOfQuestions
from aqualib.lesson.controls import Choice, Control, Slider, Tick
from aqualib.lesson.panel import Panel
from aqualib.tank.symptoms import Symptom, symptoms
from aqualib.tank.symptoms.what_it_says import TESTS
from aqualib.tank.symptoms.what_tonight import found_in, row_of

FIRST = "nitrite stays"
# measurement -> what the learner reads, the step, and where it starts if not at its row's value
SLIDERS: dict[str, tuple[str, float, float | None]] = {
    "alkalinity": ("Alkalinity, as CaCO₃", 1.0, 30.0),
    "ammonia": ("Ammonia, as N", 0.05, 0.5),
    "bore": ("Bore of the hose", 1.0, None),
    "carbon": ("Carbon in the filter", 5.0, None),
    "carbon_day": ("Days since it was put in", 1.0, 50.0),
    "change_interval": ("Days between changes", 1.0, None),
    "change_share": ("Water changed at a time", 1.0, None),
    "chloride": ("Chloride of the tap water", 1.0, None),
    "days_since_cleaning": ("Days since the pads were rinsed", 1.0, 50.0),
    "days_since_medicine": ("Days since a medicine", 1.0, None),
    "drops": ("Caught in a bowl under the filter", 5.0, None),
    "feed": ("Food in a day", 0.1, None),
    "filter_inside": ("Water inside the filter", 0.1, None),
    "flow": ("Flow, measured with a bucket", 10.0, 500.0),
    "flow_without_pads": ("Flow with the pads taken out", 10.0, 700.0),
    "glass_clears": ("Until a glass has cleared", 1.0, None),
    "gravel_depth": ("Depth of the ground", 0.5, None),
    "hours_since_opened": ("Hours since the filter was open", 1.0, 48.0),
    "hours_stood": ("Hours for which it stood", 0.5, None),
    "lamp": ("Watts of the ultraviolet lamp", 1.0, None),
    "lamp_hours": ("Hours the lamp has run", 50.0, None),
    "level_fall": ("Fall of the level", 1.0, None),
    "nitrate": ("Nitrate, as NO₃", 1.0, 90.0),
    "nitrate_limit": ("Your limit for nitrate", 5.0, None),
    "nitrite": ("Nitrite, as N", 0.01, 0.8),
    "oxygen": ("Oxygen at dawn", 0.1, 5.0),
    "ph": ("pH", 0.1, 7.6),
    "rated_flow": ("Flow on the box", 50.0, None),
    "rated_head": ("Head on the box", 0.1, None),
    "salinity": ("Salinity", 1.0, None),
    "salt_rise": ("Rise of the salinity in a day", 1.0, None),
    "tank_length": ("Length of the tank", 1.0, None),
    "tank_width": ("Width of the tank", 1.0, None),
    "tap_alkalinity": ("Alkalinity of the new water", 5.0, None),
    "tap_ammonia": ("Ammonia in the new water, as N", 0.05, None),
    "tap_nitrate": ("Nitrate of the new water, as NO₃", 1.0, None),
    "temperature": ("Temperature", 0.5, None),
    "volume": ("Water in the tank", 1.0, None),
    "weekly_change": ("Water changed in a week", 1.0, None),
}
ENDS = {
    "ammonia": (0.0, 20.0),
    "nitrate": (0.0, 500.0),
    "nitrite": (0.0, 20.0),
    "ph": (5.0, 9.5),
    "temperature": (2.0, 36.0),
    "volume": (4.0, 2000.0),
}
"""Wider than the rows, which serve lessons: a keeper in need is not told "out of range"."""


def compute(symptom: str, *, tested: bool, **measured: float) -> Reached:
    """Lead what was measured through the symptom's tree; SI numbers in.

    A slider always shows a number: only the tick says that ammonia and pH are readings.
    """
    wanted = symptoms()[symptom].measurements
    told = {name: x for name, x in measured.items() if name in wanted}
    guessed = () if tested else TESTS
    return Reached(found_in(symptom, told, guessed))


def describe(result: Reached) -> str:
    """Say what is likely, by which sum, and how sure that is."""
    diagnosis = result.diagnosis
    said = diagnosis.words
    how = said["sure"].partition(":")[0]
    return f"Likely: {said['likely']} {said['sum']} {how}."


def answer(result: Reached) -> tuple[str, str]:
    """Give the action of tonight, and before it what to mind."""
    return f"{result.diagnosis.first} Tonight:", result.diagnosis.tonight


def symptoms_panel() -> Panel:
    """Return the panel: a choice of symptoms, and the measurements that each wants."""
    trees = symptoms()
    shows = {code: _in_sight(tree) for code, tree in trees.items()}
    says = {code: tree.says for code, tree in trees.items()}
    controls: dict[str, Control] = {"symptom": Choice("What I see", says, FIRST, shows=shows)}
    controls["tested"] = Tick("I tested ammonia and pH, and set them here", start=False)
    for name, (label, step, start) in SLIDERS.items():
        controls[name] = Slider(label, row_of(name), step, start, ENDS.get(name))
    return Panel("What is wrong?", controls, compute, TreeOfQuestions(), describe, answer)


def _in_sight(tree: Symptom) -> tuple[str, ...]:
    """Return a tree's controls: what it asks for, whether the tests were made, and what helps."""
    return (*tree.asks, *(("tested",) if tree.wants_tests else ()), *tree.also)
