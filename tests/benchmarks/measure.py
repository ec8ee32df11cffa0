"""What the benchmarks share: medians, the state of the machine, and the way most notebooks draw."""

from __future__ import annotations

import io
import os
import platform
import statistics
from importlib.metadata import version
from unittest import mock

from aqualib.lesson.charts import style
from aqualib.lesson.panels.know_your_water import oxygen_panel, water_volume_panel
from aqualib.lesson.panels.nitrogen_cycle import nitrogen_flow_panel, safety_map_panel
from aqualib.lesson.panels.start_here import first_slider_panel

PANELS = {
    "00 first slider": first_slider_panel,
    "01 water volume": water_volume_panel,
    "01 oxygen": oxygen_panel,
    "02 follow the food": nitrogen_flow_panel,
    "02 safe or not": safety_map_panel,
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
    return axes.text(x, y, text, **look)


def new_figure(panel, values):
    """Compute and draw a panel's chart as most notebooks do: on a new pyplot figure each time."""
    from matplotlib import pyplot as plt

    result = panel.compute(**values)
    chart = type(panel.picture.chart)()
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
