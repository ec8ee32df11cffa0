"""The panels of all lessons, and what a test does with them as a page and a hand would."""

from __future__ import annotations

import hashlib
import io
from typing import Any

import numpy as np
from PIL import Image

from aqualib.lesson.controls import Slider
from aqualib.lesson.drawing import style
from aqualib.lesson.panel import Panel
from aqualib.lesson.panels.audit_a_rule import audit_panel
from aqualib.lesson.panels.between_changes import changes_panel
from aqualib.lesson.panels.bought_and_yours import stack_panel
from aqualib.lesson.panels.carbon_in_the_loop import carbon_panel
from aqualib.lesson.panels.care_step_by_step import care_panel
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
from aqualib.lesson.panels.what_is_wrong import symptoms_panel
from aqualib.lesson.panels.what_it_carries import carries_panel
from aqualib.lesson.panels.what_it_needs import needs_panel
from aqualib.lesson.panels.your_filter_plan import plan_panel
from aqualib.units import set_units

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
    "two stacks": stack_panel,
    "what is wrong": symptoms_panel,
    "care": care_panel,
    "plan": plan_panel,
}


class Blank:
    """A chart with nothing on it."""

    size = (2.0, 1.0)

    def frame(self, result: Any) -> None:
        """The still parts never change."""

    def build(self, figure: Any, result: Any) -> list[Any]:
        """Nothing moves."""
        return []

    def update(self, result: Any) -> None:
        """Nothing to move."""


def small_panel(compute: Any = lambda ph: ph) -> Panel:
    """A panel that is quick to make: one slider and a blank picture."""
    controls = {"ph": Slider("pH", "tank_ph", 0.1)}
    return Panel("t", controls, compute, Blank(), str, lambda ph: ("pH", str(ph)))


def as_a_lesson_starts() -> None:
    """Choose the units and the text size with which every lesson starts."""
    set_units("metric")
    style.set_text_size("page")


def start_anew(panel: Panel) -> None:
    """Bring a panel back to how it was made."""
    as_a_lesson_starts()
    if panel.picture.zoom != 1.0:
        ask(panel, do="fit", value=panel.view.width, ratio=1)
    if panel.view.rough:
        ask(panel, do="refine")
    panel.reset()
    panel.view.done = 0


def ask(panel: Panel, **message: Any) -> None:
    """Send what the page sends."""
    panel._on_message(panel.view, message, [])


def sliders(panel: Panel) -> dict[str, Slider]:
    """The panel's sliders by name."""
    return {name: c for name, c in panel.controls.items() if isinstance(c, Slider)}


def picture(panel: Panel) -> str:
    """A short stand-in for the picture's bytes, which would be slow to compare in a failure."""
    return hashlib.sha256(panel.view.png).hexdigest()[:12]


def pixels(png: bytes) -> Any:
    """The pixels of a picture."""
    return np.asarray(Image.open(io.BytesIO(png)))


def state(panel: Panel) -> tuple[Any, ...]:
    """All that must stay as it is when something was refused."""
    return panel.values, panel.sentence, picture(panel), panel.view.readings, panel.view.answer
