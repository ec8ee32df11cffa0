"""The parts of a system as a keeper knows them: everything may be left open."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Annotated, Any, Self

from aqualib.filtration.media import media_kinds
from aqualib.records import Checked, Row
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range, ValidityError
from aqualib.water.ammonia import TANK_PH, TANK_WARMTH

SETTLING, CARBON, NOTHING = "settling space", "carbon", "nothing"
PADS = ("coarse pad", "medium pad", "fine pad")
"""Pads of foam that are rinsed, and on which bacteria live."""
FLOSS = "polishing floss"
"""Wadding: it catches as a fine pad does, but is thrown away when it is full."""
CATCHERS = (*PADS, FLOSS)
RESIN, PHOSPHATE, ZEOLITE = "ion-exchange resin", "phosphate remover", "zeolite"
CHEMICALS = (CARBON, RESIN, PHOSPHATE, ZEOLITE)
"""What works until it is full: it takes room from media, and no bacteria are counted on it."""
MEDIA = tuple(kind for kind in media_kinds() if kind != "open-cell foam")
"""Kinds of media in `data/media.csv` that a tray may hold; foam is a pad."""
HOLDS = (SETTLING, *CATCHERS, *MEDIA, *CHEMICALS, NOTHING)
"""What a tray may hold: a stage, a kind of media, or nothing."""
SEEDS = ("none", "squeeze", "handful", "third")
"""How much of a ripe filter is brought along: the rows `seed_...`, or none."""
SHAPES = ("round", "box")
LENGTHS, HEIGHTS = Range(1, 2000, "cm"), Range(1, 2000, "mm")
FLOWS = Range(1, 1e6, "L/h")
WARMTH = Range(4, TANK_WARMTH.high, TANK_WARMTH.unit)
AIR = Range(0, 200, "1/h")
PERCENT = Range(0, 100, "percent")


class Part(Checked):
    """A record of a system that remembers which of its fields were left open."""

    def __post_init__(self) -> None:
        left = {f.name for f in fields(self) if getattr(self, f.name) is None}  # type: ignore[arg-type]
        object.__setattr__(self, "_left_open", frozenset(left))
        super().__post_init__()

    @property
    def left_open(self) -> frozenset[str]:
        """The fields that nobody gave."""
        found: frozenset[str] = self.__dict__["_left_open"]
        return found

    def gives(self, name: str) -> bool:
        """Return whether a field was given."""
        return name not in self.left_open

    def given(self) -> dict[str, Any]:
        """Return the fields that were given, as they were given."""
        names = (f.name for f in fields(self))  # type: ignore[arg-type]
        return {name: getattr(self, name) for name in names if self.gives(name)}

    def changed(self, **changes: Any) -> Self:
        """Return a copy with other fields; None leaves a field open."""
        return type(self)(**{**self.given(), **changes})

    @property
    def compared(self) -> Any:
        """Return the numbers, and which of them nobody gave."""
        return self.bare, self.left_open

    def __reduce__(self) -> tuple[Any, ...]:
        """Pickle by what was given, so that what was left open stays open."""
        return _made_again, (type(self), self.given())

    def called(self, name: str) -> str:
        """Name the part too in a refusal, as the file of a system does."""
        return f"{type(self).__name__.lower()}.{name}"


def _made_again(kind: type[Part], given: dict[str, Any]) -> Part:
    return kind(**given)


@dataclass(frozen=True, eq=False)
class Tank(Part):
    """The tank: its inside, what lies in it, and its air. `water` wins over the three sides."""

    length: Annotated[Amount | None, LENGTHS, Row("tank_length")] = None
    width: Annotated[Amount | None, LENGTHS, Row("tank_width")] = None
    water_depth: Annotated[Amount | None, LENGTHS, Row("water_depth")] = None
    water: Annotated[Amount | None, Range(1, 1e5, "L"), Row("tank_volume")] = None
    gravel_depth: Annotated[Amount | None, Range(0, 100, "cm"), Row("gravel_depth")] = None
    rock: Annotated[Amount | None, Range(0, 1e4, "kg"), Row("rock_mass")] = None
    air: Annotated[Amount | None, AIR, Row("surface_exchange")] = None


@dataclass(frozen=True, eq=False)
class Water(Part):
    """The water: salt as practical salinity, nitrate as nitrate, the rest as the tests say it."""

    salinity: Annotated[Number | None, Range(0, 40), Row("tank_salinity")] = None
    temperature: Annotated[Amount | None, WARMTH, Row("tank_temperature")] = None
    ph: Annotated[Number | None, TANK_PH, Row("tank_ph")] = None
    alkalinity: Annotated[Amount | None, Range(1, 1000, "mg/L"), Row("start_up_alkalinity")] = None
    chloride: Annotated[Amount | None, Range(0, 30000, "mg/L"), Row("tap_chloride")] = None
    tap_nitrate: Annotated[Amount | None, Range(0, 100, "mg/L"), Row("fill_nitrate")] = None


@dataclass(frozen=True, eq=False)
class Stock(Part):
    """The animals, their food and their dry dirt. `food` wins over what the fish would eat."""

    fish: Annotated[Amount | None, Range(0, 1e7, "g"), Row("fish_stock")] = None
    one_fish: Annotated[Amount | None, Range(0.05, 2000, "g"), Row("fish_weight")] = None
    food: Annotated[Amount | None, Range(0, 1e5, "g/day"), Row("tank_feed")] = None
    protein: Annotated[Amount | None, Range(1, 100, "percent"), Row("food_protein")] = None
    solids: Annotated[Amount | None, Range(0, 1e5, "g/day"), Row("solids_made")] = None


@dataclass(frozen=True, eq=False)
class Tray(Part):
    """One place in the filter: what it holds, how high it is, and how much media lie in it.

    Media left open fill the tray. A tray of media that is not full keeps its height.
    """

    holds: Annotated[str, OneOf(HOLDS)]
    height: Annotated[Amount, HEIGHTS]
    media: Annotated[Amount | None, Range(0, 1e4, "kg")] = None

    def check(self) -> None:
        """Refuse a mass of what is no media."""
        if self.media is not None and self.holds not in MEDIA:
            valid = f"left out with {self.holds}"
            raise ValidityError(self.called("media"), f"{self.media:g}", valid, "", "is no media")


@dataclass(frozen=True, eq=False)
class Filter(Part):
    """One filter: its floor inside, and its trays in the order of the water."""

    trays: tuple[Tray, ...]
    shape: Annotated[str, OneOf(SHAPES)] = "round"
    width: Annotated[Amount | None, LENGTHS, Row("filter_width")] = None
    length: Annotated[Amount | None, LENGTHS, Row("filter_width")] = None

    def check(self) -> None:
        """Refuse a filter without trays, one full of too many, and a round one with a length."""
        if not 1 <= len(self.trays) <= MOST_TRAYS:
            why = "are no filter that can be drawn"
            valid = f"1 to {MOST_TRAYS} trays"
            raise ValidityError("filter.trays", len(self.trays), valid, "", why)
        if self.shape == "round" and self.gives("length"):
            why = "does not go with a round filter"
            raise ValidityError("filter.length", f"{self.length:g}", "left out", "", why)


MOST_TRAYS = 12


@dataclass(frozen=True, eq=False)
class Pump(Part):
    """The pump, from its box and from a bucket; the price is of one kWh."""

    rated_flow: Annotated[Amount | None, FLOWS, Row("pump_rated_flow")] = None
    rated_head: Annotated[Amount | None, Range(0.1, 50, "m"), Row("pump_rated_head")] = None
    power: Annotated[Amount | None, Range(0.1, 1e5, "W"), Row("pump_power")] = None
    measured_flow: Annotated[Amount | None, FLOWS] = None
    price: Annotated[Number | None, Range(0, 1e4), Row("electricity_price")] = None


@dataclass(frozen=True, eq=False)
class Hose(Part):
    """The hoses, both together, and how far above the tank's surface the water comes out."""

    bore: Annotated[Amount | None, Range(4, 1000, "mm"), Row("hose_bore")] = None
    length: Annotated[Amount | None, Range(0.1, 1000, "m"), Row("hose_length")] = None
    elbows: Annotated[Number | None, Range(0, 100, whole=True), Row("hose_elbows")] = None
    lift: Annotated[Amount | None, Range(0, 20, "m"), Row("outlet_lift")] = None


