"""Many sets of parameters at once: a stiff solver in which every set keeps its own step.

All sets move together through one pass of array operations, but each has its own time and its own
step, so a set at rest is not slowed by one at its steepest. The method is RODAS3 (order 3 with an
estimate of order 2; coefficients from memory, its order is held by a test), with an analytic
Jacobian in blocks: for each group the two populations are eliminated by hand, and two equations
in ammonia and nitrite are left. Steps end on the output times, so nothing is interpolated.

In arrays, row 0 is ammonia and its oxidisers, row 1 nitrite and its oxidisers; one column a set.
The film is integrated as a logarithm. The Jacobian leaves out the nitrogen in cells, and how
alkalinity falls with time; both are small, and the error estimate watches over them.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from aqualib.tank.maturation.course import StretchProblem
from aqualib.tank.maturation.set_rates import HAIR, Rates, Sets
from aqualib.validity import ValidityError

TOLERANCE = 5e-4
SMALL = 0.05
"""mg/L; errors in ammonia and nitrite are seen relative to what is there and this."""
FIRST_STEP = 0.05
MOST_STEPS = 100_000
CAUTION, SHORTER, LONGER = 0.85, 0.2, 4.0
"""Factors on the step: towards the error allowed, and no further than these at once."""
GAMMA = 0.5


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
