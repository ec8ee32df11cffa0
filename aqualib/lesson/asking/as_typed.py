"""What keepers write in one box and mean otherwise: parts of an inch, meq/L, a share, a unit."""

from __future__ import annotations

import re
from collections.abc import Callable

from aqualib.lesson.asking.salt import read_salinity
from aqualib.lesson.asking.typed import NotReadError, bare_number, read
from aqualib.units import Q, display_unit, label, number
from aqualib.water.alkalinity import milliequivalents_as_alkalinity

PARTS_OF_ONE = re.compile(r"(?:(\d{1,3})[ -])?(\d{1,3})/(\d{1,3})((?: ?[^\d\s/].*)?)", re.ASCII)
MILLIEQUIVALENTS = re.compile(r"(.+?) *(?:meq|mval) ?(?:/|per) ?(?:l|litre|liter)", re.IGNORECASE)
DEGREES = re.compile(r"(.*\d) *°? ?d?kh", re.IGNORECASE)
HARDNESS = re.compile(r"\d *°? ?(?:d|dh|gh|dgh)$", re.IGNORECASE)
AS_CARBONATE = re.compile(r" *(?:as )?caco[3₃]$", re.IGNORECASE)
LOW_ALKALINITY = 25.0
"""mg/L; tests of keepers mostly count in degrees, of which so many are usual."""
WIDE_IN_INCHES = 4
"""A hose with as many inches is a college's drain, but as many millimetres are usual."""


def read_field(field: str, given: object, unit: str) -> float:
    """Return what was typed in a field of the form, in its unit, or raise and ask in words."""
    own = OWN.get(field)
    if own:
        return own(given)
    if unit == "percent":
        _ask_for_share(_whole(given))
    return read(_whole(given), unit)


def _whole(given: object) -> object:
    """Return text with a common fraction, such as 1 1/2 in, as text with a decimal one."""
    found = PARTS_OF_ONE.fullmatch(given.strip()) if isinstance(given, str) else None
    if not found or not int(found[3]):
        return given
    return f"{int(found[1] or 0) + int(found[2]) / int(found[3]):.6g}{found[4]}"


def _ask_for_share(given: object) -> None:
    """Ask whether 0.3 without a unit is a share of one."""
    value = bare_number(given)
    if value is not None and 0 < value < 1:
        raise NotReadError(
            f"Is {value:.3g} a share of one? Then write “{100 * value:.3g} %”. If it is less than "
            f"one in a hundred, write “{value:.3g} %”."
        )


def _bore(given: object) -> float:
    """Return the width of a hose in mm; so many inches without a unit are asked about."""
    value, shown_in = bare_number(given), label(display_unit("mm"))
    if value is not None and value >= WIDE_IN_INCHES and shown_in != "mm":
        bare = number(value, 4)
        raise NotReadError(f"Write the unit, please: “{bare} mm” or “{bare} {shown_in}”?")
    return read(_whole(given), "mm")


def _alkalinity(given: object) -> float:
    """Return alkalinity in mg/L as calcium carbonate; one meq/L is 50 of them.

    mmol/L stays refused: of acid it is one meq/L, of the carbonate two.
    """
    text = given.strip() if isinstance(given, str) else ""
    bare = bare_number(given)
    if bare is not None and 0 < bare < LOW_ALKALINITY:
        raise NotReadError(f"Is that mg/L, or degrees? Write “{bare:g} mg/L” or “{bare:g} dKH”.")
    if found := DEGREES.fullmatch(text):
        return read(f"{found[1]} dKH", "mg/L")
    if HARDNESS.search(text):
        raise NotReadError("Is that carbonate hardness? Then write “KH” behind it.")
    found = MILLIEQUIVALENTS.fullmatch(text)
    if not found:
        return read(AS_CARBONATE.sub("", text) if text else given, "mg/L")
    told = Q(read(found[1], ""), "mmol/L")
    return float(milliequivalents_as_alkalinity(told).m_as("mg/L"))


OWN: dict[str, Callable[[object], float]] = {
    "water.salinity": read_salinity,
    "water.alkalinity": _alkalinity,
    "hose.bore": _bore,
}
