"""`python -m aqualib plans tanks.csv`: a table of tanks made into a table of plans."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import date
from functools import partial
from pathlib import Path

from aqualib.lesson.handout.saving import save
from aqualib.tank.maturation.studies import text_bar
from aqualib.tank.plan import headings, plans_of

SHOWN = ("name", "verdict", "carried_g_per_day", "food_g_per_day", "limiting", "cleaning_days")

YEARS = 50
"""From today: what lies further off is a slip of the keys."""


def main(arguments: Sequence[str] | None = None) -> None:
    """Plan every row, say which rows are no tank and why, and keep the table of plans."""
    parser = _parser()
    chosen = parser.parse_args(arguments)
    if chosen.headings:
        print(",".join(headings()))
        return
    if chosen.table is None:
        parser.error("name a table, or ask for --headings")
    if abs(chosen.start.year - date.today().year) > YEARS:
        parser.error(f"--start {chosen.start}: a day within {YEARS} years of today")
    bar = partial(text_bar, what="tanks")
    table, aside = plans_of(chosen.table, chosen.start, bar, chosen.cluster)
    for row in aside:
        print(f"Line {row.line}, {row.name or 'no name'}: kept aside. {row.why}")
    for row in table[table["before_anything_else"] != ""].itertuples():
        print(f"Line {row.line}, {row.name}, before anything else: {row.before_anything_else}")
    print(f"{len(table)} tanks planned, {len(aside)} kept aside.")
    if chosen.out:
        print(f"The plans lie in {save(table.to_csv(index=False), chosen.out)}")
    else:
        print(table[list(SHOWN)].round(2).to_string(index=False))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m aqualib plans",
        description="Plan many tanks: one a row. Cells may be empty; what is left open is assumed.",
    )
    parser.add_argument("table", type=Path, nargs="?", help="a CSV table; see --headings")
    parser.add_argument("--headings", action="store_true", help="print the headings it may have")
    parser.add_argument("--out", type=Path, help="a new file for the table of plans")
    parser.add_argument("--start", type=date.fromisoformat, default=date.today(), metavar="DAY")
    parser.add_argument("--cluster", help='"here" for all cores, or a dask scheduler\'s address')
    return parser
