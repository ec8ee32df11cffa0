"""A scenario played through, stretch by stretch, for one set of parameters or for many at once.

Only the two substrates and the four populations are integrated. Nitrate, alkalinity and the use of
oxygen follow from them without error, because atoms are conserved: what came in and is neither
ammonia nor cells was oxidised. Units as in `growth`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple, TypeAlias

import numpy as np

from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.rates import Growth, TankWater, full_film, growth
from aqualib.tank.maturation.stretches import Conditions, Stretch, timeline
from aqualib.water.nitrogen import ALKALINITY_PER_MOLE, ammonia_step_oxygen, nitrite_step_oxygen

OUTPUTS_A_DAY = 4
ACID_PER_NITROGEN = 2.0 * ALKALINITY_PER_MOLE
OXYGEN_A = ammonia_step_oxygen.bare(1.0)
OXYGEN_N = nitrite_step_oxygen.bare(1.0)


class StretchProblem(NamedTuple):
    """What a solver needs for one stretch: coefficients, load, and how alkalinity is had.

    Alkalinity = `alkalinity` + `per_day` t + `per_ammonia` S_A + `per_cells` (all cells), with t
    from the start of the stretch.
    """

    growth: Growth
    load: float
    alkalinity: Any
    per_day: Any
    per_ammonia: Any
    per_cells: Any


Solver: TypeAlias = Callable[[StretchProblem, Any, Any], Any]
"""From a problem, the start (six rows) and times to the six rows at those times.

