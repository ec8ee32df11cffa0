"""A tank that is to mature: water, media, seed and load, and what happens on which day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields, replace
from math import floor
from typing import Any, ClassVar, TypeVar

from aqualib.arguments import one_number
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import OneOf, Range, Rule, ValidityError, YesNo
from aqualib.water.ph_scales import SCALES, refuse_weak_nbs

LONGEST = 400
DAY = Range(0, LONGEST, "day")
DURATION = Range(0, LONGEST, "day")
LOAD = Range(0, 1e6, "g/day")
SHARE = Range(0, 1)
PART = Range(0, 0.99)
"""Of water or film taken out: something always stays behind."""
ALKALINITY = Range(0, 1000, "mg/L")
TEMPERATURE = Range(4, 30, "degC", "EPA2013")
MOST_AMMONIA_A_DAY = 50.0
"""mg/L of nitrogen a day; above it the kinetics say nothing."""

E = TypeVar("E", bound="Event")


def _checked(name: str, value: object, rule: Rule) -> Any:
    """Return a value in the unit of its rule, or raise `ValidityError`."""
    if isinstance(rule, OneOf):
        if not isinstance(value, str) or value not in rule.words:
            raise ValidityError(name, repr(value), rule.text, "", "is not one of the choices")
        return value
    if isinstance(rule, YesNo):
        if not isinstance(value, bool):
            raise ValidityError(name, repr(value), rule.text, "", "is neither True nor False")
        return value
    assert isinstance(rule, Range)
    number = one_number(name, value, rule)
    if not rule.unit:
        return number
    # Not there and back by way of base units: 2 days stay exactly 2.
    given: Any = value
    return min(max(float(given.m_as(rule.unit)), rule.low), rule.high)


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happens at a time; the subclasses say what."""

    at: Any

    rules: ClassVar[dict[str, Rule]] = {"at": DAY}

    def __post_init__(self) -> None:
        for name in self.given():
            self.plain(name)

    def given(self) -> Iterator[str]:
        """Yield the names of the fields, those left out where that is allowed excepted."""
        for field_ in fields(self):
            if getattr(self, field_.name) is not None or field_.default is not None:
                yield field_.name

    def plain(self, name: str) -> Any:
        """Return a field as a plain value, in the unit of its rule."""
        return _checked(f"{type(self).__name__}.{name}", getattr(self, name), self._rule(name))

    def _rule(self, name: str) -> Rule:
        return DAY if name == "at" else self.rules[name]


@dataclass(frozen=True, slots=True)
class Dose(Event):
    """Ammonia put in, as nitrogen per litre of tank: the food of a filter without fish."""

    ammonia: Any
    rules: ClassVar[dict[str, Rule]] = {"ammonia": Range(0, 100, "mg/L")}


@dataclass(frozen=True, slots=True)
class Feeding(Event):
    """From now on this much ammonia nitrogen a day comes from food (`load.ammonia_production`)."""

    load: Any
    rules: ClassVar[dict[str, Rule]] = {"load": LOAD}


@dataclass(frozen=True, slots=True)
class Stock(Event):
    """Animals come in whose food adds this much ammonia nitrogen a day to what there was."""

    load: Any
    rules: ClassVar[dict[str, Rule]] = {"load": LOAD}


@dataclass(frozen=True, slots=True)
class WaterChange(Event):
    """A share of the water is replaced; the new water holds no nitrogen and no bacteria.

    Its alkalinity is that of the scenario's start unless given, in mg/L as CaCO3.
    """

    share: Any
    alkalinity: Any = None
    rules: ClassVar[dict[str, Rule]] = {"share": PART, "alkalinity": ALKALINITY}


@dataclass(frozen=True, slots=True)
class Cleaning(Event):
    """A share of the film on the media is washed off and thrown away."""

    share: Any
    rules: ClassVar[dict[str, Rule]] = {"share": PART}


@dataclass(frozen=True, slots=True)
class Seeding(Event):
    """Bacteria brought in later: a share of what the full media hold, on media."""

    seed: Any
    rules: ClassVar[dict[str, Rule]] = {"seed": SHARE}


@dataclass(frozen=True, slots=True)
class Ultraviolet(Event):
    """The ultraviolet lamp is switched on or off; it kills only what is suspended.

    The kill rate is that of `data/parameters.csv` unless given: flow through the lamp times the
    share killed in one pass, over the volume.
    """

    on: Any = True
    kill_rate: Any = None
    rules: ClassVar[dict[str, Rule]] = {"on": YesNo(), "kill_rate": Range(0, 1000, "1/day")}


@dataclass(frozen=True, slots=True)
class Binder(Event):
    """A conditioner makes a share of the ammonia unavailable to nitrifiers for a time.

    Contested: sellers and keepers disagree on how much is bound, and whether nitrifiers can use
    it. Total ammonia and its limit are counted as if nothing were bound.
    """

    share: Any
    duration: Any
    rules: ClassVar[dict[str, Rule]] = {"share": SHARE, "duration": DURATION}


@dataclass(frozen=True, slots=True)
class Temperature(Event):
    """From now on the water has this temperature."""

    temperature: Any
    rules: ClassVar[dict[str, Rule]] = {"temperature": TEMPERATURE}


@dataclass(frozen=True, slots=True)
class PowerCut(Event):
    """No flow and no oxygen for a time: growth stops, dying and the animals' ammonia go on."""

    duration: Any
    rules: ClassVar[dict[str, Rule]] = {"duration": DURATION}


@dataclass(frozen=True, slots=True)
class Buffer(Event):
    """Alkalinity put in, such as bicarbonate, in mg/L as CaCO3."""

    alkalinity: Any
    rules: ClassVar[dict[str, Rule]] = {"alkalinity": ALKALINITY}


