"""Fit 200 made-up test logs: does the band hold the truth as often as it says, and how fast?

    python tests/benchmarks/log_coverage.py [logs]

The band is 5 to 95 per cent. With 200 logs the share inside may differ from 0.90 by 0.042 (two
standard deviations of a binomial) by chance. It may be larger than that for another reason: where
part of what fits never gets ready, the band ends at infinity and holds more than 90 per cent. So
the places of the truths within the forecasts are shown too; they should be spread evenly.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from made_up_logs import TANK, judge_forecasts, made_up

from aqualib.tank.test_log.fit import fit_log


def main(logs: int) -> None:
    verdict = judge_forecasts(range(logs))
    tolerance = 2.0 * np.sqrt(0.9 * 0.1 / logs)
    print(f"inside the 5-95 % band: {verdict.inside / logs:.3f} (0.900 ± {tolerance:.3f} or more)")
    print(f"truth before the band {verdict.too_late}, after it {verdict.too_early}")
    tenths = np.histogram(verdict.places, bins=10, range=(0.0, 1.0))[0]
    print(f"places of the truths by tenths: {tenths.tolist()} (each {logs / 10:g} if even)")
    wall, cpu = [], []
    for number in range(40):
        log = made_up(number).log
        start, used = time.perf_counter(), time.process_time()
        fit_log(log, TANK)
        wall.append(time.perf_counter() - start)
        cpu.append(time.process_time() - used)
    print(f"one fit: median {np.median(wall):.3f} s, 95th percentile {np.quantile(wall, 0.95):.3f}")
    print(f"of it processor time: median {np.median(cpu):.3f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
