"""Readings that come before any plan: above a line of the animals', or against one another."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from aqualib.parameters import parameter
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.system import System
from aqualib.tank.symptoms.old_tank_trap import Water, sea_or_fresh, trap
from aqualib.tank.symptoms.questions import Figure, Step
from aqualib.units import from_si, number, shown
from aqualib.water.ammonia import PRINTED_PH, Limits, total_ammonia_limits
from aqualib.water.nitrite_limits import safe_nitrite

FISH_FIRST = "Feed nothing tonight and stir the surface"
SOUR_FIRST = "Feed nothing tonight, and test ammonia before you stir the surface or change water"
"""Air and new water lift the pH of sour water, and with it the poison in its ammonia."""
LESSON_14 = "lesson 14, “{symptom}”, works out what to change at this pH, and what not"


class Alarm(NamedTuple):
    """A reading that goes before the plan."""

    words: str
    """What was read, and the line that it is beyond, in the reader's units."""
    tonight: str
    """What to do first."""


def alarms(system: System, whole: Filled) -> tuple[Alarm, ...]:
    """Return what the readings of a system ask for before any plan, the most pressing first."""
    return tuple(
        alarm
        for told in (_ammonia, _nitrite, _alkalinity, _nitrate, _bucket)
        for alarm in told(system, whole)
    )


def _told(value: float) -> str:
    return shown(from_si(value, "mg/L"), "mg/L", 2)


def _ammonia(system: System, whole: Filled) -> Iterator[Alarm]:
    if not system.readings.gives("ammonia"):
        return
    found = float(system.readings.bare.ammonia)
    limits = total_ammonia_limits.bare(whole.ph, whole.temperature, whole.salinity)
    long, hour = float(limits.chronic), float(limits.acute)
    if asks_small_steps(system, whole):
        yield from _before_water_is_changed(found, limits, whole)
        return
    if found <= long:
        return
    after = LESSON_14.format(symptom="ammonia does not go away")
    words = f"Ammonia reads {_told(found)} as N. In this water animals bear {_told(long)} for long"
    if found > hour:
        yield Alarm(
            f"{words}, and {_told(hour)} for an hour.",
            f"{FISH_FIRST}, and call a vet; {after}.",
        )
    else:
        yield Alarm(f"{words}.", f"{FISH_FIRST}; {after}.")


def is_sour(whole: Filled) -> bool:
    """Return whether the pH lies below what the ammonia limits are printed for."""
    return whole.ph < PRINTED_PH.low


def asks_small_steps(system: System, whole: Filled) -> bool:
    """Return whether nothing that lifts the pH may be done at a stroke."""
    return is_sour(whole) or is_trapped(system, whole)


def is_trapped(system: System, whole: Filled) -> bool:
    """Return whether new water, soda or air would poison the tank, by its last readings.

    All three must be known, as lesson 14 asks for all three.
    """
    known = system.readings.gives("ammonia"), *map(system.water.gives, ("ph", "alkalinity"))
    if not all(known):
        return False
    asked, _ = _trap(float(system.readings.bare.ammonia), whole)
    return asked.yes


def _trap(ammonia: float, whole: Filled) -> tuple[Step, dict[str, Figure]]:
    """Return what lesson 14 asks of such water, for tap water as it mostly is."""
    tap = parameter("tap_alkalinity").bare
    return trap(Water(ammonia, whole.ph, whole.alkalinity, tap, whole.temperature, whole.salinity))


def _before_water_is_changed(found: float, limits: Limits, whole: Filled) -> Iterator[Alarm]:
    """Ask as lesson 14 does, before water is changed or stirred, what a higher pH would do."""
    asked, figures = _trap(found, whole)
    share = 100.0 * parameter("trap_change").value
    go_slowly = f"no soda, no strong stirring, and change {share:.0f} % of the water at most"
    after = LESSON_14.format(symptom="the pH sinks")
    vet = ", and call a vet" if found > limits.acute else ""
    words = f"Ammonia reads {_told(found)} as N at pH {number(whole.ph)}."
    if asked.yes:
        lifted, left = number(figures["lifted"].bare, 2), _told(figures["left"].bare)
        yield Alarm(
            f"{words} Nearly all of it is mild ammonium, but new water, soda or air can lift the "
            f"pH to {lifted}: of the {left} left then animals bear "
            f"{_told(figures['limit_then'].bare)} for long.",
            f"Feed nothing tonight{vet}; {go_slowly}; {after}.",
        )
    elif found > limits.chronic:
        yield Alarm(
            f"{words} In this water animals bear {_told(float(limits.chronic))} for long.",
            f"Feed nothing tonight{vet}; {go_slowly} before you have tested the tap's pH; {after}.",
        )


def _nitrite(system: System, whole: Filled) -> Iterator[Alarm]:
    if not system.readings.gives("nitrite"):
        return
    found = float(system.readings.bare.nitrite)
    line = float(safe_nitrite.bare(whole.salinity, whole.chloride))
    if found > line:
        slowly = asks_small_steps(system, whole)
        after = LESSON_14.format(symptom="nitrite does not go away")
        yield Alarm(
            f"Nitrite reads {_told(found)} as N. In this water animals bear {_told(line)} for "
            "long.",
            f"{SOUR_FIRST if slowly else FISH_FIRST}; {after}.",
        )


def _alkalinity(system: System, whole: Filled) -> Iterator[Alarm]:
    """Bacteria use it up; no sum of what is carried counts it."""
    short = sea_or_fresh("alkalinity_short", whole.salinity)
    if system.water.gives("alkalinity") and whole.alkalinity < short:
        yield Alarm(
            f"Alkalinity is {_told(whole.alkalinity)} (as CaCO3). Below {_told(short)} the "
            "bacteria are held back, and what is carried here does not count that.",
            "Test ammonia before you raise it: lesson 14, “the pH sinks”, works out how much, "
            "and how slowly.",
        )


def _nitrate(system: System, _whole: Filled) -> Iterator[Alarm]:
    if not system.readings.gives("nitrate"):
        return
    found, limit = float(system.readings.bare.nitrate), parameter("nitrate_limit").bare
    if found > limit:
        share = 100.0 * parameter("trap_change").value
        yield Alarm(
            f"Nitrate reads {_told(found)} (as nitrate), above {_told(limit)}.",
            f"Bring it down by small changes, {share:.0f} % at a time with days between: water "
            "that has stood so long has often lost its alkalinity. Test that and ammonia first.",
        )


def _bucket(system: System, whole: Filled) -> Iterator[Alarm]:
    """A pump gives no more than its box says."""
    if system.pump.gives("rated_flow") and whole.measured_flow > whole.rated_flow:
        bucket, box = (
            shown(from_si(flow, "L/h"), "L/h") for flow in (whole.measured_flow, whole.rated_flow)
        )
        yield Alarm(
            f"The bucket gave {bucket}, and the box says {box} at most: one of them is wrong.",
            "Time the bucket again, and read the box again.",
        )
