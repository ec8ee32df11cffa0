"""Many sets of parameters at once: a stiff solver in which every set keeps its own step.

All sets move together through one pass of array operations, but each has its own time and its own
step, so a set at rest is not slowed by one at its steepest. The method is RODAS3 (order 3 with an
estimate of order 2; coefficients from memory, its order is held by a test), with an analytic
Jacobian in blocks: for each group the two populations are eliminated by hand, and two equations
in ammonia and nitrite are left. Steps end on the output times, so nothing is interpolated.

In arrays, row 0 is ammonia and its oxidisers, row 1 nitrite and its oxidisers; one column a set.
The film is integrated as a logarithm. The Jacobian leaves out what is small: the nitrogen of dead
cells, how alkalinity falls with time, and that a thicker film leaves less oxygen and hands more
nitrite on. The error estimate watches over it.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from aqualib.tank.maturation.course import StretchProblem
from aqualib.tank.maturation.rates import CROWDING, FULLEST
from aqualib.tank.maturation.set_rates import HAIR, Rates, Sets
from aqualib.validity import ValidityError

TOLERANCE = 5e-4
SMALL = 0.05
"""mg/L; errors in ammonia and nitrite are seen relative to what is there and this."""
HELD = 5.0
"""How much more an error of the film counts where alkalinity may run out."""
FIRST_STEP = 0.05
MOST_STEPS = 100_000
CAUTION, SHORTER, LONGER = 0.85, 0.2, 4.0
"""Factors on the step: towards the error allowed, and no further than these at once."""
GAMMA, EARLIER = 0.5, 1.5
"""Of the method: what a first and a second stage see of a change that time alone makes."""


class Stages:
    """The linear equations of one step: (1 / (gamma h) - Jacobian) k = right-hand side."""

    def __init__(self, sets: Sets, now: Rates, per_step: Any) -> None:
        one, film, free, room = sets.singles, now.film, now.free, now.room
        diagonal = per_step / GAMMA
        self.own_pace, self.other_pace = now.own_pace, now.other_pace
        self.own_swim, self.other_swim = now.own_swim, now.other_swim
        if sets.falling:
            self._add_alkalinity(sets, now)
        crowd = np.where(now.filled < FULLEST, CROWDING * now.filled, 0.0)
        slows = now.elastic * now.pace
        # Film and water of each group, as what they are without and with a change of pace.
        film_film = diagonal + crowd * now.coming + room * (now.settling + slows)
        film_water = room * one.attach / film
        water_film = one.detach * film + crowd * (one.attach - now.swim) * free
        water_water = diagonal + now.leaving
        per_determinant = 1.0 / (film_film * water_water - film_water * water_film)
        self.ff, self.fw = water_water * per_determinant, film_water * per_determinant
        self.wf, self.ww = water_film * per_determinant, film_film * per_determinant
        self.room, self.room_free = room, room * free
        self.by_film, self.by_water = (now.pace - slows) * film, now.swim
        self.makes = one.makes
        self.takes_a, self.takes_n = sets.pairs.takes
        own = self._grown(film, free, self.own_pace, self.own_swim)
        other = self._grown(film, free, self.other_pace, self.other_swim)
        self._matter(diagonal, own, other)

    def _grown(self, film: Any, free: Any, pace: Any, swim: Any) -> Any:
        """Return how growth changes with food, with what that does to the cells."""
        film_k = self.ff * (self.room * pace) + self.fw * (self.room_free * swim)
        water_k = self.wf * (self.room * pace) + self.ww * (self.room_free * swim)
        return pace * film + swim * free + self.by_film * film_k + self.by_water * water_k

    def _matter(self, diagonal: Any, own: Any, other: Any) -> None:
        """Invert the two equations that are left, in ammonia and nitrite."""
        aa = diagonal + self.takes_a * own[0]
        an = self.takes_a * other[0]
        na = self.takes_n * other[1] - self.makes * own[0]
        nn = diagonal - self.makes * other[0] + self.takes_n * own[1]
        per_determinant = 1.0 / (aa * nn - an * na)
        self.aa, self.an = nn * per_determinant, an * per_determinant
        self.na, self.nn = na * per_determinant, aa * per_determinant

    def _add_alkalinity(self, sets: Sets, now: Rates) -> None:
        """Add that less ammonia also means less alkalinity, which the first step needs."""
        base = sets.base_slope()
        self.own_pace, self.own_swim = self.own_pace.copy(), self.own_swim.copy()
        self.own_pace[0] += now.pace[0] * (1.0 - now.elastic[0]) * base
        self.own_swim[0] += now.swim[0] * base

    def solve(self, matter: Any, film: Any, water: Any) -> tuple[Any, Any, Any]:
        """Return k for a right-hand side."""
        film_k = self.ff * film
        film_k += self.fw * water
        water_k = self.wf * film
        water_k += self.ww * water
        grown = self.by_film * film_k
        grown += self.by_water * water_k
        ammonia = matter[0] - self.takes_a * grown[0]
        nitrite = matter[1] + self.makes * grown[0]
        nitrite -= self.takes_n * grown[1]
        k = np.empty_like(matter)
        k[0] = self.aa * ammonia - self.an * nitrite
        k[1] = self.nn * nitrite - self.na * ammonia
        pace = self.own_pace * k
        pace += self.other_pace * k[::-1]
        pace *= self.room
        swim = self.own_swim * k
        swim += self.other_swim * k[::-1]
        swim *= self.room_free
        film_k += self.ff * pace + self.fw * swim
        water_k += self.wf * pace + self.ww * swim
        return k, film_k, water_k


def _step(sets: Sets, point: Any, now: Rates, since: Any, step: Any) -> tuple[Any, Any]:
    """Return the point after one step of each set, and its error as a share of the tolerance."""
    per_step = 1.0 / step
    stages = Stages(sets, now, per_step)
    end = since + step
    hurry = step * sets.hurry(now, since)
    f1 = now[:3]
    k1 = stages.solve(f1[0] + GAMMA * hurry, *f1[1:])
    four = 4.0 * per_step
    more = [f + four * k for f, k in zip(f1, k1, strict=True)]
    more[0] += EARLIER * hurry
    k2 = stages.solve(*more)
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
    wrong += (k4[2] / (now.film + now.free)) ** 2
    if sets.falling:
        # Held at the end of its alkalinity a film shrinks for weeks: its error must not add up.
        wrong += (HELD * k4[1]) ** 2
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
