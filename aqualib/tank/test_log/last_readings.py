"""What the last readings say of tonight, and what to do, before any forecast."""

from __future__ import annotations

from enum import Enum
from typing import Any, NamedTuple

import numpy as np

from aqualib.parameters import parameter
from aqualib.tank.maturation import Scenario
from aqualib.tank.test_log.cells import PER_NITROGEN
from aqualib.tank.test_log.log import KeepersLog, Reading
from aqualib.tank.test_log.model import nitrite_line
from aqualib.tank.test_log.no_day import CELSIUS_OF_MODEL, PH_OF_MODEL
from aqualib.units import ZERO_CELSIUS, number
from aqualib.water.ammonia import EQUILIBRIUM_PH, total_ammonia_limits, unionised_fraction

PH_OF_AMMONIA = (EQUILIBRIUM_PH.low, EQUILIBRIUM_PH.high)
"""Between them the share of un-ionised ammonia is known."""
STALE = 3.0
"""Days before the last reading of all; an older one does not speak of tonight."""


class State(Enum):
    """How a reading stands against its limit."""

    WITHIN = "within"
    ABOVE = "above"
    FAR_ABOVE = "far above"
    UNKNOWN = "not known against"


class Matter(NamedTuple):
    """Ammonia or nitrite tonight, mg/L as nitrogen."""

    what: str
    reading: Reading | None
    limit: float
    state: State


class Tonight(NamedTuple):
    """The state of the water on the last day of the log, and what to do."""

    day: float
    matters: tuple[Matter, ...]
    state: str
    to_do: str

    @property
    def safe(self) -> bool:
        """True if ammonia and nitrite were both tested, and lie within their limits."""
        return all(matter.state is State.WITHIN for matter in self.matters)

    @property
    def short(self) -> str:
        """The state in a few words."""
        worst = [m for m in self.matters if m.state in (State.ABOVE, State.FAR_ABOVE)]
        if worst:
            words = " and ".join(f"{m.what} {_amount(m.reading)}" for m in worst if m.reading)
            return f"not safe for animals, {words}"
        unknown = [m.what for m in self.matters if m.state is State.UNKNOWN]
        if unknown:
            return f"not known, test {' and '.join(unknown)}"
        return "ammonia and nitrite within their limits"


def tonight(log: KeepersLog, scenario: Scenario) -> Tonight:
    """Return what the last readings say of the water, and what to do about it."""
    water = _water(log, scenario)
    matters = (
        _matter("ammonia", log, water.chronic, water.acute),
        _matter("nitrite", log, nitrite_line(scenario.in_days.salinity), np.inf),
    )
    ammonia, nitrite = (_told(matter, log) for matter in matters)
    parts = [ammonia + _unionised(matters[0], water), nitrite, water.words]
    return Tonight(log.last_day, matters, f"{'; '.join(parts)}.", _to_do(matters, water.ph))


class Water(NamedTuple):
    """What the limits hang on tonight."""

    ph: float
    words: str
    share: float
    """Of total ammonia that is un-ionised."""
    chronic: float
    acute: float


def _water(log: KeepersLog, scenario: Scenario) -> Water:
    given = scenario.in_days
    ph, celsius = _last(log, "ph"), _last(log, "temperature")
    words = []
    for found, name, unit in ((ph, "pH", ""), (celsius, "", " °C")):
        told = given.ph if name else given.temperature
        value = told if found is None else found.value
        words.append(f"{name} {number(value)}{unit}".strip() + ("" if found else " as told"))
    own_ph = given.ph if ph is None else ph.value
    at = float(np.clip(given.temperature if celsius is None else celsius.value, *CELSIUS_OF_MODEL))
    about = (at + ZERO_CELSIUS, given.salinity, given.ph_scale)
    limits: Any = total_ammonia_limits.bare(min(own_ph, PH_OF_MODEL[1]), *about)
    share = float(unionised_fraction.bare(float(np.clip(own_ph, *PH_OF_AMMONIA)), *about))
    acute, chronic = 1000.0 * float(limits.acute), 1000.0 * float(limits.chronic)
    return Water(own_ph, ", ".join(words), share, chronic, acute)


