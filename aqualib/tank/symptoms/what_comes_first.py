"""One rule for every tree: what does the ammonia allow, before water is changed or pH lifted?"""

from __future__ import annotations

from aqualib.tank.symptoms.old_tank_trap import Water, limits_at, safe_share, trap
from aqualib.tank.symptoms.questions import Figure, Step, bare_of
from aqualib.tank.upkeep import after_water_changes


def ammonia_first(water: Water, at_least: float = 0.0) -> tuple[list[Step], dict[str, Figure]]:
    """Return the two questions that come before all others, and their numbers.

    Is the tank in the old-tank trap, so that next to nothing may be changed? Is there more ammonia
    than may stay, so that it is what the water is changed for? `at_least` is the share that another
    reading asks for.
    """
    asked, figures = trap(water)
    limits = limits_at(water.ph, water)
    acute, chronic = (Figure(float(limit), "mg/L") for limit in (limits.acute, limits.chronic))
    wanted = share_towards(water.ammonia, chronic.bare)
    share = safe_share(water, max(wanted, at_least))
    figures |= {
        "acute": acute,
        "limit_ammonia": chronic,
        "share_ammonia": Figure(share, "percent"),
        "after_ammonia": after(water.ammonia, share),
    }
    return [asked, Step(figures["ammonia"], chronic)], figures


def share_towards(reading: float, limit: float) -> float:
    """Return the share of the water to change towards a limit: no more than half, none below it."""
    return min(1.0 - limit / reading, bare_of("tonight_most_changed")) if reading > limit else 0.0


def after(reading: float, share: float) -> Figure:
    """Return what is left of a reading when a share was changed for water that holds none."""
    return Figure(float(after_water_changes.bare(reading, 0.0, share, 0.0, 1)), "mg/L")


def change_to(water: Water, reading: float, limit: float) -> dict[str, Figure]:
    """Return the share to change tonight towards another reading's limit, and what is left."""
    share = safe_share(water, share_towards(reading, limit))
    return {"share": Figure(share, "percent"), "after": after(reading, share)}
