"""An ultraviolet lamp: the light it gives, how it ages, when to replace it, the heat it makes."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Annotated, Any

import numpy as np

from aqualib.arguments import short
from aqualib.edge import model, public
from aqualib.parameters import or_row, parameter
from aqualib.units import SECONDS_PER_DAY, Amount, Number
from aqualib.validity import Range, ValidityError

ELECTRIC_POWER = Range(0, 1e4, "W")
HOURS = Range(0, 1e5, "h")
OUTPUT_SHARES = Range(0, 1)
LAMP_SHARE = Range(0.01, 1)
AGEING_RATE = Range(1e-6, 1e-3, "1/hour")


@public(returns="W", sources=("SchaeferEtAl2007",))
def lamp_output(
    electric_power: Annotated[Amount, ELECTRIC_POWER],
    efficiency: Annotated[Number | None, OUTPUT_SHARES] = None,
    ageing: Annotated[Number | None, OUTPUT_SHARES] = None,
    fouling: Annotated[Number | None, OUTPUT_SHARES] = None,
) -> Number:
    """Return the UV-C light that reaches the water, in W.

    Of the watts printed on an old lamp in a dirty sleeve, a quarter becomes the light that counts.

    Equation: P = P_el x efficiency x ageing x fouling.

    electric_power: As printed on the lamp.
    efficiency: UV-C over electric power when new; left out, the row `lamp_efficiency`.
    ageing: Share of its first output that is left, see `output_share`; left out, that of a lamp
        at the end of the row `lamp_life`. 1 is a new lamp.
    fouling: Share that passes the sleeve; left out, the row `sleeve_fouling`. 1 is clean.
    Source: SchaeferEtAl2007 for the efficiency (abstract, one lamp measured); the other factors
        stand in data/parameters.csv.
    Validity: low-pressure mercury lamps; diodes turn far less of their power into UV-C.

    >>> lamp_output(Q(9, "W"), 0.30, ageing=1, fouling=1).round(2)
    <Quantity(2.7, 'watt')>
    >>> lamp_output(Q(9, "W")).round(2)
    <Quantity(2.28, 'watt')>
    """
    left = output_share.bare(parameter("lamp_life").bare) if ageing is None else ageing
    clean = or_row(fouling, "sleeve_fouling")
    return electric_power * or_row(efficiency, "lamp_efficiency") * left * clean


@public(returns="", sources=("KnightKilgour2011",))
def output_share(
    lamp_hours: Annotated[Amount, HOURS],
    ageing_rate: Annotated[Amount | None, AGEING_RATE] = None,
) -> Number:
    """Return the share of its first output that a lamp still gives, as a plain fraction 0 to 1.

    A lamp that glows may be spent: the blue light that the eye sees is not the UV-C that works.

    Equation: share = exp(-k t), with t the hours the lamp has run.

    ageing_rate: k; left out, the row `lamp_ageing_rate`.
    Source: KnightKilgour2011 (abstract): 11 % lost in 12 000 h, lamps of a waterworks measured
        in water. The shape is assumed.
    Validity: a lamp that is seldom switched; each start ages it as well, which is left out. Two
        weak texts on other lamps have 10 to 15 % lost over 9000 h, or about 30 % after 7000 h,
        which is the high end of the row.

    >>> round(output_share(Q(9000, "h")), 3)
    0.916
    """
    rate = or_row(ageing_rate, "lamp_ageing_rate")
    return np.exp(-rate * lamp_hours)


@public(returns="h", sources=("KnightKilgour2011",))
def service_hours(
    share: Annotated[Number | None, LAMP_SHARE] = None,
    ageing_rate: Annotated[Amount | None, AGEING_RATE] = None,
) -> Number:
    """Return the hours after which a lamp is due: too little light is left, or its life is over.

    A year has 8760 hours, so a lamp that is lit day and night is due about once a year, though
    most of its light may still be there: what nobody has measured on it nobody knows.

    Equation: t = -ln(share) / k, the reverse of `output_share`, at most the row `lamp_life`.

    share: Left out, the row `lamp_least_share`.
    ageing_rate: k; left out, the row `lamp_ageing_rate`.
    Source: KnightKilgour2011 for k, as in `output_share`; the life is common practice, no
        source.
    Validity: as `output_share`; what the lamp's own papers say comes first.

    >>> service_hours(0.7, Q(5.1e-5, "1/hour")).round(0)
    <Quantity(6994.0, 'hour')>
    >>> service_hours(0.7).round(0)
    <Quantity(9000.0, 'hour')>
    """
    least = or_row(share, "lamp_least_share")
    rate = or_row(ageing_rate, "lamp_ageing_rate")
    return np.minimum(-np.log(least) / rate, parameter("lamp_life").bare) + 0.0


@public(returns="delta_degC/day", sources=("TEOS10",))
def warming(
    power: Annotated[Amount, ELECTRIC_POWER],
    volume: Annotated[Amount, Range(0.1, 1e6, "L")],
    heat_per_volume: Annotated[Amount | None, Range(3.5, 4.5, "MJ/m**3/K")] = None,
) -> Number:
    """Return how fast a lamp warms the tank if no heat is lost, in degrees Celsius a day.

    Light that is swallowed ends as heat: all the watts of a lamp in the water warm the water.

    Equation: dT/dt = P / (c V), with c the heat that one volume of water takes for one degree.

    power: Electric power of the lamp; that of a ballast outside the water does not count.
    heat_per_volume: c; left out, the row `water_heat_per_volume`.
    Returns: A difference of temperature for each day that it is lit.
    Source: TEOS10 for c (by a library); the balance of heat.
    Validity: an upper bound: a real tank loses heat to the room and ends a little warmer.

    >>> warming(Q(9, "W"), Q(200, "L")).round(2)
    <Quantity(0.93, 'delta_degree_Celsius / day')>
    """
    row = "water_heat_per_volume"
    heat = or_row(heat_per_volume, row)
    return power / (heat * volume)


def _check_start(start: date, **_: Any) -> None:
    if not isinstance(start, date):
        raise ValidityError("start", short(start), "a datetime.date", "", "is not a date")


@model(returns="", together=_check_start)
def replacement_date(
    start: date,
    hours_a_day: Annotated[float | None, Range(0.1, 24, "h")] = None,
    share: Annotated[float | None, LAMP_SHARE] = None,
    ageing_rate: Annotated[float | None, AGEING_RATE] = None,
) -> date:
    """Return the day on which a lamp that starts new on `start` is due, by its `service_hours`.

    hours_a_day: Left out, the whole day.
    share: As in `service_hours`.
    ageing_rate: As in `service_hours`.

    >>> from datetime import date
    >>> replacement_date(date(2025, 1, 1), Q(12, "h"), 0.7, Q(5.1e-5, "1/hour"))
    datetime.date(2026, 8, 6)
    """
    daily = SECONDS_PER_DAY if hours_a_day is None else hours_a_day
    days = timedelta(days=float(service_hours.bare(share, ageing_rate)) / daily).days
    try:
        return date(start.year, start.month, start.day) + timedelta(days)
    except OverflowError:
        valid = f"a date {days} days or more before the end of the year 9999"
        raise ValidityError("start", start, valid, "", "is too late") from None
