"""What a learner typed, read as an amount: any unit, decimal comma or point, refused in words."""

from __future__ import annotations

import math
import re

import numpy as np
from pint import DimensionalityError, OffsetUnitCalculusError, UndefinedUnitError

from aqualib.checks import UNIT
from aqualib.units import NotLinearError, display_unit, get_units, label, line_to, registry
from aqualib.written_numbers import TwoMeaningsError, plain_digits

LONGEST = 60
"""signs of a typed answer; what is longer is no number"""
NUMBER = re.compile(
    r"([+-]?)(\d{1,3}(?: \d{3})+(?:[.,]\d+)?|\d[\d.,]*|[.,]\d+)((?:[eE][+-]?\d{1,4})?)(.*)",
    re.ASCII | re.DOTALL,
)
# As people write them, in small letters and without full stops.
UNITS = {
    "l": "L litre litres liter liters ltr ltrs",
    "gal": "gallon gallons us_gal us_gallon us_gallons",
    "imperial_gallon": "imp_gal imp_gallon imp_gallons imperial_gallons "
    "uk_gal uk_gallon uk_gallons",
    "mL": "ml millilitre millilitres milliliter milliliters",
    "cm**3": "cm3 cc ccm cubic_centimetres cubic_centimeters",
    "dm**3": "dm3 cubic_decimetres cubic_decimeters",
    "m**3": "m3 cubic_metres cubic_meters",
    "inch**3": "in3 cu_in cubic_inches",
    "ft**3": "ft3 cu_ft cubic_feet",
    "quart": "qt quarts us_qt us_quart us_quarts",
    "imperial_quart": "imp_qt imp_quart imp_quarts uk_quarts imperial_quarts",
    "fluid_ounce": "fl_oz us_fl_oz fluid_ounces",
    "imperial_fluid_ounce": "imp_fl_oz",
    "L/h": "l/h l/hr l/hour lph l_an_hour litres_an_hour litres/hour l_per_hour",
    "gal/h": "gph us_gph us_gal/h gallons_an_hour gal/hr gal/hour gallons_per_hour",
    "imperial_gallon/h": "imp_gph imp_gal/h",
    "L/week": "l/week l_a_week litres_a_week",
    "gal/week": "gal/week us_gal/week gallons_a_week",
    "g": "gram grams gramme grammes",
    "kg": "kilogram kilograms kilo kilos kgs",
    "mg": "milligram milligrams",
    "oz": "ounce ounces",
    "lb": "lbs pound pounds",
    "g/day": "g/d g_a_day grams_a_day g_per_day",
    "mg/day": "mg/d mg_a_day mg_per_day",
    "oz/day": "oz_a_day",
    "g/week": "g_a_week grams_a_week",
    "mg/L": "mg/l mg/litre mg/liter mg_n/l mgn/l mg/l_n mg/l_as_n ppm mg_per_litre",
    "ug/L": "ug/l µg/l μg/l ppb",
    "g/L": "g/l",
    "mg/L/day": "mg/l/day mg/l/d mg/l_a_day",
    "m": "metre metres meter meters",
    "cm": "centimetre centimetres centimeter centimeters",
    "mm": "millimetre millimetres millimeter millimeters",
    "um": "µm μm micron microns",
    "inch": 'in inch inches "',
    "ft": "foot feet",
    "m**2": "m2 m² m^2 square_metres square_meters sq_m",
    "cm**2": "cm2 cm² cm^2 sq_cm",
    "ft**2": "ft2 ft² ft^2 sq_ft square_feet",
    "m**2/kg": "m2/kg m²/kg",
    "m**2/L": "m2/l m²/l m**2/l",
    "g/m**2/day": "g/m2/day g/m²/day g/m²_a_day g/m2_a_day",
    "kg/m**3": "kg/m3 kg/m³",
    "g/cm**3": "g/cm3 g/cm³ g/ml",
    "mm/s": "mm/sec mm_a_second",
    "mJ/cm**2": "mj/cm2 mj/cm²",
    "J/m**2": "j/m2 j/m²",
    "mg/g": "mg_per_gram",
    "degC": "°c c celsius deg_c degrees_c",
    "degF": "°f f fahrenheit deg_f degrees_f",
    "day": "d days",
    "hour": "h hr hrs hours",
    "minute": "min mins minutes",
    "second": "s sec secs seconds",
    "week": "weeks wk",
    "year": "years yr",
    "1/day": "per_day a_day /day",
    "percent": "% percent per_cent pct",
    "kWh": "kwh kwh/year kwh_a_year kwh_per_year",
    "watt_hour": "wh watt_hours",
    "W": "w watt watts",
}
KNOWN = {word: unit for unit, words in UNITS.items() for word in (*words.split(), unit.lower())}
PRICES = {"€", "$", "£", "euro", "euros", "dollar", "dollars", "a_year", "per_year"}
PLAIN_WORDS = {"", "times", "x", "fold", *PRICES}
MONEY = "€$£ "
OWN_COUNTRY = {"gal", "gallon", "gallons", "gph", "fl_oz", "qt", "quart", "quarts"}
"""Words that mean another amount where imperial units are read."""
GALLONS_OF_TIME = re.compile(r"gal(lons?)?[/_]")
"""Gallons in so much time: those of the reader's own country too."""
A_SECOND_NUMBER = re.compile(r"(?:to|and|or|x|[-–—/*+±~])\s*\d", re.IGNORECASE)
"""What stands behind the first number of a range or of a sum."""
PER = re.compile(r"\s*/\s*|\s+(?:per|an?|each)\s+")
AS_NITROGEN = re.compile(r"[ _](?:as[ _])?(?:(?:nh[34]|no2|tan)-?)?n$")
"""What tells the basis that the boxes for ammonia and nitrite have anyhow. Nitrate is left out: its
boxes are as ion."""
RAISED = str.maketrans({"²": "2", "³": "3"})


