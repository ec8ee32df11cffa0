"""One set of parameters: the equations on plain floats, solved by LSODA.

The film is integrated as a logarithm, whose early growth is a straight line, and what is suspended
as its ratio to the film, which hardly changes: a solver follows both in few steps.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp
from typing import Any

import numpy as np
from scipy.integrate import odeint

from aqualib.tank.maturation.course import StretchProblem
from aqualib.validity import ValidityError

RELATIVE, ABSOLUTE = 3e-6, 1e-5
MOST_STEPS = 20000


def solve(
    problem: StretchProblem,
    start: Any,
    times: Any,
    relative: float = RELATIVE,
    absolute: float = ABSOLUTE,
) -> Any:
    """Return the six rows (see `course.Solver`) at `times`, whose first is the start."""
    ammonia, nitrite, film_a, water_a, film_n, water_n = start
    first = [ammonia, nitrite, np.log(film_a), water_a / film_a, np.log(film_n), water_n / film_n]
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
    film_a, film_n = np.exp(rows[2]), np.exp(rows[4])
    return [rows[0], rows[1], film_a, rows[3] * film_a, film_n, rows[5] * film_n]


def right_hand_side(problem: StretchProblem, begin: float) -> Callable[[Any, float], Any]:
    """Return the rates of change per day of the six that `solve` integrates.

    Everything that stays the same is folded into few numbers first: the growth of a group is
    top S / ((half + S (1 + S itself)) (1 + other S_other)).
    """
    g = problem.growth
    load, alkalinity0 = problem.load, float(problem.alkalinity)
    per_day, per_ammonia, per_cells = problem.per_day, problem.per_ammonia, problem.per_cells
    falling = per_ammonia > 0.0
    per_a, per_n, nitrogen = g.per_yield_a, g.per_yield_n, g.cells_nitrogen
    decay_a, decay_n = g.decay_a, g.decay_n
    dies_a, dies_n = decay_a + g.loss, decay_n + g.loss
    leaves_a, leaves_n = decay_a + g.detach, decay_n + g.detach
    attach, detach = g.attach, g.detach
    per_full_a, per_full_n = 1.0 / g.full_a, 1.0 / g.full_n

    def fold(alkalinity: float) -> tuple[float, ...]:
        free = g.available * alkalinity / (alkalinity + g.ammonia_shape)
        acid = 1.0 / (1.0 + g.acid_shape * alkalinity)
        food = g.ion_share or acid
        base = alkalinity / (g.half_alkalinity + alkalinity)
        # A binder may leave nothing: then the half-saturation is out of all reach.
        reach = 1.0 / free if free > 0.0 else 1e300
        return (
            g.growth_a * base,
            g.half_a * reach,
            g.ammonia_on_a * free,
            g.acid_on_a * acid,
            g.growth_n * base,
            g.half_n / food,
            g.acid_on_n * acid,
            g.ammonia_on_n * free,
        )

    folded = fold(alkalinity0)

    def rates(state: Any, time: float) -> Any:
        nonlocal folded
        ammonia, nitrite, log_a, ratio_a, log_n, ratio_n = state.tolist()
        film_a, film_n = exp(log_a), exp(log_n)
        water_a, water_n = ratio_a * film_a, ratio_n * film_n
        if falling:
            left = alkalinity0 + per_day * (time - begin) + per_ammonia * ammonia
            left += per_cells * (film_a + water_a + film_n + water_n)
            folded = fold(max(1e-09, left))
        top_a, half_a, a_on_a, n_on_a, top_n, half_n, n_on_n, a_on_n = folded
        pace_a = top_a * ammonia
        pace_a /= (half_a + ammonia * (1.0 + ammonia * a_on_a)) * (1.0 + nitrite * n_on_a)
        pace_n = top_n * nitrite
        pace_n /= (half_n + nitrite * (1.0 + nitrite * n_on_n)) * (1.0 + ammonia * a_on_n)
        filled_a, filled_n = film_a * per_full_a, film_n * per_full_n
        filled_a *= filled_a
        filled_n *= filled_n
        room_a, room_n = 1.0 - filled_a, 1.0 - filled_n
        settles_a, settles_n = attach * room_a, attach * room_n
        up_a = pace_a * room_a - leaves_a + settles_a * ratio_a
        up_n = pace_n * room_n - leaves_n + settles_n * ratio_n
        grown_a, grown_n = pace_a * (film_a + water_a), pace_n * (film_n + water_n)
        died = decay_a * film_a + dies_a * water_a + decay_n * film_n + dies_n * water_n
        # Cells that find no room are eaten.
        died += filled_a * grown_a + filled_n * grown_n
        made = per_a * grown_a
        return (
            load - made - nitrogen * (grown_a + grown_n - died),
            made - per_n * grown_n,
            up_a,
            (pace_a * room_a - dies_a - settles_a - up_a) * ratio_a + detach,
            up_n,
            (pace_n * room_n - dies_n - settles_n - up_n) * ratio_n + detach,
        )

    return rates
