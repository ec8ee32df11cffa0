"""Salt as it is typed: practical salinity, or the specific gravity that a hydrometer shows."""

from __future__ import annotations

import re

from aqualib.lesson.asking.typed import NotReadError, bare_number, read
from aqualib.parameters import parameter
from aqualib.units import Q, number
from aqualib.validity import ValidityError
from aqualib.water.properties import salinity_from_specific_gravity

GRAVITY = re.compile(
    r"(?:sg|s\.g\.|specific gravity)[ :=]*(.+)|(.+?)[ ]*(?:sg|s\.g\.)", re.IGNORECASE
)
SALINITY = re.compile(
    r"(.+?) *(?:psu|pss|ppt|‰|g ?/ ?kg|g ?/ ?l|parts per thousand)", re.IGNORECASE
)
"""Salt in parts of a thousand is practical salinity, nearly: 35 g/kg are 34.8."""
LIKE_GRAVITY = (1.0, 1.04)
"""A salinity that is as rare as it is common for a specific gravity."""


def read_salinity(given: object) -> float:
    """Return the practical salinity that was typed, or raise and ask in words.

    A hydrometer's reading is taken at the usual warmth of a tank, and against fresh water as warm.
    """
    text = str(given).strip()
    if by_gravity := GRAVITY.fullmatch(text):
        return _of_gravity(by_gravity[1] or by_gravity[2])
    if in_parts := SALINITY.fullmatch(text):
        return read(in_parts[1], "")
    value = bare_number(given)
    low, high = LIKE_GRAVITY
    if value is not None and low < value <= high:
        sg = f"{value:g}"
        raise NotReadError(
            f"Is {sg} a specific gravity? Then write “sg {sg}”. If it is a salinity, write "
            f"“{sg} psu”."
        )
    return read(given, "")


def _of_gravity(digits: str) -> float:
    value = bare_number(digits.strip())
    if value is None:
        raise NotReadError("Write a specific gravity such as sg 1.025.")
    try:
        warmth = Q(parameter("tank_temperature").bare, "K")
        found = salinity_from_specific_gravity(value, warmth)
    except ValidityError as refused:
        raise NotReadError(
            f"No sea water has a specific gravity of {number(value, 4)}."
        ) from refused
    return round(float(found), 1)
