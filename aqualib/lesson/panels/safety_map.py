"""The panel of lesson 02 that gives a verdict: are these readings safe in this water?"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from aqualib.lesson.charts.safety_map import PRINTED_FROM, Limit, Place, SafetyMap
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.tank.symptoms import diagnose
from aqualib.tank.symptoms.old_tank_trap import towards_sea
from aqualib.units import from_si, number, shown
from aqualib.water.ammonia import (
    PRINTED_WARMTH,
    total_ammonia_limits,
    unionised_ammonia_nitrogen,
)
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
TRAP = "nitrite-trap"
"""The leaf of lesson 14's trees for water that new water, soda or air would poison."""
HARDLY = "no soda, change {tenth} at most, with soft water, test pH first"
TO_DO = {
    "safe": "Safe for weeks: carry on, test again this week",
    "near": "Below both limits today: feed little, test again tomorrow",
    "harms": "Harms over weeks: feed nothing, more air, change {share} of the water",
    "trap": f"Old-tank trap: feed nothing, {HARDLY}",
    "act": "Act now: feed nothing, more air, change {share} of the water",
    # More air would drive carbon dioxide out, and so lift the pH.
    "act in the trap": f"Act now: feed nothing, {HARDLY}",
}
"""The verdict, with what lesson 14 says to do tonight."""


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
    limits = total_ammonia_limits.bare(ph, temperature, salinity)
    unionised = unionised_ammonia_nitrogen.bare(total, ph, temperature, salinity)
    # What has no slider here is that of a row, as in lesson 14 where it is left out.
    tree = diagnose.bare(
        "nitrite stays", nitrite=as_nitrite, alkalinity=alkalinity_taken(salinity),
        ammonia=total, ph=ph, temperature=temperature, salinity=salinity, chloride=chloride,
    )  # fmt: skip
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
        trapped=tree.code == TRAP,
        share=from_si(tree.worked.figures["share_ammonia"].bare, "percent"),
    )


def alkalinity_taken(salinity: float) -> float:
    """Return the alkalinity of a tank in which nobody measured it; the sea has more of it."""
    fresh, sea = parameter("alkalinity_reading").bare, parameter("alkalinity_held_sea").bare
    return towards_sea(fresh, sea, salinity)


def describe(place: Place) -> str:
    """Say what the map shows."""
    ammonia, nitrite = place.ammonia, place.nitrite
    share = (
        f" ({number(100.0 * place.unionised / ammonia.reading, 2)} %)" if ammonia.reading else ""
    )
    as_read = "" if place.basis == "nitrogen" else f"{number(place.reading)} mg/L on the test is "
    lifted = " New water, soda or air lifts the pH and makes this ammonia poison."
    trap = lifted if place.trapped else ""
    return (
        f"Ammonia: {as_read}{number(ammonia.reading)} mg N/L, of which "
        f"{number(place.unionised, 2)} is un-ionised at pH {number(place.ph, 2)}{share}; "
        f"{number(ammonia.long)} may stay for weeks, {number(ammonia.short)} for an hour. "
        f"Nitrite: {number(nitrite.reading)} mg N/L; {number(nitrite.long, 2)} may stay for weeks, "
        f"{number(nitrite.short, 2)} for a short time.{_no_limit(place)}{trap}"
    )


def _no_limit(place: Place) -> str:
    """Say where no limit of ammonia is printed, and what is used there; "" in other water."""
    sour, hot = place.ph < PRINTED_FROM, place.celsius > PRINTED_WARMTH.high
    warmest = shown(PRINTED_WARMTH.high, PRINTED_WARMTH.unit)
    used = f"that of {PRINTED_FROM:g} is used"
    if sour and hot:
        return f" None is printed below pH {PRINTED_FROM:g} or above {warmest}; {used}, falling on."
    if sour:
        return f" No ammonia limit is printed below pH {PRINTED_FROM:g}; {used}."
    return f" Printed up to {warmest}, the ammonia limits fall on." if hot else ""


def verdict(place: Place) -> str:
    """Return which verdict it is; the old-tank trap holds back what the others would change."""
    worst = max(place.ammonia, place.nitrite, key=lambda limit: limit.rank).zone
    if place.trapped:
        return "act in the trap" if worst == "act" else "trap"
    if worst != "safe":
        return worst
    share, both = parameter("near_limit").value, (place.ammonia, place.nitrite)
    near = any(limit.reading > share * limit.long for limit in both)
    ripe = place.ammonia.reading <= parameter("ammonia_allowed").value
    return "safe" if ripe and not near else "near"


def answer(place: Place) -> tuple[str, str]:
    """Give the verdict, and what to do."""
    found = verdict(place)
    tenth = f"{number(100.0 * parameter('trap_change').value)} %"
    to_do = TO_DO[found].format(tenth=tenth, share=f"{number(place.share, 2)} %")
    if found in {"safe", "near"}:
        return "Ammonia and nitrite:", to_do
    return f"By its {_to_blame(place)}:", to_do


def _to_blame(place: Place) -> str:
    """Name the reading that gives the verdict, or both."""
    ammonia, nitrite = place.ammonia.rank, place.nitrite.rank
    if nitrite and (place.trapped or ammonia == nitrite):
        return "ammonia and nitrite"
    return "ammonia" if place.trapped or ammonia > nitrite else "nitrite"


def safety_map_panel() -> Panel:
    """Return the second panel: safe and unsafe over pH and temperature."""
    controls: dict[str, Control] = {
        "total_ammonia": Slider("Ammonia on the test", "total_ammonia_reading", 0.05),
        "basis": Choice("The ammonia test shows", AMMONIA_TESTS, "nitrogen"),
        "nitrite": Slider("Nitrite on the test", "nitrite_reading", 0.01),
        "ph": Slider("pH", "tested_ph", 0.1, parameter("tank_ph").value),
        "temperature": Slider("Temperature", "tested_temperature", 0.5),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
        "nitrite_basis": Choice("The nitrite test shows", NITRITE_TESTS, "nitrogen"),
        "chloride": Slider("Chloride of the tap water", "tap_chloride", 1.0),
    }
    return Panel("Safe or not?", controls, compute, SafetyMap(), describe, answer)
