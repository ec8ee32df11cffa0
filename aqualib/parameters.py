"""The parameters: every number of the trade or of a model, its range and its origin."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from aqualib.files import data_file, rows_of
from aqualib.running_tank import MARK, running_tank
from aqualib.sources import cite
from aqualib.units import Q, base_unit, line_to
from aqualib.validity import Range, ValidityError, quoted

COLUMNS = ("name", "value", "low", "high", "unit", "basis", "source", "locator", "note")
BASES = (
    "published",
    "chosen in a published range",
    "assumed",
    "judgement",
    "memory",
    "common practice",
)


@dataclass(frozen=True, slots=True)
class Parameter:
    """One row of `data/parameters.csv`; numbers are in `unit` ("" for a plain number)."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    basis: str
    source: str
    locator: str
    note: str

    @property
    def quantity(self) -> Any:
        """The value with its unit, or the plain number if it has none."""
        return Q(self.value, self.unit) if self.unit else self.value

    @property
    def bare(self) -> float:
        """The value in SI base units."""
        return self.to_base(self.value)

    @property
    def range(self) -> Range:
        """The range from low to high, for a check or a slider."""
        return Range(self.low, self.high, self.unit, self.origin)

    @property
    def is_cited(self) -> bool:
        """Whether a source stands behind the number."""
        return self.source not in {"", "assumed"}

    @property
    def origin(self) -> str:
        """Where the number comes from, in words."""
        if not self.is_cited:
            return {"common practice": "common practice, no source", "memory": "from memory"}.get(
                self.basis, "assumed"
            )
        cited = cite(self.source, self.locator)
        return cited if self.basis == "published" else f"{cited} ({self.basis})"

    def to_base(self, value: float) -> float:
        """Return a number in this parameter's unit as a number in SI base units."""
        if not self.unit:
            return value
        factor, offset = line_to(self.unit, base_unit(self.unit))
        return factor * value + offset


@lru_cache(maxsize=1)
def parameters() -> dict[str, Parameter]:
    """Return every parameter in `data/parameters.csv`, by name."""
    found: dict[str, Parameter] = {}
    for row in rows_of(data_file("parameters.csv"), COLUMNS):
        if row["name"] in found:
            raise _refused(row["name"], "a second row", "one row")
        found[row["name"]] = _read(row)
    return found


def parameter(name: str) -> Parameter:
    """Return one parameter, or say which name is unknown."""
    if not isinstance(name, str):
        raise ValidityError("name", quoted(name), "a name in data/parameters.csv", "", "is none")
    try:
        return parameters()[name]
    except KeyError:
        message = f"parameter {name!r} is not in data/parameters.csv"
        raise KeyError(message) from None


def or_row(given: Any, name: str) -> Any:
    """Return `given`, or the value in SI base units of the row `name` where nothing was given."""
    return parameter(name).bare if given is None else given


def _read(row: dict[str, str]) -> Parameter:
    if row["value"] == MARK:
        row = {**row, "value": str(running_tank().fresh.get(row["name"], MARK))}
    numbers = {key: _number(row, key) for key in ("value", "low", "high")}
    words = {key: row[key] for key in ("name", "unit", "basis", "source", "locator", "note")}
    return Parameter(**numbers, **words)  # type: ignore[arg-type]


def _number(row: dict[str, str], key: str) -> float:
    try:
        return float(row[key])
    except ValueError:
        raise _refused(f"{row['name']}, {key}", repr(row[key])[:60], "a number") from None


def _refused(place: str, value: str, valid: str) -> ValidityError:
    return ValidityError(f"data/parameters.csv, {place}", value, valid, "", "is not right")
