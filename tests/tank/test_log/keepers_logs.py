"""Test logs of invented tanks that do not obey the model: other laws, other faults, known truth.

The equations are few, and not those of `tank.maturation`. Food rots, ammonia comes late. A film
takes matter in first order, up to what it can; it grows on what it takes, and dies a little.
Constants are drawn from wide ranges. A keeper then reads colour cards with steps,
forgets days, and sometimes does or writes down something wrong; `FAULTS` says what.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from typing import Any

import numpy as np

from aqualib.tank.maturation import Scenario, WaterChange
from aqualib.tank.test_log.log import KeepersLog, Reading
from aqualib.tank.test_log.model import nitrite_line
from aqualib.units import Q
from aqualib.water.ammonia import total_ammonia_limits

STEPS_A_DAY = 24
HORIZON = 130
"""Days that a tank is played through, to see whether it stays safe."""
AS_NITRATE = 4.4266
ALKALINITY_PER_NITROGEN = 7.14

SOUND = ("sound",) * 10
FAULTS = (
    "alkalinity runs out, pH written",
    "alkalinity runs out, no pH written",
    "a dead shrimp is all the food",
    "no nitrite seed",
    "nitrate as ion under a heading as N",
    "nitrate as N under a heading as ion",
    "water changed, not written",
    "never fed",
    "a cold spell",
    "a slip of the pen",
)
KINDS = (*SOUND, *FAULTS)


@dataclass(frozen=True)
class Nature:
    """What a tank is; rates a day, matter in mg/L as N, temperature as it is."""

    load: float
    rotting: float
    """Days from food to ammonia, on average."""
    growth: tuple[float, float]
    """Of either film, per day, at plenty."""
    reach: tuple[float, float]
    """First-order rate of a full film at little food, per day."""
    full: tuple[float, float]
    """The most a full film takes, mg/L a day."""
    seed: tuple[float, float]
    """Share of the full film at the start."""
    dying: float
    tap: float
    alkalinity: float
    kept: bool
    ph: float
    celsius: float
    slope: float
    """What a ripe film takes at little food, m/day: ties the surface to `reach`."""
    shrimp: float = 0.0
    """Nitrogen of something dead, mg/L, which rots from day 0."""
    spell: tuple[float, float] = (0.0, 0.0)
    """First and last day of a cold spell."""
    changes: tuple[tuple[float, float], ...] = ()
    """Days and shares of the water changes."""


@dataclass(frozen=True)
class Tank:
    """What became of it: rows by `STEPS_A_DAY`."""

    time: Any
    ammonia: Any
    nitrite: Any
    nitrate: Any
    ph: Any
    celsius: Any
    ready: float
    """The first day from which it carries the planned load, for good; infinite if never."""


@dataclass(frozen=True)
class Kept:
    """A log, what its keeper knows of the tank, and the truth."""

    kind: str
    log: KeepersLog
    told: Scenario
    nature: Nature
    tank: Tank
    slip: Reading | None = None


def drawn(random: np.random.Generator, kind: str) -> tuple[Nature, float]:
    """Return a tank of a kind, and the load a day that its keeper believes in, mg/L."""

    def among(low: float, high: float) -> float:
        return float(np.exp(random.uniform(np.log(low), np.log(high))))

    told = among(0.4, 1.6)
    load = told * among(0.75, 1.35)
    # Doubling times of 12 to 33 and of 15 to 42 hours at 25 °C (from memory of cultures).
    growth = among(0.5, 1.4), among(0.4, 1.1)
    full = load * among(2.0, 8.0), load * among(2.0, 8.0)
    ph, celsius = float(random.uniform(7.1, 8.0)), float(random.uniform(22.0, 27.0))
    # A ripe film leaves less than the safe lines at this load, or a little more.
    limit = float(_limits(ph, celsius))
    nature = Nature(
        load=load,
        rotting=among(0.3, 3.0),
        growth=growth,
        reach=(load / (among(0.05, 0.35) * limit), load / (among(0.05, 0.35) * nitrite_line(0.0))),
        full=full,
        seed=(among(3e-4, 3e-2), among(1e-4, 2e-2)),
        dying=among(0.01, 0.05),
        tap=among(0.3, 6.0),
        alkalinity=among(60.0, 200.0),
        kept=True,
        ph=ph,
        celsius=celsius,
        # Between the two slopes that are printed for ripe films.
        slope=among(0.22, 0.6),
    )
    if random.random() < 0.4:
        days = np.cumsum(random.integers(5, 9, size=8))
        share = random.choice([0.15, 0.25, 0.4])
        nature = replace(nature, changes=tuple((float(d), float(share)) for d in days))
    match kind:
        case "alkalinity runs out, pH written" | "alkalinity runs out, no pH written":
            nature = replace(nature, kept=False, alkalinity=among(25.0, 60.0), changes=())
        case "a dead shrimp is all the food":
            nature = replace(nature, load=0.0, shrimp=told * among(4.0, 10.0), rotting=among(2, 5))
        case "no nitrite seed":
            nature = replace(nature, seed=(nature.seed[0], 1e-7))
        case "never fed":
            nature = replace(nature, load=0.0, changes=())
        case "a cold spell":
            begin = float(random.uniform(4.0, 12.0))
            nature = replace(nature, spell=(begin, begin + float(random.uniform(4.0, 10.0))))
        case "water changed, not written":
            share = random.choice([0.3, 0.5])
            days = np.cumsum(random.integers(4, 8, size=12))
            nature = replace(nature, changes=tuple((float(d), float(share)) for d in days))
    return nature, told


def played(nature: Nature, planned: float) -> Tank:
    """Return what becomes of a tank, in plain steps of an hour."""
    step = 1.0 / STEPS_A_DAY
    count = HORIZON * STEPS_A_DAY
    rows = np.empty((count + 1, 6))
    food, ammonia, nitrite, nitrate = nature.shrimp, 0.0, 0.0, nature.tap
    film = list(nature.seed)
    alkalinity = nature.alkalinity
    changes = {round(day * STEPS_A_DAY): share for day, share in nature.changes}
    warmth = 1.08
    for n in range(count + 1):
        day = n * step
        if n in changes:
            left = 1.0 - changes[n]
            ammonia, nitrite = left * ammonia, left * nitrite
            nitrate = left * nitrate + (1.0 - left) * nature.tap
            alkalinity = left * alkalinity + (1.0 - left) * nature.alkalinity
        cold = nature.spell[0] <= day < nature.spell[1]
        pace = warmth ** ((nature.celsius - 7.0 if cold else nature.celsius) - 25.0)
        base = 1.0 if nature.kept else alkalinity / (alkalinity + 15.0)
        able = base * _film(nature, 0, ammonia, pace), _film(nature, 1, nitrite, pace)
        taken = min(film[0] * able[0], ammonia / step), min(film[1] * able[1], nitrite / step)
        sour = 0.0 if nature.kept else np.log10(max(alkalinity, 0.5) / nature.alkalinity)
        celsius = nature.celsius - (7.0 if cold else 0.0)
        rows[n] = ammonia, nitrite, nitrate, nature.ph + sour, celsius, film[0]
        rotted = food / nature.rotting
        food += step * (nature.load - rotted)
        ammonia += step * (rotted - taken[0])
        nitrite += step * (taken[0] - taken[1])
        nitrate += step * taken[1]
        alkalinity -= step * ALKALINITY_PER_NITROGEN * taken[0]
        for i in (0, 1):
            grown = nature.growth[i] * able[i] / nature.full[i] * (1.0 - film[i])
            film[i] += step * film[i] * (grown - nature.dying)
        films = rows[n, 5], film[1]
        rows[n, 5] = _carries(nature, planned, films, pace, base, rows[n, 3], celsius)
    time = np.arange(count + 1) * step
    safe = rows[:, 5] >= 0.0
    limit = _limits(rows[:, 3], rows[:, 4])
    safe &= (rows[:, 0] < limit) & (rows[:, 1] < nitrite_line(0.0))
    return Tank(time, *rows[:, :5].T, _first_for_good(time, safe))


def _film(nature: Nature, group: int, matter: float, pace: float) -> float:
    """Return what a full film takes a day: first order at little, and no more than it can."""
    first = nature.reach[group] * matter
    return float(pace * first / (1.0 + first / nature.full[group]))


def _carries(
    nature: Nature, planned: float, films: Any, pace: float, base: float, ph: float, celsius: float
) -> float:
    """Return by how much both films could take more than the planned load at the safe lines."""
    ammonia, nitrite = float(_limits(ph, celsius)), nitrite_line(0.0)
    able = films[0] * _film(nature, 0, ammonia, pace) * base
    return float(min(able, films[1] * _film(nature, 1, nitrite, pace))) - planned


def _limits(ph: Any, celsius: Any) -> Any:
    kelvin = np.clip(celsius, 4.0, 30.0) + 273.15
    return 1000.0 * total_ammonia_limits.bare(np.clip(ph, 6.5, 9.0), kelvin, 0.0, "total").chronic


def _first_for_good(time: Any, safe: Any) -> float:
    if not safe[-1]:
        return float("inf")
    bad = np.flatnonzero(~safe)
    return float(time[bad[-1] + 1]) if len(bad) else 0.0


CARDS = {
    "ammonia": (0.0, 0.2, 0.4, 0.8, 1.5, 3.0, 6.0, 9.0),
    "nitrite": (0.0, 0.1, 0.3, 0.6, 1.2, 2.5, 5.0),
    "nitrate": (0.0, 1.0, 2.5, 5.0, 10.0, 20.0, 40.0),
}
"""Invented steps of the colour cards, mg/L as N."""


def read_off(random: np.random.Generator, what: str, true: float) -> tuple[float, str]:
    """Return what a keeper writes of a true value: the nearest step of a card, "<" or ">"."""
    card = np.array(CARDS[what])
    seen = max(true * (1.0 + 0.12 * random.standard_normal()), 0.0)
    seen += 0.3 * card[1] * random.standard_normal()
    if seen > 1.15 * card[-1]:
        return float(card[-1]), ">"
    if seen < 0.5 * card[1]:
        return (float(card[1]), "<") if random.random() < 0.6 else (0.0, "=")
    # Some see a colour between two steps, and write the middle.
    steps = np.sort(np.concatenate([card, (card[1:] + card[:-1]) / 2.0]))[1:]
    return float(steps[np.argmin(np.abs(steps - seen))]), "="


@lru_cache(maxsize=512)
def keepers_log(number: int, kind: str | None = None) -> Kept:
    """Return log `number`; its kind goes round through `KINDS` unless it is given."""
    kind = KINDS[number % len(KINDS)] if kind is None else kind
    random = np.random.default_rng([4711, number])
    nature, planned = drawn(random, kind)
    tank = played(nature, planned)
    length = int(random.integers(9, 34))
    every = int(random.choice([1, 2, 3]))
    readings: list[Reading] = []
    with_ph = kind != "alkalinity runs out, no pH written" and random.random() < 0.8
    with_ph = with_ph or kind == "alkalinity runs out, pH written"
    for line, day in enumerate(range(1, length + 1, every), 2):
        if random.random() < 0.15:
            continue  # a forgotten day
        at = day * STEPS_A_DAY
        for what in CARDS:
            value, sign = read_off(random, what, float(getattr(tank, what)[at]))
            factor = _slip_of_basis(kind) if what == "nitrate" else 1.0
            readings.append(Reading(line, float(day), what, value * factor, sign))
        if with_ph:
            ph = float(tank.ph[at]) + 0.12 * random.standard_normal()
            readings.append(Reading(line, float(day), "ph", round(ph * 5.0) / 5.0))
        if random.random() < 0.3:
            readings.append(Reading(line, float(day), "temperature", float(tank.celsius[at])))
    slip = None
    if kind == "a slip of the pen":
        slip = _misplace(random, readings)
    log = KeepersLog(f"log {number}", date(2026, 1, 1), tuple(readings), (), (), ())
    written = kind != "water changed, not written"
    return Kept(kind, log, _told(nature, planned, written=written), nature, tank, slip)


def _slip_of_basis(kind: str) -> float:
    if kind == "nitrate as ion under a heading as N":
        return AS_NITRATE
    return 1.0 / AS_NITRATE if kind == "nitrate as N under a heading as ion" else 1.0


def _misplace(random: np.random.Generator, readings: list[Reading]) -> Reading | None:
    """Shift the decimal mark of one reading that has neighbours."""
    plain = [
        n
        for n, r in enumerate(readings)
        if r.sign == "=" and r.what in CARDS and r.value >= 0.8 and 3 < r.day < readings[-1].day - 2
    ]
    if not plain:
        return None
    at = int(random.choice(plain))
    readings[at] = replace(readings[at], value=10.0 * readings[at].value)
    return readings[at]


def _told(nature: Nature, planned: float, *, written: bool) -> Scenario:
    """Return what the keeper says of 100 L: the surface is true, the rest as the keeper thinks."""
    days = 100.0
    events = tuple(WaterChange(Q(day, "day"), share) for day, share in nature.changes if day < days)
    return Scenario(
        volume=Q(100, "L"),
        media_area=Q(max(nature.reach) * 0.1 / nature.slope, "m**2"),
        load=Q(planned * 0.1, "g/day"),
        seed=3e-3,
        ph=min(max(nature.ph, 6.5), 9.0),
        temperature=Q(nature.celsius, "degC"),
        alkalinity=Q(nature.alkalinity, "mg/L"),
        days=Q(days, "day"),
        events=events if written else (),
    )
