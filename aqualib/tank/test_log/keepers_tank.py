"""What a keeper says of the tank that a log is of, and what is taken from the invented tank."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from aqualib.filtration.media import media_bed
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.maturation import Scenario
from aqualib.tank.maturation.scenario import LONGEST, Event
from aqualib.tank.test_log.log import KeepersLog
from aqualib.units import Amount, Number, Q, registry, show
from aqualib.validity import ValidityError

INVENTED = "the invented tank of the lesson"


@dataclass(frozen=True, eq=False)
class OwnTank:
    """A tank as its keeper tells it."""

    scenario: Scenario
    told: tuple[str, ...]
    """What the keeper said, in words; nothing if the tank is the invented one."""
    taken: tuple[str, ...]
    """What was left out, and is that of the invented tank, in words."""

    @property
    def whose(self) -> str:
        """Whose tank it is, in a few words."""
        return "your tank" if self.told else INVENTED

    def __str__(self) -> str:
        if not self.told:
            return f"Tank: {INVENTED} ({', '.join(self.taken)}), until you tell your own."
        words = f"Tank: yours ({', '.join(self.told)})."
        if self.taken:
            words += f" Not told, so taken from the invented one: {', '.join(self.taken)}."
        return words

    __repr__ = __str__

    def long_enough_for(self, log: KeepersLog) -> Scenario:
        """Return the scenario, made to reach some weeks beyond the log."""
        ahead = log.last_day + parameter("log_days_ahead").value
        days = min(max(float(self.scenario.in_days.days), ahead), LONGEST)
        return replace(self.scenario, days=Q(days, "day"))


def own_tank(
    volume: Amount | None = None,
    food: Amount | None = None,
    protein: Number | None = None,
    ammonia: Amount | None = None,
    media: Amount | None = None,
    kind: str | None = None,
    media_area: Amount | None = None,
    temperature: Amount | None = None,
    salinity: Number | None = None,
    ph: Number | None = None,
    alkalinity: Amount | None = None,
    alkalinity_kept: bool | None = None,
    seed: Number | None = None,
    events: tuple[Event, ...] | None = None,
) -> OwnTank:
    """Return the tank that a log is of. What is left out is that of the invented tank.

    `volume` is the water that is really there. Give `food` a day (with its share of `protein`, 0
    to 1), or `ammonia` nitrogen a day if the filter is fed with it. Give `media` by weight with
    their `kind` (a name of `media_kinds()`), or their `media_area`. `salinity` 0 is fresh water,
    35 the sea. `alkalinity_kept` False says that nobody tops alkalinity up. `seed` is the share of
    a ripe film that was moved in: 0.001 a pinch of old media, 0.1 a tenth of a ripe filter.
    `events` are what happened, such as `WaterChange(Q(7, "day"), 0.3)`.
    """
    told: dict[str, Any] = {
        "volume": volume,
        "load": _load(food, protein, ammonia),
        "media_area": _area(media, kind, media_area),
        "seed": seed,
        "temperature": temperature,
        "salinity": salinity,
        "ph": ph,
        "alkalinity": alkalinity,
        "alkalinity_kept": alkalinity_kept,
        "events": events,
    }
    told = {name: value for name, value in told.items() if value is not None}
    own = {name: parameter(row).quantity for name, row in ROWS.items()}
    scenario = Scenario(**{**own, **told})
    taken = tuple(_in_words(name, own[name]) for name in ROWS if name not in told)
    said = tuple(_in_words(name, getattr(scenario, name)) for name in told)
    return OwnTank(scenario, said, taken)


ROWS = {
    "volume": "log_volume",
    "load": "log_load",
    "media_area": "log_media_area",
    "seed": "log_seed",
}
"""What every forecast needs, and the rows of the invented tank."""
WORDS = {
    "volume": "{} of water",
    "load": "{} of ammonia nitrogen",
    "media_area": "{} of media surface",
    "seed": "a seed of {} of a ripe film",
    "temperature": "{}",
    "salinity": "salinity {}",
    "ph": "pH {}",
    "alkalinity": "alkalinity {} as CaCO3",
}


def _in_words(name: str, value: Any) -> str:
    if name == "alkalinity_kept":
        return "alkalinity kept up" if value else "alkalinity not topped up"
    if name == "events":
        return "1 event" if len(value) == 1 else f"{len(value)} events"
    shown = show(value) if isinstance(value, registry.Quantity) else f"{value:g}"
    return WORDS[name].format(shown)


def _load(food: Any, protein: Any, ammonia: Any) -> Any:
    """Return the ammonia nitrogen a day, from the food or as it was given."""
    if food is not None and ammonia is not None:
        raise _two("food", food, "food or ammonia")
    if food is None:
        if protein is not None:
            raise ValidityError("protein", protein, "food as well", "", "is the share of no food")
        return ammonia
    share = parameter("food_protein").bare if protein is None else protein
    return ammonia_production(food, share)


def _area(media: Any, kind: Any, media_area: Any) -> Any:
    """Return the surface for bacteria, of the media's outside or as it was given."""
    if media is not None and media_area is not None:
        raise _two("media", media, "media or media_area")
    if media is None and kind is None:
        return media_area
    if media is None or kind is None:
        raise _two("media, kind", f"{media}, {kind}", "both of them")
    return media_bed(kind, media).outer_area.best


def _two(name: str, value: Any, valid: str) -> ValidityError:
    return ValidityError(name, value, valid, "", "do not go together")
