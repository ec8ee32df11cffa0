"""Readings that come before any plan: above a line of the animals', or against one another."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from aqualib.parameters import parameter
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.system import System
from aqualib.tank.symptoms.old_tank_trap import sea_or_fresh
from aqualib.units import from_si, shown
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.nitrite_limits import safe_nitrite

FISH_FIRST = "Feed nothing tonight and stir the surface"
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


def _nitrite(system: System, whole: Filled) -> Iterator[Alarm]:
    if not system.readings.gives("nitrite"):
        return
    found = float(system.readings.bare.nitrite)
    line = float(safe_nitrite.bare(whole.salinity, whole.chloride))
    if found > line:
        after = LESSON_14.format(symptom="nitrite does not go away")
        yield Alarm(
            f"Nitrite reads {_told(found)} as N. In this water animals bear {_told(line)} for "
            "long.",
            f"{FISH_FIRST}; {after}.",
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
