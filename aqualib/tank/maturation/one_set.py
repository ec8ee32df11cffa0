"""One set of parameters: the equations on plain floats, solved by LSODA.

The film is integrated as a logarithm, whose early growth is a straight line, and what is suspended
as its ratio to the film, which hardly changes: a solver follows both in few steps.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, sqrt
from typing import Any

import numpy as np
from scipy.integrate import odeint

from aqualib.tank.maturation.course import StretchProblem
from aqualib.tank.maturation.rates import FULLEST, Growth
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

    The law is that of `rates.paces`, written out on floats because it is asked for at every turn.
    """
    # Numbers of NumPy would be four times slower here.
    g = Growth(*map(float, problem.growth))
    load, extra, rotting = map(float, problem.food)
    alkalinity0, per_cells = float(problem.alkalinity), problem.per_cells
    falling = problem.per_nitrogen > 0.0
    per_a, per_n, nitrogen = g.per_yield_a, g.per_yield_n, g.cells_nitrogen
    decay_a, decay_n, growth_n = g.decay_a, g.decay_n, g.growth_n
    dies_a, dies_n = decay_a + g.loss, decay_n + g.loss
    leaves_a, leaves_n = decay_a + g.detach, decay_n + g.detach
    attach, detach, available = g.attach, g.detach, g.available
    oxygen, half_a, half_n = g.oxygen, g.half_a, g.half_n
    air_a, air_n = g.oxygen_half_a, g.oxygen_half_n
    behind_a, behind_n = per_a / g.transfer, per_n / g.transfer
    swims_a, swims_n = oxygen / (air_a + oxygen), oxygen / (air_n + oxygen)

    folded = fold(g, alkalinity0)

    def rates(state: Any, time: float) -> Any:
        nonlocal folded
        ammonia, nitrite, log_a, ratio_a, log_n, ratio_n = state.tolist()
        film_a, film_n = exp(log_a), exp(log_n)
        water_a, water_n = ratio_a * film_a, ratio_n * film_n
        since = time - begin
        fading = extra * exp(-rotting * since) if extra else 0.0
        if falling:
            left = ammonia - load * since - (extra - fading) / rotting
            cells = film_a + water_a + film_n + water_n
            left = alkalinity0 + problem.per_nitrogen * left + per_cells * cells
            folded = fold(g, max(1e-09, left))
        able_a, a_on_a, n_on_a, n_on_n, a_on_n = folded
        present, eaten = max(ammonia, 0.0), max(nitrite, 0.0)
        fed = available * present
        able_a /= (1.0 + present * a_on_a) * (1.0 + eaten * n_on_a)
        able_n = growth_n / ((1.0 + eaten * n_on_n) * (1.0 + present * a_on_n))
        need = (g.breath_a * able_a * film_a + g.breath_n * able_n * film_n) / g.air
        got = share(oxygen, air_a, need)
        at_film = air_a * got / (1.0 - got)
        top_a, top_n = able_a * got, able_n * at_film / (air_n + at_film)
        pace_a = top_a * share(fed, half_a, behind_a * top_a * film_a)
        pace_n = top_n * share(
            eaten + behind_a * pace_a * film_a, half_n, behind_n * top_n * film_n
        )
        free_a = able_a * swims_a * fed / (half_a + fed)
        free_n = able_n * swims_n * eaten / (half_n + eaten)
        filled_a, room_a = crowding(film_a / g.full_a)
        filled_n, room_n = crowding(film_n / g.full_n)
        settles_a, settles_n = attach * room_a, attach * room_n
        up_a = pace_a * room_a - leaves_a + settles_a * ratio_a
        up_n = pace_n * room_n - leaves_n + settles_n * ratio_n
        grown_a = pace_a * film_a + free_a * water_a
        grown_n = pace_n * film_n + free_n * water_n
        died = decay_a * film_a + dies_a * water_a + decay_n * film_n + dies_n * water_n
        # Cells that find no room are eaten.
        died += filled_a * grown_a + filled_n * grown_n
        made = per_a * grown_a
        return (
            load + fading - made - nitrogen * (grown_a - died),
            made - (per_n + nitrogen) * grown_n,
            up_a,
            (free_a * room_a - dies_a - settles_a - up_a) * ratio_a + detach,
            up_n,
            (free_n * room_n - dies_n - settles_n - up_n) * ratio_n + detach,
        )

    return rates


def fold(g: Growth, alkalinity: float) -> tuple[float, ...]:
    """Return the pace of ammonia oxidisers at an alkalinity, and how much what slows whom."""
    kept = max(alkalinity, g.sourest)
    free = g.available * kept / (kept + g.ammonia_shape)
    acid = 1.0 / (1.0 + g.acid_shape * kept)
    return (
        g.growth_a * g.base * alkalinity / (g.half_alkalinity + alkalinity),
        g.ammonia_on_a * free,
        g.acid_on_a * acid,
        g.acid_on_n * acid,
        g.ammonia_on_n * free,
    )


def share(outside: float, half: float, behind: float) -> float:
    """Return what `biofilm.share_of_most` does, on floats."""
    reach = outside + half + behind
    return 2.0 * outside / (reach + sqrt(reach * reach - 4.0 * outside * behind))


def crowding(filled: float) -> tuple[float, float]:
    """Return how far growth finds the film full, and the share of it that finds room."""
    full = filled * filled
    full *= full
    full *= full
    full = min(full, FULLEST)
    return full, 1.0 - full
