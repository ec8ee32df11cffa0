"""Ammonia: how much of it is the poisonous kind, and how much is too much in fresh water."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.parameters import parameter
from aqualib.units import ZERO_CELSIUS, Amount, Number
from aqualib.validity import OneOf, Range, ValidityError, YesNo
from aqualib.water.nitrogen import AMMONIA_PER_NITROGEN
from aqualib.water.ph_scales import FRESH_BELOW, SCALES, above_free, refuse_weak_nbs
from aqualib.water.properties import first_bad

SEA_LIMIT = ZERO_CELSIUS + 40.0
FRESH_UP_TO = 1.0
SALT_FROM = 10.0
PRINTED_PH = Range(6.5, 9, "", "EPA2013")
"""pH for which the limits of total ammonia are printed."""
PRINTED_WARMTH = Range(0, 30, "degC", "EPA2013")
"""Temperatures for which they are printed."""
TANK_PH = Range(5, 9)
"""pH of a tank that the lessons speak of; below 6.5 it has the limits of 6.5."""
TANK_WARMTH = Range(0, 34, "degC")
"""Temperatures of such a tank; above 30 degC its limits fall on."""
EQUILIBRIUM_PH = Range(4, 10, "", "EmersonEtAl1975")
"""pH for which the un-ionised share is worked out; the source prints it from 6."""


def _fresh_pk(temperature: Any) -> Any:
    """Return the pKa of ammonium in fresh water (Emerson et al. 1975)."""
    return 0.09018 + 2729.92 / temperature


def _sea_pk(temperature: Any, salinity: Any, ph_scale: str) -> Any:
    """Return the pK of ammonium in sea water (Clegg & Whitfield 1995, eq. 18), on `ph_scale`."""
    root = temperature**0.5
    per_water = (
        9.244605
        - 2729.33 * (1.0 / 298.15 - 1.0 / temperature)
        + (0.04203362 - 11.24742 / temperature) * salinity**0.25
        + (-13.6416 + 1.176949 * root - 0.02860785 * temperature + 545.4834 / temperature)
        * salinity**0.5
        + (-0.1462507 + 0.0090226468 * root - 0.0001471361 * temperature + 10.5425 / temperature)
        * salinity**1.5
        + (0.004669309 - 0.0001691742 * root - 0.5677934 / temperature) * salinity**2
        + (-2.354039e-5 + 0.009698623 / temperature) * salinity**2.5
    )
    total = per_water - np.log10(1.0 - 0.001005 * salinity)
    # pH and pK move together from the total scale to another.
    to_scale = above_free(temperature, salinity, "total") - above_free(
        temperature, salinity, ph_scale
    )
    return total + to_scale


def check_sea(temperature: Any, salinity: Any, ph_scale: str, **_: Any) -> None:
    """Raise where the sea-water formula or the pH scale asked for does not reach."""
    refuse_weak_nbs(salinity, (ph_scale,))
    salty = np.asarray(salinity) > FRESH_BELOW
    hot = salty & (np.asarray(temperature) > SEA_LIMIT + 1e-6)
    if np.any(hot):
        valid = "0 to 40 degC in water saltier than 0.5"
        why = "is too warm for the sea-water formula"
        (kelvin,) = first_bad(hot, temperature)
        shown = f"{kelvin - ZERO_CELSIUS:g} degC"
        raise ValidityError("temperature", shown, valid, "CleggWhitfield1995", why)


@public(returns="", sources=("EmersonEtAl1975", "CleggWhitfield1995"), together=check_sea)
def unionised_fraction(
    ph: Annotated[Number, EQUILIBRIUM_PH],
    temperature: Annotated[Amount, Range(0, 50, "degC", "EmersonEtAl1975")],
    salinity: Annotated[Number, Range(0, 40, "", "CleggWhitfield1995")] = 0.0,
    ph_scale: Annotated[str, OneOf(SCALES)] = "total",
) -> Number:
    """Return the share of total ammonia that is un-ionised (NH3), as a plain fraction 0 to 1.

    Only this share passes easily through gills; a rise of pH from 7 to 8 makes it nearly ten
    times larger, so the same test reading can be harmless or deadly.

    Equation: f = 1 / (1 + 10^(pK - pH)). In fresh water pK = 0.09018 + 2729.92 / T, with T in
    kelvin. Above salinity 0.5, pK follows Clegg & Whitfield 1995, eq. 18, on the pH scale named.

    temperature: To 40 degC in salt water.
    ph_scale: The scale the pH was read on; it matters only in salt water.
    Returns: Mole fraction NH3 / (NH3 + NH4+), the same for mg N per litre.
    Raises: the NBS scale is asked for at salinity 0.5 to 20.
    Source: EmersonEtAl1975 (fresh), CleggWhitfield1995 (salt).
    Validity: fresh 0 to 50 °C, pH 6 to 10 as the source prints it; salt 0 to 40 °C (the source
        from -2), salinity 0 to 40. The equation is the law of mass action, which holds at any
        pH: below 6 a hair of it is un-ionised.
    Departures: kelvin is Celsius + 273.15; the original tables used 273.2, which makes them
        0.35 % higher. A misprint (2727.92) circulates; 2729.92 is right. At salinity 0.5 the
        two formulas meet within 0.3 % on the free scale; on the total and seawater scales the
        fraction steps up by 0.2 to 4.4 % (2.4 to 2.6 % at pH 8 and 25 °C), for there the scales
        part.

    >>> round(unionised_fraction(8.0, Q(25, "degC")), 4)
    0.0537
    """
    fresh = np.asarray(salinity) <= FRESH_BELOW
    if np.all(fresh):
        pk = _fresh_pk(temperature) + 0.0 * salinity
    elif not np.any(fresh):
        pk = _sea_pk(temperature, salinity, ph_scale)
    else:
        pk = np.where(fresh, _fresh_pk(temperature), _sea_pk(temperature, salinity, ph_scale))
    return 1.0 / (1.0 + 10.0 ** (pk - ph))


@public(returns="mg/L", sources=("EmersonEtAl1975", "CleggWhitfield1995"), together=check_sea)
def unionised_ammonia_nitrogen(
    total_ammonia_nitrogen: Annotated[Amount, Range(0, 1000, "mg/L")],
    ph: Annotated[Number, EQUILIBRIUM_PH],
    temperature: Annotated[Amount, Range(0, 50, "degC", "EmersonEtAl1975")],
    salinity: Annotated[Number, Range(0, 40, "", "CleggWhitfield1995")] = 0.0,
    ph_scale: Annotated[str, OneOf(SCALES)] = "total",
) -> Number:
    """Return the un-ionised ammonia in the water, in mg/L as nitrogen.

    This is the part of a total-ammonia reading that harms fish.

    Equation: NH3-N = f * TAN, with f from `unionised_fraction`.

    total_ammonia_nitrogen: As nitrogen.
    temperature: To 40 degC in salt water.
    Returns: As nitrogen (times 1.2159 for mg/L as NH3).
    Raises: as `unionised_fraction`.
    Source: EmersonEtAl1975 (fresh), CleggWhitfield1995 (salt).
    Validity: as `unionised_fraction`.

    >>> unionised_ammonia_nitrogen(Q(1, "mg/L"), 8.0, Q(25, "degC")).round(4)
    <Quantity(0.0537, 'milligram / liter')>
    """
    fraction = unionised_fraction.bare(ph, temperature, salinity, ph_scale)
    return total_ammonia_nitrogen * fraction


def _mussel_curve(ph: Any) -> Any:
    """Return the pH dependence of the acute criterion, 1 at pH 8 (EPA 2013)."""
    falling = 10.0 ** (7.204 - ph)
    return 0.7249 * (0.0114 / (1.0 + falling) + 1.6181 / (1.0 + 1.0 / falling))


@public(returns="mg/L", sources=("EPA2013",))
def acute_criterion(
    ph: Annotated[Number, PRINTED_PH],
    temperature: Annotated[Amount, PRINTED_WARMTH],
    sensitive_fish: Annotated[bool, YesNo()] = True,
) -> Number:
    """Return the fresh-water acute limit for total ammonia, in mg/L as nitrogen.

    Above this, an hour can harm sensitive animals: act now.

    Equation: the lower of 0.275 / (1 + 10^(7.204 - pH)) + 39.0 / (1 + 10^(pH - 7.204)) (with
    salmonids) and 0.7249 (0.0114 / (1 + 10^(7.204 - pH)) + 1.6181 / (1 + 10^(pH - 7.204)))
    x 23.12 x 10^(0.036 (20 - t)); without salmonids the last two factors stop at 51.93.

    sensitive_fish: True keeps the limit set for salmon and trout.
    Returns: Total ammonia as nitrogen, as a one-hour average.
    Source: EPA2013.
    Validity: pH 6.5 to 9, 0 to 30 °C, the printed tables; set to protect wild waters with
        mussels, so it is strict for a tank without them.
    Departures: none. Slips in circulation: 23.13 for 23.12, and 7204 for 7.204.

    >>> acute_criterion(7.0, Q(20, "degC")).round(2)
    <Quantity(16.76, 'milligram / liter')>
    """
    celsius = temperature - ZERO_CELSIUS
    warm = 23.12 * 10.0 ** (0.036 * (20.0 - celsius))
    if not sensitive_fish:
        return 1e-3 * _mussel_curve(ph) * np.minimum(51.93, warm)
    falling = 10.0 ** (7.204 - ph)
    salmonids = 0.275 / (1.0 + falling) + 39.0 / (1.0 + 1.0 / falling)
    return 1e-3 * np.minimum(salmonids, _mussel_curve(ph) * warm)


@public(returns="mg/L", sources=("EPA2013",))
def chronic_criterion(
    ph: Annotated[Number, PRINTED_PH],
    temperature: Annotated[Amount, PRINTED_WARMTH],
) -> Number:
    """Return the fresh-water chronic limit for total ammonia, in mg/L as nitrogen.

    A tank that stays below this month after month protects sensitive animals.

    Equation: 0.8876 (0.0278 / (1 + 10^(7.688 - pH)) + 1.1994 / (1 + 10^(pH - 7.688)))
    x 2.126 x 10^(0.028 (20 - max(t, 7))).

    Returns: Total ammonia as nitrogen, as a 30-day average.
    Source: EPA2013.
    Validity: pH 6.5 to 9, 0 to 30 °C, the printed tables.
    Departures: none. A slip in circulation has 10 - max(t, 7) in the exponent; 20 gives the
        printed 1.9 mg/L at pH 7 and 20 °C.

    >>> chronic_criterion(7.0, Q(20, "degC")).round(3)
    <Quantity(1.887, 'milligram / liter')>
    """
    celsius = np.maximum(temperature - ZERO_CELSIUS, 7.0)
    falling = 10.0 ** (7.688 - ph)
    curve = 0.8876 * (0.0278 / (1.0 + falling) + 1.1994 / (1.0 + 1.0 / falling))
    return 1e-3 * curve * 2.126 * 10.0 ** (0.028 * (20.0 - celsius))


class Limits(NamedTuple):
    """Total ammonia, as nitrogen, that must not be passed for an hour, and for long."""

    acute: Any
    chronic: Any


def _as_total(
    limit_as_ammonia: float, ph: Any, temperature: Any, salinity: Any, ph_scale: str
) -> Any:
    fraction = unionised_fraction.bare(ph, temperature, salinity, ph_scale)
    return limit_as_ammonia / AMMONIA_PER_NITROGEN / fraction


@public(returns="mg/L", sources=("EPA1989", "WAC173201A", "IUPACAtomicWeights"), together=check_sea)
def saltwater_acute_criterion(
    ph: Annotated[Number, Range(6.5, 9, "", "EPA1989")],
    temperature: Annotated[Amount, Range(0, 35, "degC", "EPA1989")],
    salinity: Annotated[Number, Range(1, 40, "", "CFR13136")] = 35.0,
    ph_scale: Annotated[str, OneOf(SCALES)] = "total",
) -> Number:
    """Return the salt-water acute limit for total ammonia, in mg/L as nitrogen.

    Above this, a short time can harm marine animals: act now.

    Equation: TAN = (0.233 mg NH3/L) (14.007 / 17.031) / f, with f from `unionised_fraction`.

    Returns: Total ammonia as nitrogen.
    Raises: as `unionised_fraction`.
    Source: EPA1989, read in WAC173201A; nitrogen in ammonia from IUPACAtomicWeights.
    Validity: the limit is for un-ionised ammonia; the total allowed depends on the pH scale.
        The printed tables begin at pH 7 (from memory). The regulation applies it from salinity
        10 up, and from 1 where it is the stricter. It is meant for an hour and rests on fish,
        crustaceans and molluscs of one continent's coasts, none of them of a coral reef (from
        memory). Half of groupers 4.4 cm long died in four days at 2.7 mg N/L (Zheng2012), less
        than is allowed here for an hour; those of 10.5 cm bore twenty times as much.
    Departures: f is from CleggWhitfield1995, not from the formula of 1989.

    >>> saltwater_acute_criterion(8.0, Q(25, "degC"), 34).round(2)
    <Quantity(3.55, 'milligram / liter')>
    """
    limit = parameter("saltwater_acute_unionised_ammonia").bare
    return _as_total(limit, ph, temperature, salinity, ph_scale)


@public(returns="mg/L", sources=("EPA1989", "WAC173201A", "IUPACAtomicWeights"), together=check_sea)
def saltwater_chronic_criterion(
    ph: Annotated[Number, Range(6.5, 9, "", "EPA1989")],
    temperature: Annotated[Amount, Range(0, 35, "degC", "EPA1989")],
    salinity: Annotated[Number, Range(1, 40, "", "CFR13136")] = 35.0,
    ph_scale: Annotated[str, OneOf(SCALES)] = "total",
) -> Number:
    """Return the salt-water chronic limit for total ammonia, in mg/L as nitrogen.

    A marine tank should stay below this all the time.

    Equation: TAN = (0.035 mg NH3/L) (14.007 / 17.031) / f, with f from `unionised_fraction`.

    Returns: Total ammonia as nitrogen.
    Raises: as `unionised_fraction`.
    Source: EPA1989, read in WAC173201A; nitrogen in ammonia from IUPACAtomicWeights.
    Validity: as `saltwater_acute_criterion`.
    Departures: as `saltwater_acute_criterion`.

    >>> saltwater_chronic_criterion(8.0, Q(25, "degC"), 34).round(3)
    <Quantity(0.534, 'milligram / liter')>
    """
    limit = parameter("saltwater_chronic_unionised_ammonia").bare
    return _as_total(limit, ph, temperature, salinity, ph_scale)


@public(
    returns={"acute": "mg/L", "chronic": "mg/L"},
    sources=("EPA2013", "EPA1989", "CFR13136"),
    together=check_sea,
)
def total_ammonia_limits(
    ph: Annotated[Number, TANK_PH],
    temperature: Annotated[Amount, TANK_WARMTH],
    salinity: Annotated[Number, Range(0, 40, "", "CleggWhitfield1995")] = 0.0,
    ph_scale: Annotated[str, OneOf(SCALES)] = "total",
    sensitive_fish: Annotated[bool, YesNo()] = True,
) -> Limits:
    """Return the acute and the chronic limit that hold at this salinity, in mg/L as nitrogen.

    Compare a total-ammonia reading with these two numbers, whatever the water.

    Equation: up to salinity 1 the fresh-water limits; from 10 the salt-water limits; between
    them the lower of the two. Below pH 6.5 they are those of 6.5. Above 30 °C the fresh-water
    ones are the lower of the printed equation carried on, and of the total that holds no more
    un-ionised ammonia than the limit at 30 °C does.

    sensitive_fish: True keeps the fresh-water limit set for salmon and trout.
    Returns: acute (total ammonia as nitrogen); chronic (likewise).
    Raises: as `acute_criterion` and `saltwater_acute_criterion`.
    Source: EPA2013 (fresh), EPA1989 (salt), CFR13136 (which holds where).
    Validity: printed for pH 6.5 to 9 and 0 to 30 °C. Beyond both ends it is ours, and the
        stricter choice: a higher limit in sour water, or in hot, would rest on nothing.
    Departures: the regulation counts salt in parts per thousand; practical salinity stands for
        it. Above salinity 1 a limit can step down, where the salt-water one is the stricter:
        chronic by up to 39 %, acute by up to 4 % (13 % without salmonids). At 10 a limit can
        only step up, for the fresh-water one falls away: acute by 30 % at pH 8 and 25 °C, but
        tenfold at pH 7 and 0 °C, and 23-fold at pH 6.5, below the salt-water tables;
        fresh-water animals there are as sensitive.

    >>> total_ammonia_limits(8.0, Q(25, "degC"), 34).chronic.round(3)
    <Quantity(0.534, 'milligram / liter')>
    """
    ph = np.maximum(ph, PRINTED_PH.low)
    fresh = _fresh_limits(ph, temperature, salinity, ph_scale, sensitive_fish)
    if np.all(np.asarray(salinity) <= FRESH_UP_TO):
        return Limits(fresh.acute + 0.0 * salinity, fresh.chronic + 0.0 * salinity)
    salt = Limits(
        saltwater_acute_criterion.bare(ph, temperature, salinity, ph_scale),
        saltwater_chronic_criterion.bare(ph, temperature, salinity, ph_scale),
    )
    return Limits(*(_that_holds(f, s, salinity) for f, s in zip(fresh, salt, strict=True)))


def _fresh_limits(
    ph: Any, temperature: Any, salinity: Any, ph_scale: str, sensitive_fish: bool
) -> Limits:
    """Return the fresh-water limits; where it is warmer than printed, never laxer than there."""
    found = Limits(
        acute_criterion.bare(ph, temperature, sensitive_fish),
        chronic_criterion.bare(ph, temperature),
    )
    warmest = PRINTED_WARMTH.high + ZERO_CELSIUS
    if np.all(np.asarray(temperature) <= warmest):
        return found
    there = np.minimum(temperature, warmest)
    at_end = _fresh_limits(ph, there, salinity, ph_scale, sensitive_fish)
    at_most, here = (
        unionised_fraction.bare(ph, kelvin, salinity, ph_scale) for kelvin in (there, temperature)
    )
    poison = at_most / here
    return Limits(*(np.minimum(f, e * poison) for f, e in zip(found, at_end, strict=True)))


def _that_holds(fresh: Any, salt: Any, salinity: Any) -> Any:
    stricter = np.minimum(fresh, salt)
    brackish_or_salt = np.where(np.asarray(salinity) >= SALT_FROM, salt, stricter)
    return np.where(np.asarray(salinity) <= FRESH_UP_TO, fresh, brackish_or_salt)[()]