def _last(log: KeepersLog, what: str) -> Reading | None:
    found = [r for r in log.of(what) if r.day >= log.last_day - STALE]
    return found[-1] if found else None


def _matter(what: str, log: KeepersLog, limit: float, far: float) -> Matter:
    found = _last(log, what)
    if found is None or not _tells(found, limit):
        return Matter(what, found, limit, State.UNKNOWN)
    if found.sign == "<" or (found.sign == "=" and found.value <= limit):
        return Matter(what, found, limit, State.WITHIN)
    return Matter(what, found, limit, State.FAR_ABOVE if found.value > far else State.ABOVE)


def _tells(reading: Reading, limit: float) -> bool:
    """Return whether a reading tells on which side of the limit the water lies."""
    match reading.sign:
        case "<":
            return reading.value <= limit
        case ">":
            return reading.value >= limit
    return True


def _amount(reading: Reading | None) -> str:
    if reading is None:
        return ""
    word = {"<": "below ", ">": "above ", "=": ""}[reading.sign]
    return f"{word}{number(reading.value, 2)}"


def _told(matter: Matter, log: KeepersLog) -> str:
    if matter.reading is None:
        older = log.of(matter.what)
        when = f"last tested on day {older[-1].day:g}" if older else "never tested"
        return f"{matter.what} {when}"
    basis = next((c.basis for c in log.columns if c.what == matter.what), "")
    factor = PER_NITROGEN.get((matter.what, basis))
    as_written = f" ({number(matter.reading.value * factor, 2)} as you write it)" if factor else ""
    return (
        f"{matter.what} {_amount(matter.reading)} mg/L as N{as_written}, {matter.state.value} its "
        f"limit of {number(matter.limit, 2)}"
    )


def _unionised(ammonia: Matter, water: Water) -> str:
    if ammonia.reading is None:
        return ""
    found, limit = (water.share * x for x in (ammonia.reading.value, ammonia.limit))
    word = {"<": "below ", ">": "above ", "=": ""}[ammonia.reading.sign]
    return f" (un-ionised {word}{number(found, 2)}, limit {number(limit, 2)})"


def _to_do(matters: tuple[Matter, ...], ph: float) -> str:
    bad = [m for m in matters if m.state in (State.ABOVE, State.FAR_ABOVE)]
    sour = ""
    if ph < PH_OF_MODEL[0]:
        sour = " Measure alkalinity; raise pH slowly, for ammonia bites as pH rises."
    if bad:
        worst = max(m.reading.value / m.limit for m in bad if m.reading)
        now = "now" if any(m.state is State.FAR_ABOVE for m in bad) else "tonight"
        change, care = _share(1.0 - 1.0 / worst, now), "feed nothing, add air"
        if sour:
            # New water and air lift the pH, and mild ammonium becomes poison: as in lesson 14.
            change = f"{number(100.0 * parameter('trap_change').value)} % of the water at most"
            care = "feed nothing, no soda and no burst of air"
        return (
            f"If animals are in it: change {change}, as warm and as salt as theirs; {care}, test "
            f"again tomorrow; if they look ill, ask a vet. If none are in it: add none.{sour}"
        )
    unknown = [m.what for m in matters if m.state is State.UNKNOWN]
    if unknown:
        return f"Test {' and '.join(unknown)} tonight; until then add no animals.{sour}"
    return f"Nothing tonight; feed as planned, and test again in two days.{sour}"


def _share(wanted: float, now: str) -> str:
    """Return in words how much of the water to change, no more at once than is done at most."""
    most = parameter("tonight_most_changed").value
    for share, words in ((0.25, "a quarter"), (1.0 / 3.0, "a third"), (most, "half")):
        if wanted <= share:
            return f"{words} of the water {now}"
    return f"half of the water {now} and half again tomorrow"