@dataclass(frozen=True, eq=False)
class Lamp(Part):
    """An ultraviolet lamp in the loop."""

    power: Annotated[Amount | None, Range(0.1, 1e4, "W"), Row("lamp_power")] = None
    hours_burnt: Annotated[Amount | None, Range(0, 1e5, "h"), Row("lamp_hours")] = None
    hours_a_day: Annotated[Amount | None, Range(1, 24, "h"), Row("lamp_hours_a_day")] = None


@dataclass(frozen=True, eq=False)
class Carbon(Part):
    """Activated carbon in the filter."""

    mass: Annotated[Amount | None, Range(1, 1e5, "g"), Row("carbon_mass")] = None


@dataclass(frozen=True, eq=False)
class Care(Part):
    """What the keeper does, and with how much of a ripe filter it all begins."""

    change: Annotated[Amount | None, Range(0, 90, "percent"), Row("change_share")] = None
    change_every: Annotated[Amount | None, Range(1, 365, "day"), Row("change_interval")] = None
    clean_every: Annotated[Amount | None, Range(1, 3650, "day"), Row("cleaning_interval")] = None
    seed: Annotated[str | None, OneOf(SEEDS)] = None


@dataclass(frozen=True, eq=False)
class Readings(Part):
    """The last test, as nitrogen; nitrate as nitrate, as its test says it."""

    ammonia: Annotated[Amount | None, Range(0, 100, "mg/L"), Row("total_ammonia_reading")] = None
    nitrite: Annotated[Amount | None, Range(0, 100, "mg/L"), Row("nitrite_reading")] = None
    nitrate: Annotated[Amount | None, Range(0, 1000, "mg/L"), Row("nitrate_now")] = None
