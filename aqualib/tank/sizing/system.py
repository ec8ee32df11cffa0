"""A filter and its tank: what the sizing needs to know of them, checked once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, TypeAlias

from aqualib.arguments import short
from aqualib.filtration.biofilm.grown_film import FILM_PH, FILM_TEMPERATURES
from aqualib.records import Checked, Row
from aqualib.units import Amount, Number, Q
from aqualib.validity import Range, Turned, ValidityError

NO_ROCK, NO_ANOXIC_MEDIA = Q(0.0, "kg"), Q(0.0, "L")
Numbers: TypeAlias = Any
"""A `FilterSystem` as plain SI numbers: what its `bare` holds."""


@dataclass(frozen=True, eq=False)
class FilterSystem(Checked):
    """A filter, its tank and its fish. Amounts carry units; shares are plain fractions.

    What is left out comes from the row of `data/parameters.csv` beside its range; there is no rock
    in the tank and no media without oxygen unless given. `pad_area` is the surface of the pads, on
    which bacteria live as they do on media.
    `total_ammonia_nitrogen` is what may remain in the tank; `oxygen_kept` and `oxygen_at_outlet`
    are shares of saturation that must remain; `dirt_held` is the dry dirt that pads hold until
    they are due. `anoxic_volume` is the media claimed to be without oxygen (none unless given),
    `carbon` the food that reaches it, as chemical oxygen demand a day (plenty unless given).
    """

    media_mass: Annotated[Amount | None, Range(0, 1e5, "kg"), Row("filter_media")] = None
    volume: Annotated[Amount | None, Range(0.1, 1e5, "L"), Row("tank_volume")] = None
    flow: Annotated[Amount | None, Range(0.01, 1e6, "L/h"), Row("media_flow")] = None
    temperature: Annotated[Amount | None, FILM_TEMPERATURES, Row("tank_temperature")] = None
    salinity: Annotated[Number, Range(0, 40)] = 0.0
    ph: Annotated[Number | None, FILM_PH, Row("tank_ph")] = None
    total_ammonia_nitrogen: Annotated[
        Amount | None, Range(1e-3, 100, "mg/L"), Row("ammonia_allowed")
    ] = None
    area_per_mass: Annotated[
        Amount | None, Range(1e-3, 100, "m**2/kg"), Row("media_area_per_mass")
    ] = None
    bulk_density: Annotated[Amount | None, Range(1, 5000, "kg/m**3"), Row("media_bulk_density")] = (
        None
    )
    pad_area: Annotated[Amount | None, Range(0, 1e4, "m**2"), Row("pad_area")] = None
    rock_mass: Annotated[Amount, Range(0, 1e5, "kg")] = NO_ROCK
    surface_exchange: Annotated[Amount | None, Range(0, 200, "1/h"), Row("surface_exchange")] = None
    dirt_held: Annotated[Amount | None, Range(0, 1e6, "g"), Row("dirt_until_cleaning")] = None
    cleaning_interval: Annotated[
        Amount | None, Range(0.1, 3650, "day"), Row("cleaning_interval")
    ] = None
    protein_fraction: Annotated[Number | None, Range(0.01, 1), Row("food_protein")] = None
    body_mass: Annotated[Amount | None, Range(0.05, 2000, "g"), Row("fish_weight")] = None
    ration: Annotated[Number | None, Range(0.05, 15), Row("feeding_ration")] = None
    oxygen_kept: Annotated[Number | None, Range(0.05, 1), Row("oxygen_kept")] = None
    oxygen_at_outlet: Annotated[Number | None, Range(0, 1), Row("oxygen_at_outlet")] = None
    anoxic_volume: Annotated[Amount, Range(0, 1e5, "L")] = NO_ANOXIC_MEDIA
    carbon: Annotated[Amount | None, Range(0, 1e6, "g/day")] = None

    def check(self) -> None:
        """Refuse more oxygen at the outlet than the tank has."""
        if self.bare.oxygen_at_outlet > self.bare.oxygen_kept:
            valid = f"0 to {self.bare.oxygen_kept:g}, the share that remains in the tank"
            share, why = f"{self.bare.oxygen_at_outlet:g}", "is more than the tank has"
            raise ValidityError("oxygen_at_outlet", share, valid, "", why)


def system_numbers(name: str, system: object) -> Numbers:
    """Return the plain SI numbers of a system, or raise unless it is one."""
    if not isinstance(system, FilterSystem):
        raise ValidityError(name, short(system), SYSTEM.text, "", "is not a filter system")
    return system.bare


SYSTEM = Turned(system_numbers, "FilterSystem(media_mass=..., ...)")
