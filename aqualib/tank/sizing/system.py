"""A filter and its tank: what the sizing needs to know of them, checked once."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, ClassVar, NamedTuple

from aqualib.arguments import one_number
from aqualib.parameters import parameter
from aqualib.validity import Range, ValidityError


class Plain(NamedTuple):
    """A filter and its tank as plain numbers in SI base units; see `FilterSystem`."""

    media_mass: Any
    volume: Any
    flow: Any
    temperature: Any
    salinity: Any
    total_ammonia_nitrogen: Any
    area_per_mass: Any
    bulk_density: Any
    rock_mass: Any
    surface_exchange: Any
    dirt_held: Any
    cleaning_interval: Any
    protein_fraction: Any
    body_mass: Any
    ration: Any
    oxygen_kept: Any
    oxygen_at_outlet: Any
    anoxic_volume: Any
    carbon: Any


@dataclass(frozen=True)
class FilterSystem:
    """A filter, its tank and its fish. Amounts carry units; shares are plain fractions.

    What is left out comes from the row of `data/parameters.csv` named in `rows`; there is no rock
    in the tank and no media without oxygen unless given.
    `total_ammonia_nitrogen` is what may remain in the tank; `oxygen_kept` and `oxygen_at_outlet`
    are shares of saturation that must remain; `dirt_held` is the dry dirt that pads hold until
    they are due. `anoxic_volume` is the media claimed to be without oxygen (none unless given),
    `carbon` the food that reaches it, as chemical oxygen demand a day (plenty unless given).
    """

    media_mass: Any = None
    volume: Any = None
    flow: Any = None
    temperature: Any = None
    salinity: Any = 0.0
    total_ammonia_nitrogen: Any = None
    area_per_mass: Any = None
    bulk_density: Any = None
    rock_mass: Any = None
    surface_exchange: Any = None
    dirt_held: Any = None
    cleaning_interval: Any = None
    protein_fraction: Any = None
    body_mass: Any = None
    ration: Any = None
    oxygen_kept: Any = None
    oxygen_at_outlet: Any = None
    anoxic_volume: Any = None
    carbon: Any = None

    rules: ClassVar[dict[str, Range]] = {
        "media_mass": Range(0, 1e5, "kg"),
        "volume": Range(0.1, 1e5, "L"),
        "flow": Range(0.01, 1e6, "L/h"),
        "temperature": Range(4, 33, "degC"),
        "salinity": Range(0, 40),
        "total_ammonia_nitrogen": Range(1e-3, 100, "mg/L"),
        "area_per_mass": Range(1e-3, 100, "m**2/kg"),
        "bulk_density": Range(1, 5000, "kg/m**3"),
        "rock_mass": Range(0, 1e5, "kg"),
        "surface_exchange": Range(0, 200, "1/h"),
        "dirt_held": Range(0, 1e6, "g"),
        "cleaning_interval": Range(0.1, 3650, "day"),
        "protein_fraction": Range(0.01, 1),
        "body_mass": Range(0.05, 2000, "g"),
        "ration": Range(0.05, 15),
        "oxygen_kept": Range(0.05, 1),
        "oxygen_at_outlet": Range(0, 1),
        "anoxic_volume": Range(0, 1e5, "L"),
        "carbon": Range(0, 1e6, "g/day"),
    }
    rows: ClassVar[dict[str, str]] = {
        "media_mass": "filter_media",
        "volume": "tank_volume",
        "flow": "media_flow",
        "temperature": "tank_temperature",
        "total_ammonia_nitrogen": "ammonia_allowed",
        "area_per_mass": "media_area_per_mass",
        "bulk_density": "media_bulk_density",
        "surface_exchange": "surface_exchange",
        "dirt_held": "dirt_until_cleaning",
        "cleaning_interval": "cleaning_interval",
        "protein_fraction": "food_protein",
        "body_mass": "fish_weight",
        "ration": "feeding_ration",
        "oxygen_kept": "oxygen_kept",
        "oxygen_at_outlet": "oxygen_at_outlet",
    }

    left_out: ClassVar[dict[str, Any]] = {"rock_mass": 0.0, "anoxic_volume": 0.0, "carbon": None}

    def __post_init__(self) -> None:
        plain = Plain(**{field.name: self._plain(field.name) for field in fields(self)})
        if plain.oxygen_at_outlet > plain.oxygen_kept:
            valid = f"0 to {plain.oxygen_kept:g}, the share that remains in the tank"
            why = "is more than the tank has"
            raise ValidityError("oxygen_at_outlet", f"{plain.oxygen_at_outlet:g}", valid, "", why)
        object.__setattr__(self, "_bare", plain)

    @property
    def bare(self) -> Plain:
        """The system as plain numbers in SI base units."""
        found: Plain = self.__dict__["_bare"]
        return found

    def _plain(self, name: str) -> Any:
        given = getattr(self, name)
        if given is None:
            return parameter(self.rows[name]).bare if name in self.rows else self.left_out[name]
        return one_number(name, given, self.rules[name])
