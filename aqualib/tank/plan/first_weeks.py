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
from aqualib.tank.plan.what_it_does import VERDICTS, Outcome
from aqualib.tank.symptoms.old_tank_trap import sea_or_fresh
from aqualib.tank.upkeep import ammonium_chloride_dose
from aqualib.units import SECONDS_PER_DAY, Q, from_si, shown
from aqualib.validity import ValidityError
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.nitrite_limits import safe_nitrite

SETS = 300
"""Sets of uncertain numbers for the ready day's band: as many as in lesson 03, for one date."""
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
    """Ammonium chloride a day, kg, that stands for the food while there are no animals."""
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
    """Return how the filter ripens with its seed, with or without the doubt of the day.

    It ripens for the food that is given, or for what it carries where that food is too much.
    """
    too_much = now.verdict == VERDICTS[-1]
    food = float(now.carried.feed.best) if too_much else whole.feed
    load = float(ammonia_production.bare(food, whole.protein))
    rise = load * SECONDS_PER_DAY / whole.volume
    dose = float(ammonium_chloride_dose.bare(whole.volume, rise))
    ready, refused = _ready(whole, now, load, doubt=doubt)
    line = ammonia_line(whole, rise, ready)
    nitrite = float(safe_nitrite.bare(whole.salinity, whole.chloride))
    return StartUp(ready, refused, dose, line, nitrite)


def ammonia_line(whole: Filled, rise: float, ready: Span | None) -> float:
    """Return the ammonia below which a filter has shown that it works.

    It is what animals bear for long. But where a day's dose makes little ammonia, a dead filter
    would stay below that for weeks: there it is half of all that was dosed by the ready day, and
    no less than what a ripe tank is expected to show.
    """
    limits = total_ammonia_limits.bare(whole.ph, whole.temperature, whole.salinity)
    line = float(limits.chronic)
    if ready is None or math.isinf(ready.best):
        return line
    shown_by_a_test = parameter("ammonia_allowed").bare
    return min(line, max(rise * ready.best / 2.0, shown_by_a_test))


def _ready(whole: Filled, now: Outcome, load: float, *, doubt: bool) -> tuple[Span | None, str]:
    if not whole.feed:
        return None, "No food is given yet. Tell what your animals will eat: it ripens for that."
    area = now.media_area + now.pad_area
    if now.flow <= 0.0:
        return None, "No water flows through the filter: the pump does not lift it so high."
    if load < LEAST_LOAD:
        return None, "It carries no food, so there is nothing that it could ripen for."
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
LEAST_LOAD = Q(1, "ug/day").m_as("kg/s")
"""Nitrogen of a crumb that nobody could weigh."""


def stocking_stop(given: float, carried: float, told: str) -> Stop:
    """Return where to stop, for a food given and one carried (also `told`) in the same unit."""
    return Stop(int(STEPS * carried / given), told)


def dated_start(
    start: date,
    found: StartUp,
    dose: str,
    stop: Stop | None = None,
    *,
    lamp: bool = True,
    seeded: bool = True,
    salinity: float = 0.0,
) -> tuple[Dated, ...]:
    """Return the first weeks by date; `dose` is the daily portion in the reader's units.

    With a `stop` the stock comes in no further than the filter carries. Where the sum finds no
    day there are no dates: nobody doses for weeks without an end.
    """
    ready = found.ready
    if ready is None or math.isinf(ready.best):
        return ()
    early = early_day(ready)
    steps = [
        (0, _begin(dose, lamp=lamp, seeded=seeded)),
        (TEST_FROM, _test(salinity)),
        (early, "From now on test daily: the first such filters are ready."),
        *_when_ready(go_day(ready), stop, lamp=lamp),
    ]
    if math.isfinite(ready.high):
        late = "Not ready yet? Then something holds it back: lesson 14, a stuck start."
        steps.append((round(ready.high), late))
    ordered = sorted(steps, key=lambda step: step[0])
    return tuple(Dated(start + timedelta(days=day), words) for day, words in ordered)


def early_day(ready: Span) -> int:
    """Return the day from which tests are daily: the first such filters are ready."""
    return max(round(ready.low), TEST_FROM + 1)


def go_day(ready: Span) -> int:
    """Return the day of GO, by the sum; before it no animal comes in, and from it on no dose."""
    return max(round(ready.best), early_day(ready) + 1)


ANIMALS_IN = (
    "Are animals in already? Then no dose: feed little, test daily, and change water by lesson 14."
)
GO_IF = (
    "GO only if ammonia and nitrite stayed below their lines on three days running, a day after "
    "the dose."
)
THEN = "Then stop dosing, change most of the water, and put in"
IF_NOT = "If not: no animals, go on dosing and testing."
"""What keeps animals safe in a start, in words that the form on paper says too."""


def pause_words() -> str:
    """Return when a day's dose is left out."""
    pause = parameter("dose_pause")
    return f"leave it out while ammonia reads above {shown(pause.value, pause.unit)}."


def _begin(dose: str, *, lamp: bool, seeded: bool = True) -> str:
    dark = ", lamp off" if lamp else ""
    first = "Seed it" if seeded else "Begin"
    return (
        f"{first}{dark}, no animals. Each day {dose} of ammonium chloride; {pause_words()} "
        f"{ANIMALS_IN}"
    )


def alkalinity_held(salinity: float) -> str:
    """Return the alkalinity below which the bacteria run short, in the reader's units."""
    return shown(from_si(sea_or_fresh("alkalinity_held", salinity), "mg/L"), "mg/L")


def _test(salinity: float) -> str:
    return (
        "Test ammonia, nitrite and alkalinity every second day. With alkalinity below "
        f"{alkalinity_held(salinity)} the bacteria run short: top it up (lesson 11)."
    )


def _when_ready(day: int, stop: Stop | None, *, lamp: bool) -> list[tuple[int, str]]:
    first = "a third of the animals"
    if stop and not stop.thirds:
        first = f"only animals that eat {stop.carried}"
    go = f"{GO_IF} {THEN} {first}. {IF_NOT}"
    more = (
        "If GO was a week ago or more: the next third, if both tests were below the lines two days "
        "after the last; never more than the filter carries."
    )
    on = [(day + WEEK, "A week after GO the lamp may burn.")] if lamp else []
    parts = max(stop.thirds, 1) if stop else STEPS
    later = [(day + WEEK * n, more) for n in range(1, parts)]
    if stop:
        end = (
            f"Stop here: {stop.carried} is what this filter carries. More animals need a filter "
            "that carries more."
        )
        later.append((day + WEEK * parts, end))
    return [(day, go), *later, *on]
