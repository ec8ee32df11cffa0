"""The first weeks of a system: when it is safe, what to dose, and what to do on which date."""

from __future__ import annotations

import math
from datetime import date, timedelta
from typing import NamedTuple

from aqualib.draws import Span
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.maturation import Scenario, bands, simulate
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.what_it_does import Outcome
from aqualib.tank.upkeep import ammonium_chloride_dose
from aqualib.units import SECONDS_PER_DAY
from aqualib.validity import ValidityError
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.nitrite_limits import safe_nitrite

SETS = 200
"""Sets of uncertain numbers for the band of the ready day."""
TEST_FROM = 3
STEPS = 3
"""Parts in which the stock comes in, a week apart."""
WEEK = 7


class StartUp(NamedTuple):
    """How the filter ripens, in SI units; days count from the start."""

    ready: Span | None
    """Day from which it is safe; None where the model cannot speak of so heavy a load."""
    refused: str
    """Why not, in words, or ""."""
    dose: float
    """Ammonium chloride a day, kg, that stands for the food of a filter without animals."""
    ammonia_line: float
    nitrite_line: float
    """Below both, three days running, it is safe."""


class Stop(NamedTuple):
    """Where the stocking ends, for a filter that does not carry all the animals."""

    thirds: int
    """Whole thirds of them that it carries, 0, 1 or 2."""
    carried: str
    """The food that it carries, in the reader's units."""


class Dated(NamedTuple):
    """Something to do, and on which date."""

    day: date
    words: str


def start_up(whole: Filled, now: Outcome, *, doubt: bool) -> StartUp:
    """Return how the filter ripens with its seed, with or without the doubt of the day."""
    load = float(ammonia_production.bare(whole.feed, whole.protein))
    limits = total_ammonia_limits.bare(whole.ph, whole.temperature, whole.salinity)
    nitrite = float(safe_nitrite.bare(whole.salinity, whole.chloride))
    dose = float(ammonium_chloride_dose.bare(whole.volume, load * SECONDS_PER_DAY / whole.volume))
    ready, refused = _ready(whole, now, load, doubt=doubt)
    return StartUp(ready, refused, dose, float(limits.chronic), nitrite)


def _ready(whole: Filled, now: Outcome, load: float, *, doubt: bool) -> tuple[Span | None, str]:
    area = now.media_area + now.pad_area
    if now.flow <= 0.0:
        return None, "No water flows through the filter: the pump does not lift it so high."
    try:
        scenario = Scenario.from_bare(
            volume=whole.volume,
            media_area=max(area, LEAST_AREA),
            load=load,
            seed=whole.seed,
            temperature=whole.temperature,
            salinity=whole.salinity,
            ph=whole.ph,
            alkalinity=whole.alkalinity,
            days=parameter("weeks_ahead").bare,
        )
    except ValidityError as refusal:
        return None, str(refusal)
    if doubt:
        return Span(*bands(scenario, SETS).ready), ""
    day = float(simulate(scenario).ready_day)
    return Span(day, day if not math.isnan(day) else math.inf, day), ""


LEAST_AREA = 1e-3
"""m²: glass and stones, where a filter holds nothing else."""


def stocking_stop(given: float, carried: float, told: str) -> Stop:
    """Return where to stop, for a food given and one carried (also `told`) in the same unit."""
    return Stop(int(STEPS * carried / given), told)


def dated_start(
    start: date, found: StartUp, dose: str, stop: Stop | None = None, *, lamp: bool = True
) -> tuple[Dated, ...]:
    """Return the first weeks by date; `dose` is the daily portion in the reader's units.

    With a `stop` the stock comes in no further than the filter carries.
    """
    dark = ", lamp off" if lamp else ""
    steps = [
        (0, f"Seed it{dark}, no animals. Each day {dose} of ammonium chloride."),
        (TEST_FROM, "Test ammonia and nitrite every second day, and write them down."),
    ]
    ready = found.ready
    if ready is not None and math.isfinite(ready.low):
        early = max(round(ready.low), TEST_FROM + 1)
        steps.append((early, "From now on test daily: the first such filters are ready."))
        if math.isfinite(ready.best):
            steps += _when_ready(max(round(ready.best), early + 1), stop, lamp=lamp)
    if ready is not None and math.isfinite(ready.high):
        late = "Not ready yet? Then something holds it back: lesson 14, a stuck start."
        steps.append((round(ready.high), late))
    ordered = sorted(steps, key=lambda step: step[0])
    return tuple(Dated(start + timedelta(days=day), words) for day, words in ordered)


def _when_ready(day: int, stop: Stop | None, *, lamp: bool) -> list[tuple[int, str]]:
    first = "a third of the animals"
    if stop and not stop.thirds:
        first = f"only animals that eat {stop.carried}"
    go = (
        "GO only if ammonia and nitrite stayed below their lines on three days running, a day "
        f"after the dose. Then stop dosing, change most of the water, and put in {first}. "
        "If not: no animals, go on dosing and testing."
    )
    more = (
        "The next third, if both tests were below the lines two days after the last; never more "
        "than the filter carries."
    )
    on = [(day + WEEK, "The lamp may burn from now on.")] if lamp else []
    parts = max(stop.thirds, 1) if stop else STEPS
    later = [(day + WEEK * n, more) for n in range(1, parts)]
    if stop:
        end = (
            f"Stop here: {stop.carried} is what this filter carries. More animals need a filter "
            "that carries more."
        )
        later.append((day + WEEK * parts, end))
    return [(day, go), *later, *on]
