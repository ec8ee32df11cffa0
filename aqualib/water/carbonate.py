"""Carbonate chemistry: pH from alkalinity and carbon dioxide, and what nitrification does to it.

Alkalinity is in mg/L as CaCO3 throughout. In salt water pH is on the scale named, the total scale
unless another is asked for.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range, ValidityError, YesNo
from aqualib.water.carbonate_balance import (
    check_scale,
    check_state,
    dissolved,
    on_scale,
    on_total,
    per_kilogram,
    ph_closed,
    ph_in_air,
    total_carbon,
    water_at,
)
from aqualib.water.molar_masses import CARBON_DIOXIDE
from aqualib.water.ph_scales import SCALES

Alkalinity = Annotated[Amount, Range(0, 500, "mg/L")]
Reading = Annotated[Number, Range(5, 10)]
Temperature = Annotated[Amount, Range(0, 40, "degC", "MilleroPoisson1981")]
Salinity = Annotated[Number, Range(0, 42, "", "MilleroPoisson1981")]
Scale = Annotated[str, OneOf(SCALES)]
SOURCES = ("PyCO2SYS", "Millero1979", "WatersEtAl2014", "LuekerEtAl2000", "Weiss1974")


def _check_loss(alkalinity: Any, loss: Any, **state: Any) -> None:
    check_state(alkalinity=alkalinity, **state)
    lost, there = np.broadcast_arrays(loss, alkalinity)
    too_much = lost > there * (1.0 + 1e-9)
    if np.any(too_much):
        valid = "no more than the alkalinity"
        why = "is more alkalinity than the water has"
        raise ValidityError("loss", f"{1e3 * lost[too_much].max():g} mg/L", valid, "", why)


@public(returns="", sources=SOURCES, together=check_scale)
def ph_at_equilibrium(
    alkalinity: Alkalinity,
    temperature: Temperature,
    salinity: Salinity = 0.0,
    carbon_dioxide: Annotated[Amount | None, Range(100, 20000, "ppm")] = None,
    ph_scale: Scale = "total",
) -> Number:
    """Return the pH that water comes to in contact with the air, as a plain number.

    This is where aeration takes a tank's pH, and no further; in a closed room full of people the
    air holds more carbon dioxide and the same tank settles lower.

    Equation: CO2 = K0 f (1 - v) x, and the pH is the one at which [HCO3-] + 2 [CO3--] +
    [B(OH)4-] + [OH-] - [H+] - [HSO4-] - [HF] equals the alkalinity, with [HCO3-] = K1 CO2 / [H+]
    and [CO3--] = K2 [HCO3-] / [H+]; x is the share of CO2 in dry air, f its fugacity factor and v
    the vapour pressure of water in atm.

    alkalinity: As CaCO3.
    carbon_dioxide: In the air, by volume; left out, outdoor air (the row
        `outdoor_carbon_dioxide` of data/parameters.csv).
    ph_scale: The scale of the answer; it matters only in salt water.
    Returns: PH on the scale named.
    Raises: the NBS scale is asked for at salinity 0.5 to 20.
    Source: PyCO2SYS for the constants: Millero1979 up to salinity 0.5, WatersEtAl2014 in
        brackish water, LuekerEtAl2000 from 19 up between 2 and 35 °C; Weiss1974 for the gas.
    Validity: at 1 atm; every 100 m of height lowers CO2 by about 1.2 %. The brackish set
        revises one made for salinity 1 to 50 and 0 to 50 °C and runs into pure water's values
        at 0.
    Departures: up to salinity 0.5 pure water's constants are used and the salt is ignored,
        which reads up to about 0.05 high in hard water. At 0.5 the answer steps down by 0.06 to
        0.18, where the total scale takes over; at 19 the sets differ by 0.01 or less. Borate is
        that of sea water of the same salinity; phosphate, silicate, ammonia and organic acids
        are left out.

    >>> round(ph_at_equilibrium(Q(100, "mg/L"), Q(25, "degC"), carbon_dioxide=Q(420, "ppm")), 2)
    8.5
    """
    share = or_row(carbon_dioxide, "outdoor_carbon_dioxide")
    water = water_at(temperature, salinity)
    ph = ph_in_air(per_kilogram(alkalinity, water), share * water.dissolved_per_air, water)
    return on_scale(ph, temperature, salinity, ph_scale)


@public(returns="mg/L", sources=SOURCES, together=check_state)
def carbon_dioxide(
    ph: Reading,
    alkalinity: Alkalinity,
    temperature: Temperature,
    salinity: Salinity = 0.0,
    ph_scale: Scale = "total",
) -> Number:
    """Return the dissolved carbon dioxide that a pH and an alkalinity imply, in mg/L as CO2.

    A crowded tank with little air stripped through it builds up carbon dioxide: the pH sinks
    although the alkalinity is fine, and dosing alkalinity does not cure it.

    Equation: CO2 = (A - [B(OH)4-] - [OH-] + [H+] + [HSO4-] + [HF]) / (K1/[H+] + 2 K1 K2/[H+]²).

    alkalinity: As CaCO3.
    ph_scale: The scale the pH was read on; it matters only in salt water.
    Returns: As CO2.
    Raises: if so high a pH cannot be at this alkalinity, or the NBS scale is asked for at
        salinity 0.5 to 20.
    Source: PyCO2SYS, Millero1979, WatersEtAl2014, LuekerEtAl2000, Weiss1974, as in
        `ph_at_equilibrium`.
    Validity: alkalinity from carbonate (and borate in salt water) alone. An error of 0.1 in pH
        makes one of a quarter in CO2; humic acids and phosphate buffers make it worthless.
    Departures: as `ph_at_equilibrium`; pure water's constants read about 10 % high in hard
        water.

    >>> carbon_dioxide(7.0, Q(100, "mg/L"), Q(25, "degC")).round(1)
    <Quantity(19.7, 'milligram / liter')>
    """
    water = water_at(temperature, salinity)
    total = on_total(ph, temperature, salinity, ph_scale)
    moles = dissolved(total, per_kilogram(alkalinity, water), water)
    return 1e-3 * CARBON_DIOXIDE * water.density * moles


def _ph_after(
    ph: Any,
    alkalinity: Any,
    change: Any,
    carbon_per_change: float,
    temperature: Any,
    salinity: Any,
    open_to_air: bool,
    ph_scale: str,
) -> Any:
    """Return the pH after a change of alkalinity that brings this much carbon with it."""
    water = water_at(temperature, salinity)
    before = on_total(ph, temperature, salinity, ph_scale)
    start = per_kilogram(alkalinity, water)
    step = per_kilogram(change, water)
    gas = dissolved(before, start, water)
    if open_to_air:
        after = ph_in_air(start + step, gas, water)
    else:
        carbon = total_carbon(before, gas, water) + carbon_per_change * step
        after = ph_closed(start + step, carbon, water)
    return on_scale(after, temperature, salinity, ph_scale)


@public(returns="", sources=SOURCES, together=_check_loss)
def ph_after_alkalinity_loss(
    ph: Reading,
    alkalinity: Alkalinity,
    loss: Annotated[Amount, Range(0, 500, "mg/L")],
    temperature: Temperature,
    salinity: Salinity = 0.0,
    open_to_air: Annotated[bool, YesNo()] = False,
    ph_scale: Scale = "total",
) -> Number:
    """Return the pH after nitrification has used up `loss` of alkalinity, as a plain number.

    Losing the first half of the alkalinity costs 0.3 of pH if the air carries the carbon dioxide
    off; the last few mg/L cost whole units, so a tank can seem steady for months and then crash.

    Equation: as `ph_at_equilibrium` with A - loss. Closed: [CO2] + [HCO3-] + [CO3--] stays, for
    acid only turns one into another. Open: [CO2] goes back to what it was before.

    ph: Before the loss.
    alkalinity: As CaCO3. Before the loss.
    loss: As CaCO3, no more than the alkalinity.
    open_to_air: True lets the air carry off the carbon dioxide that the acid sets free.
    ph_scale: The scale of both pH values; it matters only in salt water.
    Returns: PH on the scale named.
    Raises: as `carbon_dioxide`, or if the loss is more than the alkalinity.
    Source: PyCO2SYS, Millero1979, WatersEtAl2014, LuekerEtAl2000, Weiss1974, as in
        `ph_at_equilibrium`.
    Validity: as `carbon_dioxide`. A real tank lies between closed and open; breathing, which
        adds carbon dioxide, and photosynthesis, which takes it, are left out.
    Departures: as `ph_at_equilibrium`.

    >>> before = (7.5, Q(100, "mg/L"), Q(50, "mg/L"), Q(25, "degC"))
    >>> round(ph_after_alkalinity_loss(*before), 2)
    6.3
    >>> round(ph_after_alkalinity_loss(*before, open_to_air=True), 2)
    7.2
    """
    return _ph_after(ph, alkalinity, -loss, 0.0, temperature, salinity, open_to_air, ph_scale)


@public(returns="", sources=SOURCES, together=check_state)
def ph_after_dose(
    ph: Reading,
    alkalinity: Alkalinity,
    rise: Annotated[Amount, Range(0, 200, "mg/L")],
    temperature: Temperature,
    salinity: Salinity = 0.0,
    open_to_air: Annotated[bool, YesNo()] = False,
    ph_scale: Scale = "total",
) -> Number:
    """Return the pH after sodium bicarbonate has raised the alkalinity, as a plain number.

    Bicarbonate moves the pH little by itself; the rest of the rise comes as carbon dioxide leaves.

    Equation: as `ph_at_equilibrium` with A + rise. Closed: every mole of bicarbonate adds one mole
    of alkalinity and one of inorganic carbon. Open: [CO2] goes back to what it was before.

    ph: Before the dose.
    alkalinity: As CaCO3. Before the dose.
    rise: As CaCO3.
    open_to_air: True lets the air bring the carbon dioxide back to where it was.
    ph_scale: The scale of both pH values; it matters only in salt water.
    Returns: PH on the scale named.
    Raises: as `carbon_dioxide`.
    Source: PyCO2SYS, Millero1979, WatersEtAl2014, LuekerEtAl2000, Weiss1974, as in
        `ph_at_equilibrium`.
    Validity: as `carbon_dioxide`; nothing precipitates (a strong rise in sea water may).
    Departures: as `ph_at_equilibrium`.

    >>> round(ph_after_dose(7.0, Q(50, "mg/L"), Q(50, "mg/L"), Q(25, "degC")), 2)
    7.3
    """
    return _ph_after(ph, alkalinity, rise, 1.0, temperature, salinity, open_to_air, ph_scale)
