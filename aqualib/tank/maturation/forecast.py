"""A forecast with its doubt: the same scenario for many sets of parameters, as a 5-50-95 % band.

Sets come in chunks of a fixed size. What a chunk holds depends on its number and the seed alone,
so it does not matter where or in which order chunks are worked out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from aqualib.arguments import one_number
from aqualib.draws import HIGH, LOW, MIDDLE, Band, band, drawn, percentile
from aqualib.tank.maturation import many_sets
from aqualib.tank.maturation.course import play, water_of
from aqualib.tank.maturation.rates import NAMES, SOUR, best_values
from aqualib.tank.maturation.scenario import Scenario, must_be_scenario
from aqualib.tank.maturation.set_rates import HAIR
from aqualib.tank.maturation.verdict import judge, ready_day
from aqualib.validity import Range

CHUNK = 1000
OUTPUTS_A_DAY = 2
SETS = Range(1, 1e6, whole=True)
SEED = Range(0, 2**31 - 1, whole=True)


class Chunk(NamedTuple):
    """What one chunk of sets came to: arrays with one row a time and one column a set."""

    number: int
    ammonia: Any
    nitrite: Any
    nitrate: Any
    ready_days: Any
    """Infinite for a set that does not get ready within the scenario."""


@dataclass(frozen=True, eq=False)
class Bands:
    """Bands of ammonia, nitrite and nitrate (mg/L as nitrogen) at `time` (days)."""

    time: Any
    ammonia: Band
    nitrite: Band
    nitrate: Band
    ready_days: Any
    """One number a set; infinite if it does not get ready within the scenario."""

    @property
    def ready(self) -> Band:
        """The day by which 5, 50 and 95 per cent of the sets are ready; may be infinite."""
        return Band(*(percentile(self.ready_days, share) for share in (LOW, MIDDLE, HIGH)))

    @property
    def share_ready(self) -> float:
        """The share of the sets that get ready within the scenario."""
        return float(np.mean(np.isfinite(self.ready_days)))


def bands(scenario: Scenario, sets: int = 1000, seed: int = 0) -> Bands:
    """Return the bands of a scenario over `sets` sets of parameters drawn from their ranges.

    >>> forecast = bands(Scenario(seed=0.01), sets=100)
    >>> bool(forecast.ready.low < forecast.ready.middle < forecast.ready.high)
    True
    """
    numbers, start = chunk_sizes(sets), whole_seed(seed)
    return together(scenario, [one_chunk(scenario, n, size, start) for n, size in numbers])


def chunk_sizes(sets: int) -> list[tuple[int, int]]:
    """Return number and size of each chunk of `sets` sets."""
    count = int(one_number("sets", sets, SETS))
    whole, rest = divmod(count, CHUNK)
    return [(n, CHUNK) for n in range(whole)] + ([(whole, rest)] if rest else [])


def whole_seed(seed: int) -> int:
    """Return the whole number that starts the random numbers, or raise."""
    return int(one_number("seed", seed, SEED))


def output_times(scenario: Scenario) -> Any:
    """Return the times of the bands: every half day, and the last."""
    days = scenario.in_days.days
    count = int(np.ceil(days * OUTPUTS_A_DAY - HAIR))
    return np.minimum(np.arange(count + 1) / OUTPUTS_A_DAY, days)


def one_chunk(scenario: Scenario, number: int, size: int, seed: int) -> Chunk:
    """Return what one chunk of sets comes to."""
    must_be_scenario(scenario)
    return follow(scenario, draw(size, seed, number), number)


def follow(scenario: Scenario, values: dict[str, Any], number: int = 0) -> Chunk:
    """Return what the sets in `values` (arrays by row name) come to."""
    course = play(scenario, values, many_sets.solve, output_times(scenario))
    planned = scenario.per_litre(scenario.in_days.load)
    safety = judge(course, water_of(scenario), values, planned)
    ready = ready_day(course.time, safety)
    state = course.state
    never = np.where(np.isnan(ready), np.inf, ready)
    return Chunk(number, state.ammonia, state.nitrite, state.nitrate, never)


def together(scenario: Scenario, chunks: Sequence[Chunk]) -> Bands:
    """Return the bands over chunks, each counted once whatever the order they come in."""
    each = {chunk.number: chunk for chunk in chunks}
    ordered = [each[number] for number in sorted(each)]
    ammonia, nitrite, nitrate = (
        band(np.concatenate([getattr(chunk, name) for chunk in ordered], axis=1))
        for name in ("ammonia", "nitrite", "nitrate")
    )
    ready = np.concatenate([chunk.ready_days for chunk in ordered])
    return Bands(output_times(scenario), ammonia, nitrite, nitrate, ready)


def draw(size: int, seed: int, number: int = 0) -> dict[str, Any]:
    """Return `size` sets of the model's rows; the chunk's number goes into the seed."""
    random = np.random.default_rng([seed, number])
    return {**best_values(), **drawn((*NAMES, *SOUR), size, random)}
