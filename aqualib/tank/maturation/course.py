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
from aqualib.tank.maturation.rates import OXYGEN_A, OXYGEN_N, Growth, TankWater, growth
from aqualib.tank.maturation.stretches import Conditions, Stretch, timeline
from aqualib.water.nitrogen import ALKALINITY_PER_MOLE

OUTPUTS_A_DAY = 4
ACID_PER_NITROGEN = 2.0 * ALKALINITY_PER_MOLE


class Food(NamedTuple):
    """Ammonia from food in one stretch: `load` + `extra` e^(-`rotting` t) mg/L a day."""

    load: Any
    extra: Any
    rotting: Any

    def rate(self, since: Any) -> Any:
        """Return how much comes a day, so many days into the stretch."""
        return self.load + self.extra * np.exp(-self.rotting * since)

    def came(self, since: Any) -> Any:
        """Return how much has come."""
        return self.load * since - self.extra * np.expm1(-self.rotting * since) / self.rotting


class StretchProblem(NamedTuple):
    """What a solver needs for one stretch: coefficients, food, and how alkalinity is had.

    Alkalinity = `alkalinity` + `per_nitrogen` (S_A - ammonia come) + `per_cells` (all cells).
    """

    growth: Growth
    food: Food
    alkalinity: Any
    per_nitrogen: Any
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
    rotting: Any
    """Nitrogen of food that is not yet ammonia."""
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
        exchange=given.surface_exchange,
        breathing=scenario.per_litre(given.breathing),
        area_per_litre=given.media_area / given.volume,
        kept=given.alkalinity_kept,
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
    stretches = timeline(scenario)
    state = _first_state(scenario, values, water, stretches[0].conditions)
    found = np.empty((len(FIELDS), len(grid), *np.shape(state.film_a)))
    stretch_of = np.empty(len(grid), dtype=int)
    held: list[Growth] = []
    known: dict[Conditions, Growth] = {}
    for number, stretch in enumerate(stretches):
        now = stretch.conditions
        coefficients = known.get(now) or known.setdefault(now, growth(values, water, now))
        for event in stretch.events:
            _apply(event, state, values, water, coefficients)
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


def _first_state(
    scenario: s.Scenario, values: Mapping[str, Any], water: TankWater, now: Conditions
) -> State:
    seed_a, seed_n = scenario.seeds
    full = growth(values, water, now)
    strength = values["seed_strength"]
    # A seed can never be more than the media hold.
    cells_a = np.minimum(seed_a * strength, 1.0) * full.full_a
    cells_n = np.minimum(seed_n * strength, 1.0) * full.full_n
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
        rotting=zero,
        nitrogen_in=values["nitrogen_in_nitrifiers"] * (cells_a + cells_n),
    )


def _problem(g: Growth, stretch: Stretch, state: State, kept: bool) -> StretchProblem:
    load = stretch.conditions.load
    food = Food(load, g.rotting * state.rotting - load, g.rotting)
    if kept:
        return StretchProblem(g, food, state.alkalinity, 0.0, 0.0)
    per_cells = ALKALINITY_PER_MOLE * g.cells_nitrogen
    cells = state.film_a + state.water_a + state.film_n + state.water_n
    start = state.alkalinity - ACID_PER_NITROGEN * state.ammonia - per_cells * cells
    return StretchProblem(g, food, start, ACID_PER_NITROGEN, per_cells)


def _closed(problem: StretchProblem, start: State, rows: Any, since: Any, kept: bool) -> Any:
    """Return all rows of the state at the times, from the six that were integrated."""
    g = problem.growth
    since = since.reshape((-1,) + (1,) * (np.ndim(rows[0]) - 1))
    ammonia, nitrite, film_a, water_a, film_n, water_n = rows
    grown = film_a + water_a + film_n + water_n
    grown = grown - (start.film_a + start.water_a + start.film_n + start.water_n)
    came = problem.food.came(since) + 0.0 * ammonia
    fed = problem.food.load * since + 0.0 * ammonia
    oxidised = came + start.ammonia - ammonia - g.cells_nitrogen * grown
    ammonia, nitrite, to_nitrate = _nothing_below_nothing(
        ammonia, nitrite, oxidised + start.nitrite - nitrite, start.nitrate
    )
    used = ACID_PER_NITROGEN * oxidised + ALKALINITY_PER_MOLE * g.cells_nitrogen * grown
    # What is built into cells is not burnt; what dies is, by others.
    oxygen = OXYGEN_A * oxidised + OXYGEN_N * to_nitrate - grown
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
            start.rotting + fed - came,
            start.nitrogen_in + fed,
            start.nitrogen_out + 0.0 * fed,
            start.oxygen_use + oxygen,
            start.alkalinity_use + used,
        ]
    )


def _nothing_below_nothing(
    ammonia: Any, nitrite: Any, to_nitrate: Any, nitrate: Any
) -> tuple[Any, Any, Any]:
    """Return the three with what a solver leaves below nothing taken from the one before."""
    short = np.minimum(nitrate + to_nitrate, 0.0)
    over = np.minimum(nitrite + short, 0.0)
    return np.maximum(ammonia + over, 0.0), nitrite + short - over, to_nitrate - short


def _apply(
    event: s.Event, state: State, values: Mapping[str, Any], water: TankWater, g: Growth
) -> None:
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
            _seed(state, event.in_days.seed * values["seed_strength"], g)
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


def _seed(state: State, share: Any, g: Growth) -> None:
    """Add cells to the film, up to what the media hold."""
    before = state.film_a + state.film_n
    more_a, more_n = state.film_a + share * g.full_a, state.film_n + share * g.full_n
    state.film_a = np.maximum(np.minimum(more_a, g.full_a), state.film_a)
    state.film_n = np.maximum(np.minimum(more_n, g.full_n), state.film_n)
    brought = g.cells_nitrogen * (state.film_a + state.film_n - before)
    state.nitrogen_in = state.nitrogen_in + brought
