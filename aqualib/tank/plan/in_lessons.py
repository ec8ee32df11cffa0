"""A system as the lessons' sliders ask for it: a number for each row that the running tank has."""

from __future__ import annotations

from aqualib.parameters import Parameter, parameter
from aqualib.tank.plan.nothing_open import Filled, filled, pads_of
from aqualib.tank.plan.parts import SETTLING
from aqualib.tank.plan.system import System
from aqualib.tank.plan.what_it_does import Outcome, outcome
from aqualib.units import base_unit, line_to

WEEK = 604800.0


def numbers_for_lessons(system: System) -> dict[str, float]:
    """Return a system's numbers by the rows that `data/running_tank.json` fills, in their units.

    They may lie beyond the range of a lesson's slider.
    """
    whole, _ = filled(system)
    plain = {**_of_tank(system), **_of_water(whole), **_of_filter(whole, outcome(whole))}
    return {row: _in_unit(parameter(row), value) for row, value in plain.items()}


def _of_tank(system: System) -> dict[str, float]:
    tank = system.tank
    fields = {
        "length": "tank_length",
        "width": "tank_width",
        "water_depth": "water_depth",
        "gravel_depth": "gravel_depth",
        "rock": "rock_mass",
    }
    return {row: getattr(tank.bare, field) for field, row in fields.items() if tank.gives(field)}


def _of_water(whole: Filled) -> dict[str, float]:
    numbers = {
        "tank_volume": whole.volume,
        "tank_temperature": whole.temperature,
        "tested_temperature": whole.temperature,
        "tank_ph": whole.ph,
        "tank_salinity": whole.salinity,
        "tank_feed": whole.feed,
        "food_protein": whole.protein,
        "fish_stock": whole.stock,
        "fish_weight": whole.body,
        "solids_made": whole.solids,
        "change_share": whole.change,
        "change_interval": whole.change_every,
        "weekly_change": whole.change / whole.change_every * WEEK,
        "fill_nitrate": whole.tap_nitrate,
    }
    if whole.nitrate_now == whole.nitrate_now:  # a test was told; NaN equals nothing
        numbers["nitrate_now"] = whole.nitrate_now
    return numbers


def _of_filter(whole: Filled, now: Outcome) -> dict[str, float]:
    numbers = {
        "filter_width": whole.width,
        "pad_area": now.pad_area,
        "filter_media": now.media_mass,
        "media_surface": now.media_area + now.pad_area,
        "dirt_until_cleaning": now.dirt_held,
        "cleaning_interval": whole.clean_every,
        "pump_rated_flow": whole.rated_flow,
        "pump_rated_head": whole.rated_head,
        "pump_power": whole.power,
        "hose_bore": whole.bore,
        "hose_length": whole.hose_length,
        "hose_elbows": whole.elbows,
        **dict.fromkeys(("media_flow", "carbon_flow", "lamp_flow"), now.flow),
    }
    pads, spaces = pads_of(whole), whole.holding(SETTLING)
    if pads:
        numbers["filter_pad_depth"] = sum(pad.height for pad in pads) / len(pads)
    if spaces:
        numbers["settling_height"] = spaces[0].height
    if whole.lamp_power:
        numbers |= {"lamp_power": whole.lamp_power, "lamp_hours": whole.lamp_hours}
    if whole.carbon:
        numbers["carbon_mass"] = whole.carbon
    return numbers


def _in_unit(row: Parameter, value: float) -> float:
    """Return a plain SI number in the unit of its row."""
    if not row.unit:
        return value
    factor, offset = line_to(base_unit(row.unit), row.unit)
    return factor * value + offset