Rows: ammonia, nitrite, ammonia oxidisers in film and in water, nitrite oxidisers likewise.
"""


@dataclass(slots=True)
class State:
    """The tank at one time; floats, or arrays with one entry a set."""

    ammonia: Any
    nitrite: Any
    nitrate: Any
    alkalinity: Any
    film_a: Any
    water_a: Any
    film_n: Any
    water_n: Any
    nitrogen_in: Any = 0.0
    nitrogen_out: Any = 0.0
    oxygen_use: Any = 0.0
    alkalinity_use: Any = 0.0

    def rows(self) -> list[Any]:
        """Return the six that are integrated."""
        return [
            self.ammonia,
            self.nitrite,
            self.film_a,
            self.water_a,
            self.film_n,
            self.water_n,
        ]


FIELDS = tuple(State.__dataclass_fields__)


class Course(NamedTuple):
    """The tank at each time of `time`, and the coefficients that held then."""

    time: Any
    state: State
    growth: tuple[Growth, ...]
    stretch_of: Any
    """For each time, the index of its stretch in `growth`."""
    stretches: tuple[Stretch, ...]


def water_of(scenario: s.Scenario) -> TankWater:
    """Return what stays the same throughout a scenario."""
    given = scenario.in_days
    return TankWater(
        salinity=given.salinity,
        ph=given.ph,
        ph_scale=given.ph_scale,
        alkalinity=given.alkalinity,
        oxygen=given.oxygen,
        area_per_litre=given.media_area / given.volume,
        kept=given.alkalinity_kept,
        nitrite_form=given.nitrite_form,
    )


def output_times(days: float) -> Any:
    """Return the times of the results, in days: every quarter of a day, and the last."""
    count = int(np.ceil(days * OUTPUTS_A_DAY - 1e-9))
    return np.minimum(np.arange(count + 1) / OUTPUTS_A_DAY, days)


def play(
    scenario: s.Scenario, values: Mapping[str, Any], solver: Solver, times: Any | None = None
) -> Course:
    """Play a scenario with parameter `values` through; results at `times`, or every 6 hours."""
    water = water_of(scenario)
    grid = output_times(scenario.in_days.days) if times is None else times
    state = _first_state(scenario, values, water)
    stretches = timeline(scenario)
    found = np.empty((len(FIELDS), len(grid), *np.shape(state.film_a)))
    stretch_of = np.empty(len(grid), dtype=int)
    held: list[Growth] = []
    known: dict[Conditions, Growth] = {}
    for number, stretch in enumerate(stretches):
        for event in stretch.events:
            _apply(event, state, values, water)
        now = stretch.conditions
        coefficients = known.get(now) or known.setdefault(now, growth(values, water, now))
        held.append(coefficients)
        last = number == len(stretches) - 1
        low = int(np.searchsorted(grid, stretch.start))
        high = len(grid) if last else int(np.searchsorted(grid, stretch.end))
        stretch_of[low:high] = number
        if last:
            for row, name in enumerate(FIELDS):
                found[row, low:high] = getattr(state, name)
            break
        points = _points(grid[low:high], stretch)
        problem = _problem(coefficients, stretch, state, water.kept)
        rows = solver(problem, state.rows(), points)
        whole = _closed(problem, state, rows, points - stretch.start, water.kept)
        first = 1 if low == high or grid[low] > stretch.start else 0
        found[:, low:high] = whole[:, first : first + high - low]
        state = State(*(row[-1] for row in whole))
    return Course(grid, State(*found), tuple(held), stretch_of, stretches)


def _points(inside: Any, stretch: Stretch) -> Any:
    """Return the output times of a stretch with its start and end."""
    lead = [] if len(inside) and inside[0] == stretch.start else [stretch.start]
    return np.concatenate([lead, inside, [stretch.end]])


def _first_state(scenario: s.Scenario, values: Mapping[str, Any], water: TankWater) -> State:
    seed_a, seed_n = scenario.seeds
    full_a, full_n = full_film(values, water)
    strength = values["seed_strength"]
    # A seed can never be more than the media hold.
    cells_a = np.minimum(seed_a * strength, 1.0) * full_a
    cells_n = np.minimum(seed_n * strength, 1.0) * full_n
    zero = 0.0 * cells_a
    share = scenario.in_days.seed_in_water
    return State(
        ammonia=zero,
        nitrite=zero,
        nitrate=zero,
        alkalinity=water.alkalinity + zero,
        film_a=(1.0 - share) * cells_a,
        water_a=share * cells_a,
        film_n=(1.0 - share) * cells_n,
        water_n=share * cells_n,
        nitrogen_in=values["nitrogen_in_nitrifiers"] * (cells_a + cells_n),
    )


def _problem(g: Growth, stretch: Stretch, state: State, kept: bool) -> StretchProblem:
    load = stretch.conditions.load
    if kept:
        return StretchProblem(g, load, state.alkalinity, 0.0, 0.0, 0.0)
    per_cells = ALKALINITY_PER_MOLE * g.cells_nitrogen
    cells = state.film_a + state.water_a + state.film_n + state.water_n
    start = state.alkalinity - ACID_PER_NITROGEN * state.ammonia - per_cells * cells
    return StretchProblem(g, load, start, -ACID_PER_NITROGEN * load, ACID_PER_NITROGEN, per_cells)


def _closed(problem: StretchProblem, start: State, rows: Any, since: Any, kept: bool) -> Any:
    """Return all rows of the state at the times, from the six that were integrated."""
    g = problem.growth
    since = since.reshape((-1,) + (1,) * (np.ndim(rows[0]) - 1))
    ammonia, nitrite, film_a, water_a, film_n, water_n = rows
    grown = film_a + water_a + film_n + water_n
    grown = grown - (start.film_a + start.water_a + start.film_n + start.water_n)
    came = problem.load * since + 0.0 * ammonia
    oxidised = came + start.ammonia - ammonia - g.cells_nitrogen * grown
    to_nitrate = oxidised + start.nitrite - nitrite
    used = ACID_PER_NITROGEN * oxidised + ALKALINITY_PER_MOLE * g.cells_nitrogen * grown
    oxygen = (OXYGEN_A - 1.0 / g.per_yield_a) * oxidised
    oxygen = oxygen + (OXYGEN_N - 1.0 / g.per_yield_n) * to_nitrate
    return np.array(
        [
            ammonia,
            nitrite,
            start.nitrate + to_nitrate,
            start.alkalinity - (0.0 if kept else 1.0) * used,
            film_a,
            water_a,
            film_n,
            water_n,
            start.nitrogen_in + came,
            start.nitrogen_out + 0.0 * came,
            start.oxygen_use + oxygen,
            start.alkalinity_use + used,
        ]
    )


def _apply(event: s.Event, state: State, values: Mapping[str, Any], water: TankWater) -> None:
    """Change the state as an event does at once; what lasts is in the timeline."""
    nitrogen = values["nitrogen_in_nitrifiers"]
    match event:
        case s.Dose():
            dose = event.in_days.ammonia
            state.ammonia = state.ammonia + dose
            state.nitrogen_in = state.nitrogen_in + dose
        case s.WaterChange():
            _change_water(state, event, nitrogen, water)
        case s.Cleaning():
            share = event.in_days.share
            lost = share * nitrogen * (state.film_a + state.film_n)
            state.nitrogen_out = state.nitrogen_out + lost
            state.film_a = (1.0 - share) * state.film_a
            state.film_n = (1.0 - share) * state.film_n
        case s.Seeding():
            _seed(state, event.in_days.seed * values["seed_strength"], nitrogen, values, water)
        case s.Buffer():
            state.alkalinity = state.alkalinity + event.in_days.alkalinity


def _change_water(state: State, event: s.WaterChange, nitrogen: Any, water: TankWater) -> None:
    share, fresh = event.in_days.share, event.in_days.alkalinity
    fresh = water.alkalinity if fresh is None else fresh
    out = state.ammonia + state.nitrite + state.nitrate
    out = out + nitrogen * (state.water_a + state.water_n)
    state.nitrogen_out = state.nitrogen_out + share * out
    state.alkalinity = (1.0 - share) * state.alkalinity + share * fresh
    for name in ("ammonia", "nitrite", "nitrate", "water_a", "water_n"):
        setattr(state, name, (1.0 - share) * getattr(state, name))


def _seed(
    state: State, share: Any, nitrogen: Any, values: Mapping[str, Any], water: TankWater
) -> None:
    """Add cells to the film, up to what the media hold."""
    full_a, full_n = full_film(values, water)
    before = state.film_a + state.film_n
    state.film_a = np.maximum(np.minimum(state.film_a + share * full_a, full_a), state.film_a)
    state.film_n = np.maximum(np.minimum(state.film_n + share * full_n, full_n), state.film_n)
    brought = nitrogen * (state.film_a + state.film_n - before)
    state.nitrogen_in = state.nitrogen_in + brought
