"""Denitrification as others measured it: the bounds between which a porous medium must lie.

Live rock in coral aquaria was measured once: it took ammonium, and no nitrate that could be told
from none (LiYanEtAl2017, abstract). For porous canister media we found no rate. Neighbours have
been measured: sand, mud and soil as they are, and reactors that are fed for the purpose.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

from aqualib.files import data_file, rows_of
from aqualib.sources import cite
from aqualib.units import Q, label, number
from aqualib.water.molar_masses import NITROGEN

# The unit as published -> the unit in which rates are compared here.
COMMON = {
    "umol/m**2/day": "mg/m**2/day",
    "umol/m**2/h": "mg/m**2/day",
    "g/m**2/day": "mg/m**2/day",
    "umol/L/h": "mg/L/day",
    "mg/L/day": "mg/L/day",
    "g/L/day": "mg/L/day",
    "nmol/g/day": "mg/kg/day",
}


class Measurement(NamedTuple):
    """One published rate, as nitrogen; low and high are the same where one number was printed."""

    medium: str
    food_added: str
    """What was added for the bacteria to live on, or "nothing"."""
    low: Any
    high: Any
    source: str
    note: str
    unit: str
    """One of the units of `COMMON`."""

    @property
    def text(self) -> str:
        """The range with its unit, such as '3.4 to 39 mg/m² a day'."""
        ends = number(self.low.m, 2)
        if self.high > self.low:
            ends += f" to {number(self.high.m, 2)}"
        return f"{ends} {label(self.unit)}"

    @property
    def origin(self) -> str:
        """Who measured it, in words."""
        return cite(self.source)


@lru_cache(maxsize=1)
def measured_denitrification() -> tuple[Measurement, ...]:
    """Return every row of `data/measured_denitrification.csv` in mg of nitrogen a day.

    Per m² of sea bed or carrier, per litre of bed or reactor, or per kg of grains: as measured.
    """
    return tuple(_read(row) for row in rows_of(data_file("measured_denitrification.csv")))


def _read(row: dict[str, str]) -> Measurement:
    low, high = (_as_mass(float(row[end]), row["unit"]) for end in ("low", "high"))
    words = {key: row[key] for key in ("medium", "food_added", "source", "note")}
    return Measurement(low=low, high=high, unit=COMMON[row["unit"]], **words)


def _as_mass(value: float, unit: str) -> Any:
    rate = Q(value, unit)
    if "mol" in unit:
        rate = rate * Q(NITROGEN, "g/mol")
    return rate.to(COMMON[unit])
