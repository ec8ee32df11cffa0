"""What the benchmarks share: medians, the state of the machine, and the way most notebooks draw."""

from __future__ import annotations

import copy
import io
import os
import platform
import statistics
import types
from importlib.metadata import version
from unittest import mock

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.words import Words
from aqualib.lesson.panels.audit_a_rule import audit_panel
from aqualib.lesson.panels.between_changes import changes_panel
from aqualib.lesson.panels.carbon_in_the_loop import carbon_panel
from aqualib.lesson.panels.careful_cleaning import cleaning_panel
from aqualib.lesson.panels.clean_to_dirty import turnover_panel
from aqualib.lesson.panels.kilograms_of_media import media_panel
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
from aqualib.lesson.panels.oxygen_curve import oxygen_panel
from aqualib.lesson.panels.pump_and_loop import pump_panel
from aqualib.lesson.panels.safety_map import safety_map_panel
from aqualib.lesson.panels.slice_a_piece import slice_panel
from aqualib.lesson.panels.staging_the_solids import filter_panel
from aqualib.lesson.panels.tank_weight import first_slider_panel
from aqualib.lesson.panels.ultraviolet_lamp import lamp_panel
from aqualib.lesson.panels.water_volume import water_volume_panel
from aqualib.lesson.panels.what_it_carries import carries_panel
from aqualib.lesson.panels.what_it_needs import needs_panel
from aqualib.lesson.panels.your_filter_plan import plan_panel

PANELS = {
    "00 first slider": first_slider_panel,
    "01 water volume": water_volume_panel,
    "01 oxygen": oxygen_panel,
    "02 follow the food": nitrogen_flow_panel,
    "02 safe or not": safety_map_panel,
    "04 stages": filter_panel,
    "05 slice of a piece": slice_panel,
    "05 kilograms of media": media_panel,
    "06 pump and loop": pump_panel,
    "06 clean to dirty": turnover_panel,
    "07 what it carries": carries_panel,
    "07 what it needs": needs_panel,
    "07 audit of a rule": audit_panel,
    "08 ultraviolet lamp": lamp_panel,
    "08 carbon": carbon_panel,
    "09 between changes": changes_panel,
    "09 careful cleaning": cleaning_panel,
    "15 your filter plan": plan_panel,
}


def median(samples):
    """Return the middle sample."""
    return statistics.median(samples)


def late(samples):
    """Return the 95th percentile: all but one in twenty are faster."""
    return statistics.quantiles(samples, n=20, method="inclusive")[-1]


def machine():
    """Return what a reader needs to judge the numbers."""
    load = ", ".join(f"{part:.1f}" for part in os.getloadavg())
    packages = " ".join(f"{name} {version(name)}" for name in ("matplotlib", "numpy", "jupyterlab"))
    return f"{os.cpu_count()} cores, load {load} · Python {platform.python_version()} {packages}"


def plain_text(axes, x, y, text="", size=1.0, **options):
    """Write on axes as matplotlib does it."""
    look = {"va": "center", "color": style.INK, "fontsize": style.points(size), **options}
    words = axes.text(x, y, text, **look)
    words.stand_beside = types.MethodType(Words.stand_beside, words)
    return words


def new_figure(panel, values):
    """Compute and draw a panel's chart as most notebooks do: on a new pyplot figure each time."""
    from matplotlib import pyplot as plt

    result = panel.compute(**values)
    chart = copy.copy(panel.picture.chart)
    figure = plt.figure(figsize=chart.size, dpi=100)
    with mock.patch.object(style, "write", plain_text):
        chart.build(figure, result)
        chart.update(result)
    return figure, panel.describe(result)


def saved(figure):
    """Return the PNG of a pyplot figure and let the figure go."""
    from matplotlib import pyplot as plt

    file = io.BytesIO()
    figure.savefig(file, format="png")
    plt.close(figure)
    return file.getvalue()
