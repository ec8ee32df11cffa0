"""How long a plan takes: one with its ranked changes and doubts, and 200 from a table.

`python tests/benchmarks/plan.py`: medians of processor time, and the ratio of a whole plan to one
run of the system.
"""

from __future__ import annotations

import csv
import sys
import tempfile
import time
from datetime import date
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from plan_systems import as_it_was_bought, college, nano

from aqualib.tank.plan import (
    best_stack,
    example_system,
    filled,
    make_plan,
    outcome,
    plans_of,
)

FIRST = date(2030, 3, 2)


def timed(run, times=9):
    """Return the median of the processor's seconds."""
    run()
    found = []
    for _ in range(times):
        before = time.process_time()
        run()
        found.append(time.process_time() - before)
    return median(found)


def plan_anew(system):
    """Make a plan of which nothing is remembered."""
    best_stack.cache_clear()
    make_plan(system, FIRST)


def main():
    for system in (example_system(), nano(), college(), as_it_was_bought()):
        whole, _ = filled(system)
        once = timed(lambda w=whole: outcome(w))
        all_of_it = timed(lambda s=system: plan_anew(s))
        print(f"{system.name:32} one run {1e3 * once:6.1f} ms, whole plan", end=" ")
        print(f"{1e3 * all_of_it:6.0f} ms, {all_of_it / once:5.1f} x")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tanks.csv"
        with path.open("w", newline="") as file:
            rows = csv.writer(file)
            rows.writerow(["name", "tank.water_L", "stock.food_g_per_day", "filter.trays"])
            trays = "settling space 50; coarse pad 45; fine pad 45; porous rings 90"
            rows.writerows([f"tank {n}", 30 + n, 0.5 + 0.02 * n, trays] for n in range(200))
        before, clock = time.process_time(), time.perf_counter()
        table, aside = plans_of(path, FIRST)
        spent, waited = time.process_time() - before, time.perf_counter() - clock
        print(f"{len(table)} plans, {len(aside)} aside: processor {spent:.1f} s, {waited:.1f} s")


if __name__ == "__main__":
    main()
