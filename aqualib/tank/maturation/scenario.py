"""A tank that is to mature: water, media, seed and load, and what happens on which day."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import floor
from typing import Annotated, Any, TypeVar

from aqualib.arguments import number_in_unit
from aqualib.records import Checked, Row
from aqualib.units import Amount, Number, Q
from aqualib.validity import Kind, OneOf, Range, ValidityError, YesNo, quoted
from aqualib.water.ammonia import TANK_PH, TANK_WARMTH
from aqualib.water.ph_scales import SCALES, refuse_weak_nbs

LONGEST = 400
DAY = Range(0, LONGEST, "day")
DURATION = Range(0, LONGEST, "day")
LOAD = Range(0, 1e6, "g/day")
SHARE = Range(0, 1)
PART = Range(0, 0.99)
"""Of water or film taken out: something always stays behind."""
SEED = Range(1e-8, 1)
ALKALINITY = Range(0, 1000, "mg/L")
TEMPERATURE = Range(4, TANK_WARMTH.high, TANK_WARMTH.unit)
MOST_AMMONIA_A_DAY = 50.0
"""mg/L of nitrogen a day; above it the kinetics say nothing."""

NO_BREATHING = Q(0.0, "g/day")

E = TypeVar("E", bound="Event")


class InDays(Checked):
    """A record that the model over time reads in its own units."""

    @property
    def in_days(self) -> Any:
        """The fields as plain numbers in the model's units: L, m², g/day, °C, mg/L and days."""
        return self.own


@dataclass(frozen=True, eq=False)
class Event(InDays):
    """Something that happens at a time; the subclasses say what."""

    at: Annotated[Amount, DAY]

    def called(self, name: str) -> str:
        """Name the kind of event too."""
        return f"{type(self).__name__}.{name}"


@dataclass(frozen=True, eq=False)
class Dose(Event):
    """Ammonia put in, as nitrogen per litre of tank: the food of a filter without fish."""

    ammonia: Annotated[Amount, Range(0, 100, "mg/L")]


@dataclass(frozen=True, eq=False)
class Feeding(Event):
    """From now on this much ammonia nitrogen a day comes from food (`load.ammonia_production`)."""

    load: Annotated[Amount, LOAD]


@dataclass(frozen=True, eq=False)
class Stock(Event):
    """Animals come in whose food adds this much ammonia nitrogen a day to what there was."""

    load: Annotated[Amount, LOAD]


@dataclass(frozen=True, eq=False)
class WaterChange(Event):
    """A share of the water is replaced; the new water holds no nitrogen and no bacteria.

    Its alkalinity is that of the scenario's start unless given, in mg/L as CaCO3.
    """

    share: Annotated[Number, PART]
    alkalinity: Annotated[Amount | None, ALKALINITY] = None


@dataclass(frozen=True, eq=False)
class Cleaning(Event):
    """A share of the film on the media is washed off and thrown away."""

    share: Annotated[Number, PART]


@dataclass(frozen=True, eq=False)
class Seeding(Event):
    """Bacteria brought in later: a share of what the full media hold, on media."""

    seed: Annotated[Number, SHARE]


@dataclass(frozen=True, eq=False)
class Ultraviolet(Event):
    """The ultraviolet lamp is switched on or off; it kills only what is suspended.

    The kill rate is that of `data/parameters.csv` unless given: flow through the lamp times the
    share killed in one pass, over the volume.
    """

    on: Annotated[bool, YesNo()] = True
    kill_rate: Annotated[Amount | None, Range(0, 1000, "1/day"), Row("ultraviolet_kill_rate")] = (
        None
    )


@dataclass(frozen=True, eq=False)
class Binder(Event):
    """A conditioner makes a share of the ammonia unavailable to nitrifiers for a time.

    Contested: sellers and keepers disagree on how much is bound, and whether nitrifiers can use
    it. Total ammonia and its limit are counted as if nothing were bound.
    """

    share: Annotated[Number, SHARE]
    duration: Annotated[Amount, DURATION]


@dataclass(frozen=True, eq=False)
class Temperature(Event):
    """From now on the water has this temperature."""

    temperature: Annotated[Amount, TEMPERATURE]


@dataclass(frozen=True, eq=False)
class PowerCut(Event):
    """No flow and no oxygen for a time: growth stops, dying and the animals' ammonia go on."""

    duration: Annotated[Amount, DURATION]


@dataclass(frozen=True, eq=False)
class Buffer(Event):
    """Alkalinity put in, such as bicarbonate, in mg/L as CaCO3."""

    alkalinity: Annotated[Amount, ALKALINITY]


EVENTS = (
    Dose,
    Feeding,
    Stock,
    WaterChange,
    Cleaning,
    Seeding,
    Ultraviolet,
    Binder,
    Temperature,
    PowerCut,
    Buffer,
)