def repeat(event: E, every: Any, until: Any) -> tuple[E, ...]:
    """Return copies of `event` from its own day on, `every` so many days `until` a day."""
    step = _checked("every", every, Range(0.04, LONGEST, "day"))
    last = _checked("until", until, DAY)
    first = event.plain("at")
    count = floor((last - first) / step + 1e-9) + 1
    if count < 1:
        why = "lies before the event it repeats"
        raise ValidityError("until", f"{last:g} day", f"{first:g} day or later", "", why)
    return tuple(replace(event, at=Q(first + step * n, "day")) for n in range(count))


@dataclass(frozen=True)
class Scenario:
    """What `simulate` needs to know of a tank. Amounts carry units; shares are plain fractions.

    `load` is the ammonia nitrogen a day of the stock that is planned: readiness is judged by it.
    It runs from the first day, unless `events` hold a `Feeding` or `Stock`: then they alone say
    what the tank gets. `seed` is the share of the full film that is there at the start,
    `nitrite_seed` the same for nitrite oxidisers (left out: equal), `seed_in_water` how much of it
    is not on media. `oxygen` left out is a share of saturation. With `alkalinity_kept` the keeper
    tops up alkalinity all the time; without, it falls, and the pH with it. `nitrite_form` is what
    nitrite oxidisers are taken to feed on: the nitrite ion, or nitrous acid (which makes them far
    slower at pH 8); the two agree at pH 7.5.
    """

    volume: Any = field(default_factory=lambda: Q(100.0, "L"))
    media_area: Any = field(default_factory=lambda: Q(2.0, "m**2"))
    load: Any = field(default_factory=lambda: Q(0.1, "g/day"))
    seed: Any = 1e-4
    temperature: Any = field(default_factory=lambda: Q(25.0, "degC"))
    salinity: Any = 0.0
    ph: Any = 7.5
    alkalinity: Any = field(default_factory=lambda: Q(120.0, "mg/L"))
    oxygen: Any = None
    nitrite_seed: Any = None
    seed_in_water: Any = 0.1
    ph_scale: Any = "total"
    alkalinity_kept: Any = True
    nitrite_form: Any = "ion"
    days: Any = field(default_factory=lambda: Q(60.0, "day"))
    events: Any = ()

    rules: ClassVar[dict[str, Rule]] = {
        "volume": Range(0.1, 1e6, "L"),
        "media_area": Range(1e-3, 1e6, "m**2"),
        "load": LOAD,
        "seed": Range(1e-8, 1),
        "temperature": TEMPERATURE,
        "salinity": Range(0, 40, "", "CleggWhitfield1995"),
        "ph": Range(6.5, 9, "", "EPA2013"),
        "alkalinity": Range(1, 1000, "mg/L"),
        "oxygen": Range(0, 20, "mg/L"),
        "nitrite_seed": Range(1e-8, 1),
        "seed_in_water": Range(0.001, 0.999),
        "ph_scale": OneOf(SCALES),
        "alkalinity_kept": YesNo(),
        "nitrite_form": OneOf(("ion", "acid")),
        "days": Range(1, LONGEST, "day"),
    }

    def __post_init__(self) -> None:
        plain: dict[str, Any] = {}
        for name, rule in self.rules.items():
            value = getattr(self, name)
            optional = value is None and name in {"oxygen", "nitrite_seed"}
            plain[name] = None if optional else _checked(name, value, rule)
        object.__setattr__(self, "_plain", plain)
        refuse_weak_nbs(plain["salinity"], (plain["ph_scale"],))
        if plain["nitrite_seed"] is None:
            plain["nitrite_seed"] = plain["seed"]
        self._check_load("load", plain["load"])
        self._check_events(plain["days"])

    @property
    def plain(self) -> dict[str, Any]:
        """The fields as plain values in the units of `rules`: L, m², g/day, °C, mg/L, days."""
        found: dict[str, Any] = self.__dict__["_plain"]
        return found

    def per_litre(self, load: float) -> float:
        """Return a load in g/day as mg/L/day of this tank."""
        return load * 1000.0 / float(self.plain["volume"])

    def _check_load(self, name: str, load: float) -> None:
        if self.per_litre(load) > MOST_AMMONIA_A_DAY:
            most = f"at most {MOST_AMMONIA_A_DAY:g} mg/L of nitrogen a day"
            value = f"{load:g} g/day in {self.plain['volume']:g} L"
            raise ValidityError(name, value, most, "", "is more than the kinetics can speak of")

    def _check_events(self, days: float) -> None:
        if not isinstance(self.events, tuple | list):
            valid = "a tuple of events"
            raise ValidityError("events", repr(self.events), valid, "", "is no tuple or list")
        for number, event in enumerate(self.events):
            if not isinstance(event, Event) or type(event) is Event:
                name, valid = f"events[{number}]", "Dose, Feeding, Stock, WaterChange, ..."
                raise ValidityError(name, repr(event)[:60], valid, "", "is not an event")
            at = event.plain("at")
            if at > days:
                name = f"events[{number}].at"
                valid = f"0 to {days:g} day"
                raise ValidityError(name, f"{at:g} day", valid, "", "lies after the last day")
            if isinstance(event, Feeding | Stock):
                self._check_load(f"events[{number}].load", event.plain("load"))
        object.__setattr__(self, "events", tuple(self.events))


def must_be_scenario(scenario: object) -> None:
    """Raise unless a scenario was given."""
    if not isinstance(scenario, Scenario):
        value = repr(scenario)[:60]
        raise ValidityError("scenario", value, "a Scenario", "", "is not a scenario")


def default_kill_rate() -> float:
    """Return the kill rate of a lamp for which none was given, per day."""
    return parameter("ultraviolet_kill_rate").value
