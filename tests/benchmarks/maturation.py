"""How fast a filter matures: one run, bands of 1000 and 10 000 sets, and what they are worth.

    python tests/benchmarks/maturation.py [quick]

Budgets (2 cores, medians): one 60-day run 1 ms at an error below 1e-4; the band of 1000 sets
150 ms at an error below 2e-3. Times are those of this process on the clock and, since a busy
machine makes the clock meaningless, of the processor. Ratios are to the first line of each block.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from aqualib.tank.maturation import forecast as bands_module
from aqualib.tank.maturation import many_sets, one_set
from aqualib.tank.maturation.course import StretchProblem, play
from aqualib.tank.maturation.forecast import bands, draw, output_times
from aqualib.tank.maturation.rates import best_values
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Scenario, WaterChange, repeat
from aqualib.units import Q

QUICK = "quick" in sys.argv
MANY = 100 if QUICK else 1000
SCENARIO = Scenario()
WEEKLY = Scenario(events=repeat(WaterChange(Q(7, "day"), 0.25), Q(7, "day"), Q(56, "day")))


def timed(work: Callable[[], object], runs: int) -> tuple[float, float, float]:
    """Median milliseconds on the clock, of the processor, and the fastest on the clock."""
    clock, processor = [], []
    work()
    for _ in range(runs):
        start, start_cpu = time.perf_counter(), time.process_time()
        work()
        clock.append(1e3 * (time.perf_counter() - start))
        processor.append(1e3 * (time.process_time() - start_cpu))
    return statistics.median(clock), statistics.median(processor), min(clock)


def block(title: str, lines: dict[str, tuple[Callable[[], object], int]]) -> None:
    """Print a title, then one line of times a name."""
    print(f"\n{title}\n{'':38}{'clock':>9}{'processor':>11}{'fastest':>9}{'ratio':>8}   (ms)")
    first = None
    for name, (work, runs) in lines.items():
        clock, processor, fastest = timed(work, runs)
        first = first or processor
        ratio = processor / first
        print(f"{name:38}{clock:9.2f}{processor:11.2f}{fastest:9.2f}{ratio:8.2f}")


def with_bdf(problem: StretchProblem, start: Any, times: Any) -> Any:
    """The same equations with the other stiff solver of scipy."""
    rates = one_set.right_hand_side(problem, times[0])
    ammonia, nitrite, film_a, water_a, film_n, water_n = start
    first = [ammonia, nitrite, np.log(film_a), water_a / film_a, np.log(film_n), water_n / film_n]
    done = solve_ivp(
        lambda t, y: rates(y, t), times[[0, -1]], first, "BDF", times, rtol=1e-5, atol=1e-6
    )
    rows = done.y
    film_a, film_n = np.exp(rows[2]), np.exp(rows[4])
    return [rows[0], rows[1], film_a, rows[3] * film_a, film_n, rows[5] * film_n]


TIGHT = partial(one_set.solve, relative=1e-10, absolute=1e-11)


def species(scenario: Scenario, values: dict[str, Any], solver: Any, times: Any = None) -> Any:
    state = play(scenario, values, solver, times).state
    return np.array([state.ammonia, state.nitrite, state.nitrate])


def error(scenario: Scenario, solver: Any) -> float:
    """The largest error of ammonia, nitrite or nitrate, as a share of its largest value."""
    ours, true = (species(scenario, best_values(), s) for s in (solver, TIGHT))
    return float((np.abs(ours - true).max(axis=1) / true.max(axis=1)).max())


def loop(sets: int, relative: float, absolute: float) -> Any:
    """Set after set with the solver for one."""
    values, times = draw(sets, 0), output_times(SCENARIO)
    found = []
    for place in range(sets):
        own = {k: (float(v[place]) if np.ndim(v) else v) for k, v in values.items()}
        solver = partial(one_set.solve, relative=relative, absolute=absolute)
        found.append(species(SCENARIO, own, solver, times))
    return np.array(found).transpose(1, 2, 0)


def band_error() -> tuple[float, float]:
    """Errors of the band: to the largest value of its own curve, and of its kind of nitrogen."""
    true = np.percentile(loop(MANY, 1e-9, 1e-9), [5, 50, 95], axis=2)
    ours = species(SCENARIO, draw(MANY, 0), many_sets.solve, output_times(SCENARIO))
    off = np.abs(np.percentile(ours, [5, 50, 95], axis=2) - true).max(axis=2)
    top = true.max(axis=2)
    return float((off / top).max()), float((off / top.max(axis=0)).max())


def main() -> None:
    runs = 20 if QUICK else 200
    values = best_values()
    block(
        "One 60-day run (budget 1 ms)",
        {
            "odeint, plain floats (solver alone)": (
                partial(play, SCENARIO, values, one_set.solve),
                runs,
            ),
            "simulate, all in": (partial(simulate, SCENARIO), runs),
            "simulate, weekly water changes": (partial(simulate, WEEKLY), runs // 4),
            "solve_ivp BDF, same equations": (
                partial(play, SCENARIO, values, with_bdf),
                runs // 20,
            ),
        },
    )
    print(
        f"error: odeint {error(SCENARIO, one_set.solve):.1e}, BDF {error(SCENARIO, with_bdf):.1e}"
    )
    some = 3 if QUICK else 15
    block(
        f"Bands of {MANY} sets (budget 150 ms for 1000)",
        {
            "own step for each set (bands, all in)": (partial(bands, SCENARIO, MANY), some),
            "the same, weekly water changes": (partial(bands, WEEKLY, MANY), some),
            "odeint, set after set": (partial(loop, MANY, 1e-5, 1e-5), 1 if QUICK else 3),
        },
    )
    print("error: {:.1e} of each curve's top, {:.1e} of its kind's".format(*band_error()))
    chunk = bands_module.CHUNK
    sizes = (chunk // 10, chunk, 10 * chunk)
    block(
        "Scaling of bands",
        {f"{sets} sets": (partial(bands, SCENARIO, sets), 1 if QUICK else 3) for sets in sizes},
    )


if __name__ == "__main__":
    main()
