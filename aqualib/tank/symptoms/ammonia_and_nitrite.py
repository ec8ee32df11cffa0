"""Ammonia or nitrite stays in the water: what holds the filter back?"""

from __future__ import annotations

import math

from aqualib.filtration.biofilm import share_after_sudden_salt
from aqualib.tank.load import ammonia_after_meal, ammonia_production
from aqualib.tank.maturation import doubling_time, growth_at_temperature
from aqualib.tank.symptoms.old_tank_trap import Water, after_soda, sea_or_fresh
from aqualib.tank.symptoms.questions import Figure, Step, Worked, bare_of, line_of
from aqualib.tank.symptoms.what_comes_first import ammonia_first, change_to, share_towards
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS
from aqualib.water.alkalinity import bicarbonate_dose
from aqualib.water.molar_masses import NITROGEN, molar_mass
from aqualib.water.nitrite_limits import safe_nitrite
from aqualib.water.nitrogen import nitrite_as_nitrogen

CHLORINE_PER_NITROGEN = molar_mass(Cl=2) / NITROGEN
"""Chloramine, NH2Cl, counted as the chlorine (Cl2) that a test of total chlorine shows."""
USUAL_WARMTH = ZERO_CELSIUS + 25.0
"""The pace of a filter is told against that at 25 degC."""


def ammonia_stays(
    tap_ammonia: float,
    feed: float,
    volume: float,
    water: Water,
) -> Worked:
    """Say how pressing it is, then look for the cause: new water, food, alkalinity."""
    (trapped, above), figures = ammonia_first(water)
    made = float(ammonia_production.bare(feed, bare_of("food_protein"))) * SECONDS_PER_DAY / volume
    by_now = float(ammonia_after_meal.bare(bare_of("excretion_peak")).share)
    figures |= {
        # In warm water of a high pH even a ripe tank's ammonia is above the animals' limit.
        "allowed": min(
            line_of("ammonia_allowed"), figures["limit_ammonia"], key=lambda line: line.bare
        ),
        "tap": Figure(tap_ammonia, "mg/L"),
        **chlorine_of(tap_ammonia),
        "made": Figure(made, "mg/L"),
        "soon": Figure(by_now * made, "mg/L"),
        **soda_for(water, volume),
    }
    steps = (
        trapped,
        Step(figures["ammonia"], figures["acute"]),
        Step(figures["ammonia"], figures["allowed"], below=True),
        Step(figures["tap"], explained_by_tap(water.ammonia)),
        above,
        Step(figures["alkalinity"], figures["short"], below=True),
    )
    return Worked(steps, figures)


def explained_by_tap(ammonia: float) -> Figure:
    """Return the ammonia in new water from which it, and no cause in the tank, is to be mended."""
    share = bare_of("tap_explains")
    return Figure(max(bare_of("ammonia_allowed"), share * ammonia), "mg/L")


def nitrite_stays(
    nitrite: float,
    tap_ammonia: float,
    salt_rise: float,
    days_since_medicine: float,
    chloride: float,
    volume: float,
    water: Water,
) -> Worked:
    """Ammonia first; then the causes apart: alkalinity, cold, new water, salt, medicine, basis."""
    limit = Figure(float(safe_nitrite.bare(water.salinity, chloride)), "mg/L")
    first, figures = ammonia_first(water, share_towards(nitrite, limit.bare))
    figures |= {
        "nitrite": Figure(nitrite, "mg/L"),
        "limit": limit,
        "as_ion": Figure(float(nitrite_as_nitrogen.bare(nitrite)), "mg/L"),
        **warmth_of(water.temperature),
        "tap": Figure(tap_ammonia, "mg/L"),
        **chlorine_of(tap_ammonia),
        "allowed": line_of("ammonia_allowed"),
        "rise": Figure(salt_rise),
        "kept": Figure(float(share_after_sudden_salt.bare(salt_rise)), "percent"),
        "days": Figure(days_since_medicine, "day"),
        "shadow": line_of("medicine_shadow"),
        **change_to(water, nitrite, limit.bare),
        **soda_for(water, volume),
    }
    steps = (
        *first,
        Step(figures["nitrite"], limit, below=True),
        Step(figures["alkalinity"], figures["short"], below=True),
        Step(figures["pace"], figures["slow"], below=True),
        Step(figures["tap"], figures["allowed"]),
        Step(figures["rise"], line_of("salt_borne")),
        Step(figures["days"], figures["shadow"], below=True),
        # Last, for a test that may count otherwise is no reason to leave a cause alone.
        Step(figures["as_ion"], limit, below=True),
    )
    return Worked(steps, figures)


def warmth_of(temperature: float) -> dict[str, Figure]:
    """Return how fast nitrite oxidisers work and double at a temperature."""
    return {
        "temperature": Figure(temperature, "degC"),
        "pace": Figure(nitrite_pace(temperature), "percent"),
        "slow": Figure(bare_of("cold_pace"), "percent"),
        "doubling": Figure(doubling(temperature), "h"),
        "warm_doubling": Figure(doubling(USUAL_WARMTH), "h"),
    }


def chlorine_of(tap_ammonia: float) -> dict[str, Figure]:
    """Return the chlorine of new water whose ammonia is all chloramine, and what animals bear."""
    return {
        "chlorine": Figure(CHLORINE_PER_NITROGEN * tap_ammonia, "mg/L"),
        "chlorine_weeks": line_of("chlorine_for_weeks"),
        "chlorine_most": line_of("chlorine_at_most"),
    }


def soda_for(water: Water, volume: float) -> dict[str, Figure]:
    """Return the baking soda for water that is short of alkalinity: in all, a day, how long."""
    held, short = (
        sea_or_fresh(row, water.salinity) for row in ("alkalinity_held", "alkalinity_short")
    )
    then = after_soda(water)
    rise = max(held - water.alkalinity, 0.0)
    step = min(rise, bare_of("alkalinity_step"))
    days = math.ceil(round(rise / step, 9)) if step else 0
    return {
        "alkalinity": Figure(water.alkalinity, "mg/L"),
        "short": Figure(short, "mg/L"),
        "held": Figure(held, "mg/L"),
        "soda": Figure(float(bicarbonate_dose.bare(volume, step)), "g"),
        "soda_all": Figure(float(bicarbonate_dose.bare(volume, rise)), "g"),
        "soda_days": Figure(days * SECONDS_PER_DAY, "day"),
        "soda_ph": Figure(then.ph),
        "soda_limit": Figure(then.limit, "mg/L"),
    }


def growth_of_nitrite_oxidisers(temperature: float) -> float:
    """Return how fast nitrite oxidisers grow at a temperature with plenty of all, in 1/s."""
    rows = "nitrite_oxidiser_growth", "nitrite_oxidiser_warming"
    return float(growth_at_temperature.bare(*(bare_of(row) for row in rows), temperature))


def nitrite_pace(temperature: float) -> float:
    """Return the pace of nitrite oxidisers over that at 25 degC."""
    return growth_of_nitrite_oxidisers(temperature) / growth_of_nitrite_oxidisers(USUAL_WARMTH)


def doubling(temperature: float) -> float:
    """Return the time in which nitrite oxidisers with plenty of all become twice as many, in s."""
    return float(doubling_time.bare(growth_of_nitrite_oxidisers(temperature), 0.0))
