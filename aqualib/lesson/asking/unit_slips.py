"""A number that would be right in another unit than the one beside the box: which unit was meant?

It is asked for every exercise and in every unit set, so the file of exercises need not name it.
"""

from __future__ import annotations

from collections.abc import Callable

from aqualib.lesson.asking.typed import wanted
from aqualib.units import display_unit, label, line_to

RIVALS = (
    ("L", "gal", "imperial_gallon", "mL", "inch**3"),
    ("mL", "fluid_ounce", "imperial_fluid_ounce", "L"),
    ("g", "kg", "mg", "oz", "lb"),
    ("L/h", "gal/h", "imperial_gallon/h", "L/minute"),
    ("m", "cm", "mm", "ft", "inch"),
    ("um", "mm", "cm"),
    ("mm/s", "cm/s", "inch/s", "mm/hour"),
    ("m**2/L", "ft**2/gal", "ft**2/imperial_gallon", "cm**2/L"),
    ("mg/L", "g/L", "ug/L"),
    ("g/day", "mg/day", "oz/day", "g/week"),
    ("L/day", "mL/hour", "gal/day", "imperial_gallon/day"),
    ("s", "minute", "hour", "day", "week"),
    ("kWh", "watt_hour"),
    ("mJ/cm**2", "J/m**2"),
    ("percent", "dimensionless"),
)
"""Units that are taken for each other."""
NAMES = {
    "L": "litres",
    "gal": "US gallons",
    "imperial_gallon": "imperial gallons",
    "mL": "millilitres, or cubic centimetres",
    "inch**3": "cubic inches",
    "fluid_ounce": "US fluid ounces",
    "imperial_fluid_ounce": "imperial fluid ounces",
    "g": "grams",
    "kg": "kilograms",
    "mg": "milligrams",
    "oz": "ounces",
    "lb": "pounds",
    "L/minute": "litres a minute",
    "g/day": "grams a day",
    "mg/day": "milligrams a day",
    "oz/day": "ounces a day",
    "g/week": "grams a week",
    "mL/hour": "millilitres an hour",
    "gal/day": "US gallons a day",
    "imperial_gallon/day": "imperial gallons a day",
    "mm/hour": "mm an hour",
    "s": "seconds",
    "minute": "minutes",
    "hour": "hours",
    "week": "weeks",
    "watt_hour": "watt-hours",
    "dimensionless": "parts of one, not of a hundred",
}
SHORT = {"h": "hour"}
WRITE = "Write the unit behind your number."


def unit_meant(number: float, unit: str, is_right: Callable[[float], bool]) -> str:
    """Say in which unit a bare number would be right, "" if in none.

    `unit` is the exercise's; `is_right` judges a value in it.
    """
    unit = SHORT.get(unit, unit)
    beside = display_unit(unit)
    for rival in next((family for family in RIVALS if unit in family), ()):
        if rival == beside:
            continue
        factor, offset = line_to(rival, unit)
        if is_right(factor * number + offset):
            named = NAMES.get(rival, label(rival))
            return f"That is the number in {named}; the box is in {wanted(unit)}. {WRITE}"
    return ""
