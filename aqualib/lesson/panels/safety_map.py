"""The panel of lesson 02 that gives a verdict: are these readings safe in this water?"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from aqualib.lesson.charts.safety_map import PRINTED_FROM, Limit, Place, SafetyMap
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.tank.symptoms import diagnose
from aqualib.units import from_si, number
from aqualib.water.ammonia import total_ammonia_limits, unionised_ammonia_nitrogen
from aqualib.water.nitrite_limits import safe_nitrite
from aqualib.water.nitrogen import ammonia_as_nitrogen, ammonium_as_nitrogen, nitrite_as_nitrogen

AMMONIA_TESTS = {
    "nitrogen": "ammonia as nitrogen, N",
    "ammonium": "ammonium, NH₄",
    "ammonia": "ammonia, NH₃",
}
NITRITE_TESTS = {"nitrogen": "nitrite as nitrogen, N", "nitrite": "nitrite, NO₂"}
AS_NITROGEN: dict[str, Callable[[float], Any]] = {
    "nitrogen": float,
    "ammonium": ammonium_as_nitrogen.bare,
    "ammonia": ammonia_as_nitrogen.bare,
    "nitrite": nitrite_as_nitrogen.bare,
}
NONE, TRAP = "ammonia-none", "ammonia-trap"
"""Leaves of lesson 14's tree: no more than a ripe tank holds, and water that new water poisons."""
TO_DO = {
    "safe": "Safe for weeks: carry on, test again this week",
    "near": "Below both limits today: feed little, test again tomorrow",
    "harms": "Harms over weeks: feed nothing today, change part of the water",
    "trap": "Old-tank trap: test pH first, change only {tenth} at a time, feed nothing",
    "act": "Act now: feed nothing, more air, change water if its pH is no higher",
    "act in the trap": "Act now: more air, no food, test pH first, change only {tenth} at a time",
}
"""The verdict with what lesson 14 says to do tonight."""


def compute(
    total_ammonia: float,
    basis: str,
    nitrite: float,
    ph: float,
    temperature: float,
    salinity: float,
    nitrite_basis: str,
    chloride: float,
) -> Place:
    """Set both readings against the limits; SI numbers in."""
    total, as_nitrite = AS_NITROGEN[basis](total_ammonia), AS_NITROGEN[nitrite_basis](nitrite)
    limits = total_ammonia_limits.bare(max(ph, PRINTED_FROM), temperature, salinity)
    unionised = unionised_ammonia_nitrogen.bare(total, ph, temperature, salinity)
    # What is not on a slider here is in lesson 14 too the invented tank's where it is left out.
    tree = diagnose.bare(
        "ammonia stays", ammonia=total, ph=ph, temperature=temperature, salinity=salinity
    )
    for_weeks = float(safe_nitrite.bare(salinity, chloride))
    for_days = parameter("nitrite_short_over_long").value * for_weeks
    return Place(
        ammonia=Limit(*(from_si(float(x), "mg/L") for x in (total, limits.chronic, limits.acute))),
        nitrite=Limit(*(from_si(float(x), "mg/L") for x in (as_nitrite, for_weeks, for_days))),
        reading=from_si(total_ammonia, "mg/L"),
        basis=basis,
        ph=ph,
        celsius=from_si(temperature, "degC"),
        salinity=salinity,
        unionised=from_si(float(unionised), "mg/L"),
        leaf=tree.code,
    )


def describe(place: Place) -> str:
    """Say what the map shows."""
    ammonia, nitrite = place.ammonia, place.nitrite
    share = (
        f" ({number(100.0 * place.unionised / ammonia.reading, 2)} %)" if ammonia.reading else ""
    )
    as_read = "" if place.basis == "nitrogen" else f"{number(place.reading)} mg/L on the test is "
    no_limit = (
        f" No ammonia limit is printed below pH {PRINTED_FROM:g}; that of {PRINTED_FROM:g} is used."
        if place.ph < PRINTED_FROM
        else ""
    )
    trap = " New water lifts the pH and makes this ammonia poison." if place.leaf == TRAP else ""
    return (
        f"Ammonia: {as_read}{number(ammonia.reading)} mg N/L, of which "
        f"{number(place.unionised, 2)} is un-ionised at pH {number(place.ph, 2)}{share}; "
        f"{number(ammonia.long)} may stay for weeks, {number(ammonia.short)} for an hour. "
        f"Nitrite: {number(nitrite.reading)} mg N/L; {number(nitrite.long, 2)} may stay for weeks, "
        f"{number(nitrite.short, 2)} for a short time.{no_limit}{trap}"
    )


def verdict(place: Place) -> str:
    """Return which verdict it is; the old-tank trap holds back what the others would change."""
    worst = max(place.ammonia, place.nitrite, key=lambda limit: limit.rank).zone
    if place.leaf == TRAP:
        return "act in the trap" if worst == "act" else "trap"
    if worst != "safe":
        return worst
    share = parameter("near_limit").value
    near = any(limit.reading > share * limit.long for limit in (place.ammonia, place.nitrite))
    return "near" if near or place.leaf != NONE else "safe"


def answer(place: Place) -> tuple[str, str]:
    """Give the verdict, and what to do."""
    found = verdict(place)
    tenth = f"{number(100.0 * parameter('trap_change').value)} %"
    to_do = TO_DO[found].format(tenth=tenth)
    if found in {"safe", "near"}:
        return "Ammonia and nitrite:", to_do
    return f"By its {_to_blame(place)}:", to_do


def _to_blame(place: Place) -> str:
    """Name the reading that gives the verdict, or both."""
    ammonia, nitrite = place.ammonia.rank, place.nitrite.rank
    if place.leaf == TRAP:
        return "ammonia and nitrite" if nitrite else "ammonia"
    both = "ammonia and nitrite"
    return both if ammonia == nitrite else "ammonia" if ammonia > nitrite else "nitrite"


def safety_map_panel() -> Panel:
    """Return the second panel: safe and unsafe over pH and temperature."""
    controls: dict[str, Control] = {
        "total_ammonia": Slider("Ammonia on the test", "total_ammonia_reading", 0.05),
        "basis": Choice("The ammonia test shows", AMMONIA_TESTS, "nitrogen"),
        "nitrite": Slider("Nitrite on the test", "nitrite_reading", 0.01),
        "ph": Slider("pH", "tested_ph", 0.1, parameter("tank_ph").value),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
        "nitrite_basis": Choice("The nitrite test shows", NITRITE_TESTS, "nitrogen"),
        "chloride": Slider("Chloride of the tap water", "tap_chloride", 1.0),
    }
    return Panel("Safe or not?", controls, compute, SafetyMap(), describe, answer)
