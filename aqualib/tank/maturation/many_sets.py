"""Many sets of parameters at once: a stiff solver in which every set keeps its own step.

All sets move together through one pass of array operations, but each has its own time and its own
step, so a set at rest is not slowed by one at its steepest. The method is RODAS3 (order 3 with an
estimate of order 2; coefficients from memory, its order is held by a test), with an analytic
Jacobian in blocks: for each group the two populations are eliminated by hand, and two equations
in ammonia and nitrite are left. Steps end on the output times, so nothing is interpolated.

In arrays, row 0 is ammonia and its oxidisers, row 1 nitrite and its oxidisers; one column a set.
The rates are those of `rates.limits`, written out for speed; a test holds them equal. The film is
integrated as a logarithm. The Jacobian leaves out the nitrogen in cells, and how
alkalinity falls with time; both are small, and the error estimate watches over them.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from aqualib.tank.maturation.course import StretchProblem
from aqualib.validity import ValidityError

TOLERANCE = 5e-4
SMALL = 0.05
"""mg/L; errors in ammonia and nitrite are seen relative to what is there and this."""
FIRST_STEP = 0.05
MOST_STEPS = 100_000
CAUTION, SHORTER, LONGER = 0.85, 0.2, 4.0
"""Factors on the step: towards the error allowed, and no further than these at once."""
GAMMA = 0.5
HAIR = 1e-9


class Pairs(NamedTuple):
    """Coefficients of the two groups: row 0 the ammonia oxidisers, row 1 the nitrite oxidisers."""

    growth: Any
    half: Any
    on_itself: Any
    on_other: Any
    per_full: Any
    decay: Any
    dies: Any


class Singles(NamedTuple):
    """Coefficients that both groups share, one number a set."""

    attach: Any
    detach: Any
    needs: Any
    makes: Any
    takes: Any
    nitrogen: Any
    alkalinity: Any
    per_cells: Any
    half_alkalinity: Any


class Rates(NamedTuple):
    """The rates of change per day, then what the Jacobian needs besides."""

    matter: Any
    log_film: Any
    water: Any
    film: Any
    present: Any
    food: Any
    crowd: Any
    slowed: Any
    slope: Any
    pace: Any
    filled: Any
    room: Any
    cells: Any
    settling: Any
    coming: Any
    leaving: Any


class Sets:
    """The coefficients of the sets that are still on their way."""

    def __init__(self, problem: StretchProblem, count: int) -> None:
        g = problem.growth
        self.load = problem.load
        decay = _pair(g.decay_a, g.decay_n, count)
        self.pairs = Pairs(
            growth=_pair(g.growth_a, g.growth_n, count),
            half=_pair(g.half_a, g.half_n, count),
            on_itself=_pair(g.ammonia_on_a, g.acid_on_n, count),
            on_other=_pair(g.acid_on_a, g.ammonia_on_n, count),
            per_full=1.0 / _pair(g.full_a, g.full_n, count),
            decay=decay,
            dies=decay + g.loss,
        )
        ones = np.ones(count)
        self.singles = Singles(
            attach=g.attach * ones,
            detach=g.detach * ones,
            needs=(g.per_yield_a + g.cells_nitrogen) * ones,
            makes=g.per_yield_a * ones,
            takes=g.per_yield_n * ones,
            nitrogen=g.cells_nitrogen * ones,
            alkalinity=problem.alkalinity * ones,
            per_cells=problem.per_cells * ones,
            half_alkalinity=g.half_alkalinity * ones,
        )
        self.available, self.ion_share = g.available, g.ion_share
        self.ammonia_shape, self.acid_shape = g.ammonia_shape, g.acid_shape
        self.per_day, self.per_ammonia = problem.per_day, problem.per_ammonia
        self.falling = problem.per_ammonia > 0.0
        self._follow(self.singles.alkalinity)

    def keep(self, chosen: Any) -> None:
        """Go on with the chosen sets only."""
        self.pairs = Pairs(*(value[:, chosen] for value in self.pairs))
        self.singles = Singles(*(value[chosen] for value in self.singles))
        self._follow(self.singles.alkalinity)

    def _follow(self, alkalinity: Any) -> None:
        """Work out the shares that feed and slow at an alkalinity."""
        self.left = alkalinity
        free = self.available * alkalinity / (alkalinity + self.ammonia_shape)
        acid = 1.0 / (1.0 + self.acid_shape * alkalinity)
        base = alkalinity / (self.singles.half_alkalinity + alkalinity)
        self.food_share = np.array([free, self.ion_share + 0.0 * acid if self.ion_share else acid])
        self.fastest = self.pairs.growth * base * self.food_share
        self.square = self.pairs.on_itself * np.array([free, acid]) * self.food_share
        self.other = self.pairs.on_other * np.array([acid, free])

    def rates(self, point: Any, since: Any) -> Rates:
        """Return the rates of change at a point, so many days into the stretch."""
        pair, one = self.pairs, self.singles
        matter, log_film, water = point
        film = np.exp(log_film)
        cells = film + water
        present = np.maximum(matter, 0.0)
        if self.falling:
            left = one.alkalinity + self.per_day * since + self.per_ammonia * matter[0]
            self._follow(np.maximum(left + one.per_cells * (cells[0] + cells[1]), HAIR))
        food = self.food_share * present
        crowd = present * present
        crowd *= self.square
        crowd += food
        crowd += pair.half
        slowed = present[::-1] * self.other
        slowed += 1.0
        slope = self.fastest / (crowd * slowed)
        pace = slope * present
        filled = film * pair.per_full
        filled *= filled
        room = 1.0 - filled
        grown = slope * matter
        grown *= cells
        died = pair.decay * film
        died += pair.dies * water
        # Cells that find no room are eaten.
        died += filled * grown
        change = np.empty_like(matter)
        change[0] = one.nitrogen * (died[0] + died[1] - grown[1]) - one.needs * grown[0]
        change[0] += self.load
        change[1] = one.makes * grown[0] - one.takes * grown[1]
        settling = one.attach * water
        settling /= film
        coming = pace + settling
        film_change = room * coming
        film_change -= pair.decay + one.detach
        leaving = one.attach - pace
        leaving *= room
        leaving += pair.dies
        water_change = one.detach * film
        water_change -= leaving * water
        return Rates(
            change,
            film_change,
            water_change,
            film,
            present,
            food,
            crowd,
            slowed,
            slope,
            pace,
            filled,
            room,
            cells,
            settling,
            coming,
            leaving,
        )


def _pair(a: Any, n: Any, count: int) -> Any:
    return np.array([np.broadcast_to(a, (count,)), np.broadcast_to(n, (count,))], dtype=float)


class Stages:
    """The linear equations of one step: (1 / (gamma h) - Jacobian) k = right-hand side."""

    def __init__(self, sets: Sets, now: Rates, per_step: Any) -> None:
        one, film, pace, room = sets.singles, now.film, now.pace, now.room
        diagonal = per_step / GAMMA
        by_own = now.food + 2.0 * (now.present * now.present * sets.square)
        by_own /= now.crowd
        elastic = 1.0 - by_own
        self.own = now.slope * elastic
        self.other = pace * sets.other
        self.other /= -now.slowed
        if sets.falling:
            self._add_alkalinity(sets, pace, elastic)
        # Film and water of each group, as what they are without and with a change of pace.
        film_film = diagonal + 2.0 * now.filled * now.coming + room * now.settling
        film_water = room * one.attach / film
        water_film = one.attach - pace
        water_film *= 2.0 * now.filled * (now.cells - film)
        water_film += one.detach * film
        water_water = diagonal + now.leaving
        per_determinant = 1.0 / (film_film * water_water - film_water * water_film)
        self.ff, self.fw = water_water * per_determinant, film_water * per_determinant
        self.wf, self.ww = water_film * per_determinant, film_film * per_determinant
        to_water = room * (now.cells - film)
        self.film_by_pace = self.ff * room + self.fw * to_water
        self.water_by_pace = self.wf * room + self.ww * to_water
        self.pace, self.pace_film = pace, pace * film
        grown = now.cells + self.pace_film * self.film_by_pace + pace * self.water_by_pace
        self.needs, self.makes, self.takes = one.needs, one.makes, one.takes
        self._matter(diagonal, self.own * grown, self.other * grown)

    def _matter(self, diagonal: Any, own: Any, other: Any) -> None:
        """Invert the two equations that are left, in ammonia and nitrite."""
        aa = diagonal + self.needs * own[0]
        an = self.needs * other[0]
        na = self.takes * other[1] - self.makes * own[0]
        nn = diagonal - self.makes * other[0] + self.takes * own[1]
        per_determinant = 1.0 / (aa * nn - an * na)
        self.aa, self.an = nn * per_determinant, an * per_determinant
        self.na, self.nn = na * per_determinant, aa * per_determinant

    def _add_alkalinity(self, sets: Sets, pace: Any, elastic: Any) -> None:
        """Add that less ammonia also means less alkalinity."""
        left, half = sets.left, sets.singles.half_alkalinity
        base = half / (left * (half + left))
        free = sets.ammonia_shape / (left * (left + sets.ammonia_shape))
        self.own[0] += sets.per_ammonia * pace[0] * (base + elastic[0] * free)
        self.other[1] += sets.per_ammonia * pace[1] * base

    def solve(self, matter: Any, film: Any, water: Any) -> tuple[Any, Any, Any]:
        """Return k for a right-hand side."""
        film_k = self.ff * film
        film_k += self.fw * water
        water_k = self.wf * film
        water_k += self.ww * water
        grown = self.pace_film * film_k
        grown += self.pace * water_k
        ammonia = matter[0] - self.needs * grown[0]
        nitrite = matter[1] + self.makes * grown[0]
        nitrite -= self.takes * grown[1]
        k = np.empty_like(matter)
        k[0] = self.aa * ammonia - self.an * nitrite
        k[1] = self.nn * nitrite - self.na * ammonia
        pace = self.own * k
        pace += self.other * k[::-1]
        film_k += self.film_by_pace * pace
        water_k += self.water_by_pace * pace
        return k, film_k, water_k


def _step(sets: Sets, point: Any, now: Rates, since: Any, step: Any) -> tuple[Any, Any]:
    """Return the point after one step of each set, and its error as a share of the tolerance."""
    per_step = 1.0 / step
    stages = Stages(sets, now, per_step)
    end = since + step
    f1 = now[:3]
    k1 = stages.solve(*f1)
    four = 4.0 * per_step
    k2 = stages.solve(*(f + four * k for f, k in zip(f1, k1, strict=True)))
    there = [y + 2.0 * k for y, k in zip(point, k1, strict=True)]
    mixed = [per_step * (a - b) for a, b in zip(k1, k2, strict=True)]
    f3 = sets.rates(there, end)[:3]
    k3 = stages.solve(*(f + m for f, m in zip(f3, mixed, strict=True)))
    there = [y + k for y, k in zip(there, k3, strict=True)]
    f4 = sets.rates(there, end)[:3]
    last = (8.0 / 3.0) * per_step
    k4 = stages.solve(*(f + m - last * k for f, m, k in zip(f4, mixed, k3, strict=True)))
    there = [y + k for y, k in zip(there, k4, strict=True)]
    wrong = k4[0] / (np.maximum(np.abs(point[0]), np.abs(there[0])) + SMALL)
    wrong *= wrong
    wrong += k4[1] * k4[1]
    wrong += (k4[2] / now.cells) ** 2
    error = np.sqrt((wrong[0] + wrong[1]) / 6.0) / TOLERANCE
    return there, np.where(np.isfinite(error), error, 1e6)


def solve(problem: StretchProblem, start: Any, times: Any) -> Any:
    """Return the six rows (see `course.Solver`) at `times`, each with one column a set."""
    count = np.size(start[2])
    found = np.empty((6, len(times), count))
    point = [
        np.array([np.broadcast_to(start[0], (count,)), np.broadcast_to(start[1], (count,))]),
        np.log([start[2], start[4]]),
        np.array([start[3], start[5]]),
    ]
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        _march(Sets(problem, count), point, times, found)
    found[2:5:2] = np.exp(found[2:5:2])
    return found


def _put(found: Any, place: Any, point: Any) -> None:
    """Write a point into the rows of the result, each set at its own place."""
    (ammonia, nitrite), (film_a, film_n), (water_a, water_n) = point
    for row, value in enumerate((ammonia, nitrite, film_a, water_a, film_n, water_n)):
        found[row].reshape(-1)[place] = value


def _march(sets: Sets, point: Any, times: Any, found: Any) -> None:
    """Step every set from output time to output time until all are at the end."""
    count = found.shape[2]
    which = np.arange(count)
    target = np.ones(count, dtype=int)
    time = np.full(count, times[0])
    wanted = np.full(count, FIRST_STEP)
    _put(found, which, point)
    for _ in range(MOST_STEPS):
        left = times[target] - time
        parts = np.ceil(left / wanted - HAIR)
        step = left / parts
        since = time - times[0]
        after, error = _step(sets, point, sets.rates(point, since), since, step)
        good = error <= 1.0
        factor = np.clip(CAUTION / np.cbrt(np.maximum(error, HAIR)), SHORTER, LONGER)
        reached = good & (parts < 2.0)
        # A step cut short by an output time says nothing against a longer one.
        wanted = np.where(
            reached & (factor > 1.0), np.maximum(wanted, step * factor), step * factor
        )
        point = [np.where(good, new, old) for new, old in zip(after, point, strict=True)]
        time = np.where(reached, times[target], np.where(good, time + step, time))
        # Written at each step; the one that reaches the output time is the one that stays.
        _put(found, target * count + which, point)
        target = target + reached
        going = target < len(times)
        if not going.all():
            if not going.any():
                return
            sets.keep(going)
            which, target, time, wanted = which[going], target[going], time[going], wanted[going]
            point = [value[:, going] for value in point]
    why = "took too many steps"
    raise ValidityError("scenario", f"{MOST_STEPS} steps", "a solvable scenario", "", why)
