"""Ammonia or nitrite stays in the water: what holds the filter back?"""

from __future__ import annotations

import math

from aqualib.filtration.biofilm import share_after_sudden_salt
from aqualib.tank.load import ammonia_after_meal, ammonia_production
from aqualib.tank.maturation import doubling_time, growth_at_temperature
from aqualib.tank.symptoms.how_it_looks import printed
from aqualib.tank.symptoms.old_tank_trap import trap
from aqualib.tank.symptoms.questions import Figure, Step, Worked, bare_of, line_of
from aqualib.tank.upkeep import after_water_changes
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS
from aqualib.water.alkalinity import bicarbonate_dose
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.molar_masses import NITROGEN, molar_mass
from aqualib.water.nitrite_limits import safe_nitrite
from aqualib.water.nitrogen import nitrite_as_nitrogen

CHLORINE_PER_NITROGEN = molar_mass(Cl=2) / NITROGEN
"""Chloramine, NH2Cl, counted as the chlorine (Cl2) that a test of total chlorine shows."""
USUAL_WARMTH = ZERO_CELSIUS + 25.0
"""The pace of a filter is told against that at 25 degC."""


def ammonia_stays(
    ammonia: float,
    ph: float,
    temperature: float,
    alkalinity: float,
    tap_ammonia: float,
    salinity: float,
    feed: float,
    volume: float,
) -> Worked:
    """Say how pressing it is, then look for the cause: new water, alkalinity, food."""
    limits = total_ammonia_limits.bare(printed(ph), temperature, salinity)
    acute, chronic = (Figure(float(limit), "mg/L") for limit in (limits.acute, limits.chronic))
    made = float(ammonia_production.bare(feed, bare_of("food_protein"))) * SECONDS_PER_DAY / volume
    by_now = float(ammonia_after_meal.bare(bare_of("excretion_peak")).share)
    tap_alkalinity = bare_of("tap_alkalinity")
    asked, trapped = trap(ammonia, ph, alkalinity, tap_alkalinity, temperature, salinity)
    figures = {
        "ammonia": Figure(ammonia, "mg/L"),
        "acute": acute,
        "limit": chronic,
        "allowed": line_of("ammonia_allowed"),
        "tap": Figure(tap_ammonia, "mg/L"),
        **chlorine_of(tap_ammonia),
        "made": Figure(made, "mg/L"),
        "soon": Figure(by_now * made, "mg/L"),
        **trapped,
        **change_to(ammonia, chronic.bare, tap_ammonia),
        **soda_for(alkalinity, volume),
    }
    steps = (
        Step(figures["ammonia"], acute),
        Step(figures["ammonia"], figures["allowed"], below=True),
        Step(figures["tap"], figures["allowed"]),
        asked,
        Step(figures["alkalinity"], figures["short"], below=True),
        Step(figures["ammonia"], chronic),
    )
    return Worked(steps, figures)


def nitrite_stays(
    nitrite: float,
    alkalinity: float,
    temperature: float,
    tap_ammonia: float,
    salt_rise: float,
    days_since_medicine: float,
    chloride: float,
    salinity: float,
    volume: float,
) -> Worked:
    """Tell the causes apart: how the test counts, alkalinity, cold, new water, salt, medicine."""
    limit = Figure(float(safe_nitrite.bare(salinity, chloride)), "mg/L")
    as_ion = Figure(float(nitrite_as_nitrogen.bare(nitrite)), "mg/L")
    pace = nitrite_pace(temperature)
    figures = {
        "nitrite": Figure(nitrite, "mg/L"),
        "limit": limit,
        "as_ion": as_ion,
        "temperature": Figure(temperature, "degC"),
        "pace": Figure(pace, "percent"),
        "slow": Figure(bare_of("cold_pace"), "percent"),
        "doubling": Figure(doubling(temperature), "h"),
        "warm_doubling": Figure(doubling(USUAL_WARMTH), "h"),
        "tap": Figure(tap_ammonia, "mg/L"),
        **chlorine_of(tap_ammonia),
        "allowed": line_of("ammonia_allowed"),
        "rise": Figure(salt_rise),
        "kept": Figure(float(share_after_sudden_salt.bare(salt_rise)), "percent"),
        "days": Figure(days_since_medicine, "day"),
        "shadow": line_of("medicine_shadow"),
        **change_to(nitrite, limit.bare, 0.0),
        **soda_for(alkalinity, volume),
    }
    steps = (
        Step(figures["nitrite"], limit, below=True),
        Step(as_ion, limit, below=True),
        Step(figures["alkalinity"], figures["short"], below=True),
        Step(figures["pace"], figures["slow"], below=True),
        Step(figures["tap"], figures["allowed"]),
        Step(figures["rise"], line_of("salt_borne")),
        Step(figures["days"], figures["shadow"], below=True),
    )
    return Worked(steps, figures)


def chlorine_of(tap_ammonia: float) -> dict[str, Figure]:
    """Return the chlorine of new water whose ammonia is all chloramine, and what animals bear."""
    return {
        "chlorine": Figure(CHLORINE_PER_NITROGEN * tap_ammonia, "mg/L"),
        "chlorine_weeks": line_of("chlorine_for_weeks"),
        "chlorine_most": line_of("chlorine_at_most"),
    }


def change_to(reading: float, limit: float, in_new_water: float) -> dict[str, Figure]:
    """Return the share of the water to change tonight towards a limit, and what is left then."""
    most, room = bare_of("tonight_most_changed"), reading - in_new_water
    wanted = (reading - limit) / room if room > 0.0 else most
    share = min(max(wanted, 0.0), most)
    after = float(after_water_changes.bare(reading, 0.0, share, in_new_water, 1))
    return {"share": Figure(share, "percent"), "after": Figure(after, "mg/L")}


def soda_for(alkalinity: float, volume: float) -> dict[str, Figure]:
    """Return the baking soda of one day for water that is short of alkalinity, and for how long."""
    rise = max(bare_of("alkalinity_held") - alkalinity, 0.0)
    step = min(rise, bare_of("alkalinity_step"))
    days = math.ceil(round(rise / step, 9)) if step else 0
    return {
        "alkalinity": Figure(alkalinity, "mg/L"),
        "short": line_of("alkalinity_short"),
        "held": line_of("alkalinity_held"),
        "soda": Figure(float(bicarbonate_dose.bare(volume, step)), "g"),
        "soda_days": Figure(days * SECONDS_PER_DAY, "day"),
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
