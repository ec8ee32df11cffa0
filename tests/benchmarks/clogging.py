"""A filter's weeks on plain numbers, as a slider asks for them, and the search over stacks.

    python tests/benchmarks/clogging.py

Six stages, thirty sizes, sixty days. Budget: 5 ms a run, so that with its picture it stays within
one frame of the screen; the search has no slider and may take half a second.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from functools import partial

from aqualib.filtration.capture.orders import best_stacks
from aqualib.filtration.capture.pads import pad, settling_space
from aqualib.filtration.capture.particle_sizes import size_classes
from aqualib.filtration.capture.run import clog_run, sinking_speeds
from aqualib.filtration.hydraulics.fittings import fitting_head_loss
from aqualib.filtration.hydraulics.hose import hose_head_loss
from aqualib.filtration.hydraulics.loop import operating_point
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.units import Q

RUNS = 60
BUDGET = 5.0
WARM = 298.15
AREA, LAYER = Q(400, "cm**2"), Q(20, "mm")
PUMP = PumpCurve.from_limits(Q(2.2, "m"), Q(1200, "L/h"))
LOSSES = [
    partial(hose_head_loss.bare, bore=0.016, length=3.0, temperature=WARM),
    partial(fitting_head_loss.bare, bore=0.016, loss_coefficient=3.5),
]


def milliseconds(work: Callable[[], object], runs: int) -> list[float]:
    """How long each of some runs took, after two that do not count."""
    taken = []
    for _ in range(runs + 2):
        start = time.perf_counter()
        work()
        taken.append(1e3 * (time.perf_counter() - start))
    return taken[2:]


def one_run() -> Callable[[], object]:
    grades = ("coarse", "coarse", "medium", "medium", "fine")
    stages = [settling_space(AREA, Q(40, "mm")), *(pad(g, AREA, LAYER) for g in grades)]
    sizes = size_classes()
    given = {"production": 2e-3 / 86400, "volume": 0.2, "duration": 60 * 86400.0}
    given |= {"temperature": WARM, "sizes": sizes, "sinking": sinking_speeds(sizes, WARM)}
    return partial(clog_run.bare, stages, PUMP, LOSSES, **given)


class Bare:
    """A bare curve as the public functions expect it."""

    def __init__(self, bare: Callable[[float], float]) -> None:
        self.bare = bare


def main() -> int:
    parts = [Bare(loss) for loss in LOSSES]
    tank = (Q(2, "g/day"), Q(200, "L"), Q(25, "degC"))
    search = partial(best_stacks, Q(120, "mm"), AREA, PUMP, parts, *tank)
    runs = milliseconds(one_run(), RUNS)
    points = milliseconds(partial(operating_point, PUMP, parts), RUNS)
    searches = milliseconds(search, 5)
    print(f"weeks of clogging   median {statistics.median(runs):6.2f} ms  best {min(runs):6.2f} ms")
    print(f"operating point     median {statistics.median(points):6.2f} ms")
    print(f"search, 729 stacks  median {statistics.median(searches):6.0f} ms")
    return int(statistics.median(runs) > BUDGET)


if __name__ == "__main__":
    sys.exit(main())