def repeat(event: E, every: Any, until: Any) -> tuple[E, ...]:
    """Return copies of `event` from its own day on, `every` so many days `until` a day."""
    step = float(number_in_unit("every", every, Range(0.04, LONGEST, "day")))
    last = float(number_in_unit("until", until, DAY))
    first = event.in_days.at
    count = floor((last - first) / step + 1e-9) + 1
    if count < 1:
        why = "lies before the event it repeats"
        raise ValidityError("until", f"{last:g} day", f"{first:g} day or later", "", why)
    return tuple(replace(event, at=Q(first + step * n, "day")) for n in range(count))


@dataclass(frozen=True, eq=False)
class Scenario(InDays):
    """What `simulate` needs to know of a tank. Amounts carry units; shares are plain fractions.

    What is left out comes from the rows `start_up_...` of `data/parameters.csv`.
    `load` is the ammonia nitrogen a day of the stock that is planned: readiness is judged by it.
    It runs from the first day, unless `events` hold a `Feeding` or `Stock`: then they alone say
    what the tank gets. `seed` is the share of the full film that is there at the start,
    `nitrite_seed` the same for nitrite oxidisers (left out: equal), `seed_in_water` how much of it
    is not on media. `oxygen` left out is a share of saturation; with `surface_exchange`, the rate
    at which the air closes the gap to saturation, it follows from what nitrifiers and `breathing`
    (animals and other bacteria, g a day) use. With `alkalinity_kept` the keeper tops up alkalinity
    all the time; without, it falls, and the pH with it.
    """

    volume: Annotated[Amount | None, Range(0.1, 1e6, "L"), Row("start_up_volume")] = None
    media_area: Annotated[Amount | None, Range(1e-3, 1e6, "m**2"), Row("start_up_media_area")] = (
        None
    )
    load: Annotated[Amount | None, LOAD, Row("start_up_load")] = None
    seed: Annotated[Number | None, SEED, Row("start_up_seed")] = None
    temperature: Annotated[Amount | None, TEMPERATURE, Row("tank_temperature")] = None
    salinity: Annotated[Number, Range(0, 40, "", "CleggWhitfield1995")] = 0.0
    ph: Annotated[Number | None, TANK_PH, Row("tank_ph")] = None
    alkalinity: Annotated[Amount | None, Range(1, 1000, "mg/L"), Row("start_up_alkalinity")] = None
    oxygen: Annotated[Amount | None, Range(0, 20, "mg/L")] = None
    surface_exchange: Annotated[Amount | None, Range(0.01, 5000, "1/day")] = None
    breathing: Annotated[Amount, Range(0, 1e6, "g/day")] = NO_BREATHING
    nitrite_seed: Annotated[Number | None, SEED] = None
    seed_in_water: Annotated[Number | None, Range(0.001, 0.999), Row("start_up_seed_in_water")] = (
        None
    )
    ph_scale: Annotated[str, OneOf(SCALES)] = "total"
    alkalinity_kept: Annotated[bool, YesNo()] = True
    days: Annotated[Amount | None, Range(1, LONGEST, "day"), Row("start_up_days")] = None
    events: Annotated[tuple[Event, ...], Kind(EVENTS, many=True)] = ()

    def per_litre(self, load: float) -> float:
        """Return a load in g/day as mg/L/day of this tank."""
        return load * 1000.0 / float(self.in_days.volume)

    @property
    def seeds(self) -> tuple[float, float]:
        """The seeds of ammonia and of nitrite oxidisers."""
        seed, other = self.in_days.seed, self.in_days.nitrite_seed
        return seed, seed if other is None else other

    def check(self) -> None:
        """Refuse what the kinetics cannot speak of, and events after the last day."""
        refuse_weak_nbs(self.in_days.salinity, (self.in_days.ph_scale,))
        self._check_oxygen()
        self._check_load("load", self.in_days.load)
        for number, event in enumerate(self.events):
            if event.in_days.at > self.in_days.days:
                name, at = f"events[{number}].at", f"{event.in_days.at:g} day"
                valid = f"0 to {self.in_days.days:g} day"
                raise ValidityError(name, at, valid, "", "lies after the last day")
            if isinstance(event, Feeding | Stock):
                self._check_load(f"events[{number}].load", event.in_days.load)

    def _check_oxygen(self) -> None:
        given = self.in_days
        if given.surface_exchange is None and given.breathing > 0.0:
            shown, valid = f"{given.breathing:g} g/day", "given together with surface_exchange"
            raise ValidityError("breathing", shown, valid, "", "has no air to draw on")
        if given.surface_exchange is not None and given.oxygen is not None:
            valid = "oxygen, or surface_exchange"
            raise ValidityError("oxygen", f"{given.oxygen:g} mg/L", valid, "", "is given twice")

    def _check_load(self, name: str, load: float) -> None:
        if self.per_litre(load) > MOST_AMMONIA_A_DAY:
            most = f"at most {MOST_AMMONIA_A_DAY:g} mg/L of nitrogen a day"
            value = f"{load:g} g/day in {self.in_days.volume:g} L"
            raise ValidityError(name, value, most, "", "is more than the kinetics can speak of")


def must_be_scenario(scenario: object) -> None:
    """Raise unless a scenario was given."""
    if not isinstance(scenario, Scenario):
        value = quoted(scenario)
        raise ValidityError("scenario", value, "a Scenario", "", "is not a scenario")
