"""How many measured values lie in our bands: `data/measured_elsewhere.csv`, computed anew.

    python tests/benchmarks/scoreboard.py [--write]

Some 1000 runs a start-up and 4000 a film; a minute in all. With `--write` the bands are put into
the table, which lesson 03 shows and a test compares.
"""

from __future__ import annotations

import csv
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from measured_roads import ROADS, ends_of

from aqualib.files import data_file, rows_of
from aqualib.measured import COLUMNS, FILE, all_measured, scoreboard

OURS = ("ours_low", "ours_middle", "ours_high")


def main():
    path = data_file(FILE)
    rows = rows_of(path, COLUMNS)
    for row in rows:
        if row["left_out"]:
            continue
        start = time.perf_counter()
        ends = ends_of(ROADS[row["id"]]())
        row.update(zip(OURS, (f"{end:.4g}" for end in ends), strict=True))
        shown = " ".join(row[name] for name in OURS)
        print(f"{row['id']:20} {row['low']}-{row['high']} {row['unit']:10} ours {shown}", end="")
        print(f"  ({time.perf_counter() - start:.1f} s)")
    if "--write" in sys.argv:
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, COLUMNS, lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
        all_measured.cache_clear()
        print(scoreboard())


main()
