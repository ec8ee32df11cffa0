"""One set of parameters: the equations on plain floats, solved by LSODA.

The populations are integrated as logarithms: their early growth is then a straight line, which a
solver follows in few steps.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp
from typing import Any

import numpy as np
from scipy.integrate import odeint

from aqualib.tank.course import Problem
from aqualib.validity import ValidityError

RELATIVE, ABSOLUTE = 1e-5, 1e-5
MOST_STEPS = 20000


def solve(
    problem: Problem, start: Any, times: Any, relative: float = RELATIVE, absolute: float = ABSOLUTE
) -> Any:
    """Return the six rows (see `course.Solver`) at `times`, whose first is the start."""
    first = [start[0], start[1], *np.log(start[2:])]
    found, report = odeint(
        right_hand_side(problem, times[0]),
        first,
        times,
        rtol=relative,
        atol=absolute,
        mxstep=MOST_STEPS,
        full_output=True,
    )
    if report["message"] != "Integration successful.":
        why = "the equations could not be solved"
        raise ValidityError("scenario", report["message"], "a solvable scenario", "", why)
    rows = found.T
    return [rows[0], rows[1], *np.exp(rows[2:])]


def right_hand_side(problem: Problem, begin: float) -> Callable[[Any, float], Any]:
    """Return the rates of change of ammonia, nitrite and the four logarithms, per day."""
    g = problem.growth
    load, alkalinity0 = problem.load, float(problem.alkalinity)
    per_day, per_ammonia, per_cells = problem.per_day, problem.per_ammonia, problem.per_cells
    falling = per_ammonia > 0.0
    growth_a, growth_n, decay_a, decay_n, loss = g[:5]
    per_a, per_n, nitrogen, half_a, half_n, a_on_a, n_on_a, a_on_n, n_on_n = g[5:14]
    half_alkalinity, full_a, full_n, attach, detach, available = g[14:20]
    ammonia_shape, acid_shape, ion_share = g[20:]
    needs_a = per_a + nitrogen
    free_share = available * alkalinity0 / (alkalinity0 + ammonia_shape)
    acid_share = 1.0 / (1.0 + acid_shape * alkalinity0)
    food_share = ion_share or acid_share
    base = alkalinity0 / (half_alkalinity + alkalinity0)
    dies_a, dies_n = decay_a + loss, decay_n + loss

    def rates(state: Any, time: float) -> Any:
        nonlocal free_share, acid_share, food_share, base
        ammonia, nitrite, *logs = state.tolist()
        log_fa, log_wa, log_fn, log_wn = logs
        film_a, water_a, film_n, water_n = exp(log_fa), exp(log_wa), exp(log_fn), exp(log_wn)
        if falling:
            cells = film_a + water_a + film_n + water_n
            left = alkalinity0 + per_day * (time - begin) + per_ammonia * ammonia
            left = max(left + per_cells * cells, 0.0)
            free_share = available * left / (left + ammonia_shape)
            acid_share = 1.0 / (1.0 + acid_shape * left)
            food_share = ion_share or acid_share
            base = left / (half_alkalinity + left)
        free = free_share * ammonia
        acid = acid_share * nitrite
        food = food_share * nitrite
        pace_a = growth_a * base * free
        pace_a /= (half_a + free + free * free * a_on_a) * (1.0 + acid * n_on_a)
        pace_n = growth_n * base * food
        pace_n /= (half_n + food + food * acid * n_on_n) * (1.0 + free * a_on_n)
        filled_a = film_a / full_a
        filled_n = film_n / full_n
        settle_a = attach * (1.0 - filled_a) * water_a - detach * film_a
        settle_n = attach * (1.0 - filled_n) * water_n - detach * film_n
        # Where the media are full, new cells go into the water.
        spill_a = pace_a * filled_a
        spill_n = pace_n * filled_n
        grown_a = pace_a * (film_a + water_a)
        grown_n = pace_n * (film_n + water_n)
        died = decay_a * film_a + dies_a * water_a + decay_n * film_n + dies_n * water_n
        return (
            load - needs_a * grown_a + nitrogen * (died - grown_n),
            per_a * grown_a - per_n * grown_n,
            pace_a - spill_a - decay_a + settle_a / film_a,
            pace_a - dies_a + (spill_a * film_a - settle_a) / water_a,
            pace_n - spill_n - decay_n + settle_n / film_n,
            pace_n - dies_n + (spill_n * film_n - settle_n) / water_n,
        )

    return rates
