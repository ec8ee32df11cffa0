"""The care of the invented tank, as the lessons' sums have it: nothing here is typed."""

from __future__ import annotations

import math
from datetime import date, timedelta
from typing import Any

import numpy as np

from aqualib.filtration.capture import ClogRun
from aqualib.filtration.ultraviolet import service_hours
from aqualib.lesson.tank_sheet import STAGES, carbon_in_tank, nitrate_gain, of_row, weeks_of_dirt
from aqualib.parameters import parameter
from aqualib.tank.upkeep import evaporation, schedule_for_interval
from aqualib.units import Q

WEEK = 7
TOP_UP = 2
"""Days between two times of topping up."""


def care_from_sums(start: date) -> dict[str, Any]:
    """Return what `usual_tasks` asks, for the invented tank, from the sums of lessons 05 to 11.

    Pads are due when their working face is half full, and after the longest time of the trade at
    the latest, because dirt rots. Carbon is due when half of its effect is gone, the lamp when its
    hours are over; enough water is changed each week to hold the limit for nitrate.
    """
    days = {f"rinse_{grade}_every": day for grade, day in pads_due(weeks_of_dirt()).items()}
    lit = of_row("lamp_hours") / of_row("lamp_hours_a_day")
    return {
        "test_every": WEEK,
        "change": weekly_change(),
        "change_every": WEEK,
        "top_up": evaporation(of_row("tank_length") * of_row("tank_width")) * Q(1, "day"),
        "top_up_every": TOP_UP,
        **days,
        "carbon": of_row("carbon_mass"),
        "carbon_every": math.floor(carbon_in_tank().halved_on.m_as("day")),
        "lamp_every": math.floor(float(service_hours() / of_row("lamp_hours_a_day"))),
        "lamp_since": start - timedelta(round(float(lit))),
    }


def pads_due(run: ClogRun) -> dict[str, int]:
    """Return the days until each pad of a run is due: half full on its face, or dirt that rots."""
    longest = parameter("filter_cleaning").high * WEEK
    time = np.asarray(run.time.m_as("day"))
    due = {}
    for grade in STAGES:
        filling = np.asarray(run.fullness)[:, run.stages.index(grade)]
        full = filling[-1] >= 1.0
        half = float(np.interp(1.0, filling, time)) if full else math.inf
        due[grade] = math.floor(min(half, longest))
    return due


def weekly_change() -> Any:
    """Return the water to be changed each week to hold the limit for nitrate in the long run."""
    limits = of_row("nitrate_limit"), of_row("fill_nitrate"), of_row("tank_volume")
    plan = schedule_for_interval(nitrate_gain(), *limits, Q(WEEK, "day"))
    return (plan.share * of_row("tank_volume")).to("L")
