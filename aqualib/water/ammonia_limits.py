"""The ammonia limits of salt water, and which limit holds at which salinity."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import Amount, Number, OneOf, Range, YesNo, public
from aqualib.parameters import parameter
from aqualib.water.ammonia import acute_criterion, check_sea, chronic_criterion, unionised_fraction
from aqualib.water.nitrogen_forms import AMMONIA_PER_NITROGEN
from aqualib.water.ph_scales import SCALES

FRESH_UP_TO = 1.0
SALT_FROM = 10.0


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
) -> Any:
    """Return the salt-water acute limit for total ammonia, in mg/L as nitrogen.

    Above this, a short time can harm marine animals: act now.

    Equation: TAN = (0.233 mg NH3/L) (14.007 / 17.031) / f, with f from `unionised_fraction`.

    Parameters
    ----------
    ph : plain number, 6.5 to 9
    temperature : quantity, 0 to 35 degC
    salinity : plain number (practical salinity), 1 to 40
    ph_scale : "free" or "total" or "seawater" or "nbs"

    Returns
    -------
    quantity in mg/L, total ammonia as nitrogen

    Raises
    ------
    ValidityError
        As `unionised_fraction`.

    Notes
    -----
    Source: EPA1989, read in WAC173201A; nitrogen in ammonia from IUPACAtomicWeights.
    Validity: the limit is for un-ionised ammonia; the total allowed depends on the pH scale.
    The printed tables begin at pH 7 (from memory). The regulation applies it from salinity 10
    up, and from 1 where it is the stricter.
    Departures: f is from CleggWhitfield1995, not from the formula of 1989.

    Examples
    --------
    >>> from aqualib.units import Q
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
) -> Any:
    """Return the salt-water chronic limit for total ammonia, in mg/L as nitrogen.

    A marine tank should stay below this all the time.

    Equation: TAN = (0.035 mg NH3/L) (14.007 / 17.031) / f, with f from `unionised_fraction`.

    Parameters
    ----------
    ph : plain number, 6.5 to 9
    temperature : quantity, 0 to 35 degC
    salinity : plain number (practical salinity), 1 to 40
    ph_scale : "free" or "total" or "seawater" or "nbs"

    Returns
    -------
    quantity in mg/L, total ammonia as nitrogen

    Raises
    ------
    ValidityError
        As `unionised_fraction`.

    Notes
    -----
    Source: EPA1989, read in WAC173201A; nitrogen in ammonia from IUPACAtomicWeights.
    Validity: as `saltwater_acute_criterion`.
    Departures: as `saltwater_acute_criterion`.

    Examples
    --------
    >>> from aqualib.units import Q
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
    ph: Annotated[Number, Range(6.5, 9, "", "EPA2013")],
    temperature: Annotated[Amount, Range(0, 30, "degC", "EPA2013")],
    salinity: Annotated[Number, Range(0, 40, "", "CleggWhitfield1995")] = 0.0,
    ph_scale: Annotated[str, OneOf(SCALES)] = "total",
    sensitive_fish: Annotated[bool, YesNo()] = True,
) -> Limits:
    """Return the acute and the chronic limit that hold at this salinity, in mg/L as nitrogen.

    Compare a total-ammonia reading with these two numbers, whatever the water.

    Equation: up to salinity 1 the fresh-water limits; from 10 the salt-water limits; between
    them the lower of the two.

    Parameters
    ----------
    ph : plain number, 6.5 to 9
    temperature : quantity, 0 to 30 degC
    salinity : plain number (practical salinity), 0 to 40
    ph_scale : "free" or "total" or "seawater" or "nbs"
    sensitive_fish : True or False
        True keeps the fresh-water limit set for salmon and trout.

    Returns
    -------
    Limits with `acute` and `chronic`, each a quantity in mg/L, total ammonia as nitrogen

    Raises
    ------
    ValidityError
        As `acute_criterion` and `saltwater_acute_criterion`.

    Notes
    -----
    Source: EPA2013 (fresh), EPA1989 (salt), CFR13136 (which holds where).
    Validity: pH 6.5 to 9, 0 to 30 °C.
    Departures: the regulation counts salt in parts per thousand; practical salinity stands for
    it. Above salinity 1 a limit can step down, where the salt-water one is the stricter: chronic by
    up to 39 %, acute by up to 4 % (13 % without salmonids). At 10 a limit can only step up, for
    the fresh-water one falls away: acute by 30 % at pH 8 and 25 °C, but tenfold at pH 7 and 0 °C,
    and 23-fold at pH 6.5, below the salt-water tables; fresh-water animals there are as sensitive.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> total_ammonia_limits(8.0, Q(25, "degC"), 34).chronic.round(3)
    <Quantity(0.534, 'milligram / liter')>
    """
    fresh = Limits(
        acute_criterion.bare(ph, temperature, sensitive_fish),
        chronic_criterion.bare(ph, temperature),
    )
    if np.all(np.asarray(salinity) <= FRESH_UP_TO):
        return Limits(fresh.acute + 0.0 * salinity, fresh.chronic + 0.0 * salinity)
    salt = Limits(
        saltwater_acute_criterion.bare(ph, temperature, salinity, ph_scale),
        saltwater_chronic_criterion.bare(ph, temperature, salinity, ph_scale),
    )
    return Limits(*(_that_holds(f, s, salinity) for f, s in zip(fresh, salt, strict=True)))


def _that_holds(fresh: Any, salt: Any, salinity: Any) -> Any:
    stricter = np.minimum(fresh, salt)
    brackish_or_salt = np.where(np.asarray(salinity) >= SALT_FROM, salt, stricter)
    return np.where(np.asarray(salinity) <= FRESH_UP_TO, fresh, brackish_or_salt)[()]