class NotReadError(ValueError):
    """What was given is no answer; its words say what would be one."""


class WrongUnitError(NotReadError):
    """The amount has a unit of another kind."""


def wanted(unit: str) -> str:
    """Return the unit that stands beside a box, in the unit set in force."""
    return label(display_unit(unit)) if unit else ""


def read(given: object, unit: str) -> float:
    """Return what was given as a plain number in `unit`, or raise in words.

    Text may bear any unit that fits; without one it is read in the unit that stands beside the
    box, and so is a plain number. A quantity is taken at its word.
    """
    if isinstance(given, registry.Quantity):
        return _finite(_converted(_one_number(given.magnitude), str(given.units), unit))
    if isinstance(given, str):
        value, source = _parts(given, unit)
        return _finite(_converted(value, source, unit))
    value = _one_number(given)
    return _finite(_converted(value, display_unit(unit), unit) if unit else value)


def bare_number(given: object) -> float | None:
    """Return what was given if it is a number without a unit, else None."""
    if isinstance(given, registry.Quantity):
        return None
    if not isinstance(given, str):
        return _one_number(given)
    tidy = " ".join(given.replace("−", "-").split())
    found = NUMBER.fullmatch(tidy[:LONGEST])
    if not found or found[4].strip():
        return None
    return float(f"{found[1]}{_plain_digits(found[2])}{found[3]}")


def _parts(text: str, unit: str) -> tuple[float, str]:
    """Return the number and the unit in a typed text."""
    tidy = " ".join(text.replace("−", "-").split())
    if not unit:
        tidy = tidy.lstrip(MONEY)
    if len(tidy) > LONGEST:
        raise NotReadError(_ask(unit))
    found = NUMBER.fullmatch(tidy)
    if not found:
        raise NotReadError(_ask(unit))
    sign, digits, power, rest = found.groups()
    return float(f"{sign}{_plain_digits(digits)}{power}"), _unit_meant(rest.strip(), unit)


def _plain_digits(digits: str) -> str:
    """Return digits with a decimal point and nothing else between them."""
    try:
        return plain_digits(digits)
    except TwoMeaningsError as question:
        raise NotReadError(str(question)) from None


def _unit_meant(text: str, unit: str) -> str:
    """Return the unit that a text means; none is that beside the box."""
    if not text or (not unit and text.lower().replace(" ", "_") in PLAIN_WORDS):
        return display_unit(unit) if unit else ""
    if A_SECOND_NUMBER.match(text):
        raise NotReadError(f"That is a range or a sum. {_ask(unit)}")
    known = _known(text) or _composed(text)
    if known:
        return known
    if UNIT.fullmatch(text):
        try:
            return _fitting(str(registry.Unit(text)), text, unit)
        except (UndefinedUnitError, AttributeError, ValueError):
            pass
    shown = text if len(text) <= 20 else f"{text[:19]}…"
    raise WrongUnitError(f"“{shown}” is no unit that is known here. {_ask(unit)}")


def _known(text: str) -> str:
    """Return the unit that a word of the list means, "" if it is none of them."""
    word = text.lower().replace(". ", " ").rstrip(".").replace(" ", "_")
    # The bare word is that of the reader's own country.
    if get_units() == "imperial" and (word in OWN_COUNTRY or GALLONS_OF_TIME.match(word)):
        word = f"imp_{word}"
    found = KNOWN.get(word) or KNOWN.get(word.translate(RAISED).replace("^", "").replace("**", ""))
    return "L" if found == "l" else found or ""


def _composed(text: str) -> str:
    """Return the unit of words such as "g per week" or "mg/L NH4-N", "" if one is not known."""
    parts = [AS_NITROGEN.sub("", part) for part in PER.split(text.lower())]
    units = [_known(part) for part in parts]
    return "/".join(units) if len(units) > 1 and all(units) else ""


def _fitting(source: str, text: str, unit: str) -> str:
    """Return a unit that only the registry knows; what does not fit is a slip of keys."""
    if registry.Unit(source).is_compatible_with(unit or "dimensionless"):
        return source
    raise ValueError(text)


def _converted(value: float, source: str, unit: str) -> float:
    try:
        factor, offset = line_to(source or "dimensionless", unit or "dimensionless")
    except (DimensionalityError, OffsetUnitCalculusError, NotLinearError, UndefinedUnitError):
        kind = f"in {wanted(unit)} or a unit that can be turned into it" if unit else "without one"
        raise WrongUnitError(f"{label(source)} does not fit: the answer is {kind}.") from None
    return factor * value + offset


def _one_number(given: object) -> float:
    """Return one plain number; NaN for anything else."""
    if isinstance(given, bool | np.bool_ | bytes) or getattr(given, "ndim", None):
        return math.nan
    try:
        return float(given)  # type: ignore[arg-type]
    except Exception:  # noqa: BLE001 - whatever was given, it is refused in words
        return math.nan


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise NotReadError("That is not one number that can be compared.")
    return value


def _ask(unit: str) -> str:
    beside = f", in {wanted(unit)} unless you write another unit" if unit else ""
    return f"Write one number such as 12.5 or 12,5{beside}."
