"""Ultraviolet light in a filter loop: the dose that water gets in one pass, and what it does."""

from __future__ import annotations

from typing import Annotated

from aqualib.draws import Span
from aqualib.edge import public
from aqualib.filtration.hydraulics.pump import LEAST_FLOW
from aqualib.filtration.ultraviolet.chamber import (
    RADIUS,
    TRANSMITTANCE,
    UV_POWER,
    check_radii,
    light_path,
)
from aqualib.filtration.ultraviolet.lamp import (
    ELECTRIC_POWER,
    HOURS,
    OUTPUT_SHARES,
    output_share,
)
from aqualib.parameters import parameter
from aqualib.units import Amount, Number


@public(returns="mJ/cm**2", sources=(), together=check_radii)
def annular_fluence(
    uv_power: Annotated[Amount, UV_POWER],
    flow: Annotated[Amount, LEAST_FLOW],
    inner_radius: Annotated[Amount, RADIUS],
    outer_radius: Annotated[Amount, RADIUS],
    transmittance: Annotated[Number, TRANSMITTANCE],
) -> Number:
    """Return the dose of light that water gets in one pass through a ring around the lamp, mJ/cm².

    Half the flow gives twice the dose; a longer lamp of the same watts gives no more.

    Equation: H = P (1 - exp(-a d)) / (a Q), with d = r_o - r_i and a = -100 ln(T); where the
    water absorbs nothing, H = P d / Q.

    uv_power: UV-C that leaves the sleeve, P, see `lamp_output`.
    flow: Q.
    inner_radius: Outer radius of the quartz sleeve, r_i.
    outer_radius: Inside radius of the shell, r_o.
    transmittance: Share of the light of 254 nm that passes 1 cm of the water, T.
    Raises: the shell is no wider than the sleeve.
    Source: mean strength of the light times the time in it, see `mean_fluence_rate`.
    Validity: an upper bound: all water sees the mean, and no light is lost at the ends.
    Departures: see `delivered_fluence` for what is left of it.

    >>> size = Q(12.5, "mm"), Q(30, "mm")
    >>> annular_fluence(Q(2.7, "W"), Q(1000, "L/h"), *size, 0.95).round(2)
    <Quantity(16.27, 'millijoule / centimeter ** 2')>
    """
    return uv_power * light_path(outer_radius - inner_radius, transmittance) / flow


@public(
    returns={"low": "mJ/cm**2", "best": "mJ/cm**2", "high": "mJ/cm**2"},
    sources=("SchaeferEtAl2007", "KnightKilgour2011", "SharrerEtAl2005"),
    together=check_radii,
)
def delivered_fluence(
    electric_power: Annotated[Amount, ELECTRIC_POWER],
    flow: Annotated[Amount, LEAST_FLOW],
    inner_radius: Annotated[Amount, RADIUS],
    outer_radius: Annotated[Amount, RADIUS],
    transmittance: Annotated[Number, TRANSMITTANCE],
    lamp_hours: Annotated[Amount, HOURS] = 0.0,
    fouling: Annotated[Number | None, OUTPUT_SHARES] = None,
) -> Span:
    """Return the dose to expect from a lamp's printed watts, with its range, in mJ/cm².

    The range is wide, a factor of four and more, because nobody measures small lamps.

    Equation: H = m x annular fluence of P_el x efficiency x exp(-k t) x fouling, with the rows
    `lamp_efficiency`, `lamp_ageing_rate` and `chamber_mixing` (m) at their low ends together,
    their values, and their high ends together.

    electric_power: As printed on the lamp.
    inner_radius: Outer radius of the quartz sleeve.
    outer_radius: Inside radius of the shell.
    transmittance: Share of the light of 254 nm that passes 1 cm of the water.
    lamp_hours: Hours that the lamp has run, t.
    fouling: Share of the light that passes the sleeve; left out, the row `sleeve_fouling` with
        its low and high ends.
    Raises: the shell is no wider than the sleeve.
    Source: SchaeferEtAl2007 and KnightKilgour2011 for the lamp (abstracts, large lamps), the
        mixing is assumed, see data/parameters.csv. For a scale: the fish farm of
        SharrerEtAl2005 ran at 100 to 120 mJ/cm².
    Validity: a guide for choosing; what was measured on the unit itself comes first.
    Departures: all factors at one end together is less likely than the range suggests.

    >>> size = Q(12.5, "mm"), Q(30, "mm")
    >>> dose = delivered_fluence(Q(9, "W"), Q(600, "L/h"), *size, 0.9, Q(3000, "h"), 0.8)
    >>> [round(float(end.m), 1) for end in dose]
    [7.4, 16.2, 27.5]
    """
    sure = annular_fluence.bare(electric_power, flow, inner_radius, outer_radius, transmittance)
    efficiency, mixing = parameter("lamp_efficiency"), parameter("chamber_mixing")
    rate, sleeve = parameter("lamp_ageing_rate"), parameter("sleeve_fouling")
    ends = []
    for end in ("low", "value", "high"):
        # A lamp that ages fast is the low end.
        fast = {"low": "high", "high": "low"}.get(end, end)
        aged = output_share.bare(lamp_hours, rate.to_base(getattr(rate, fast)))
        clean = getattr(sleeve, end) if fouling is None else fouling
        ends.append(sure * getattr(efficiency, end) * getattr(mixing, end) * aged * clean)
    return Span(*ends)
