"""A word where the ammonia that a panel lets remain is more than animals bear for weeks."""

from __future__ import annotations

from aqualib.parameters import parameter
from aqualib.units import from_si, number, shown
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.ph_scales import FRESH_BELOW


def warning(ammonia: float, temperature: float, salinity: float) -> str:
    """Return a sentence where so much ammonia (kg/m³) harms over weeks; nothing where not.

    A panel that does not ask for the pH takes that of a usual tank, fresh or marine.
    """
    ph = parameter("tank_ph" if salinity < FRESH_BELOW else "sea_ph").value
    chronic = float(total_ammonia_limits.bare(ph, temperature, salinity).chronic)
    if ammonia <= chronic:
        return ""
    limit = shown(from_si(chronic, "mg/L"), "mg/L", 2)
    return (
        f" So much ammonia harms over weeks: the long-term limit is {limit} at pH {number(ph, 2)}."
    )
