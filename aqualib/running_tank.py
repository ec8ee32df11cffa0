"""The invented tank that every panel opens on, and its marine twin.

`data/running_tank.json` holds numbers by the name of their row in `data/parameters.csv`, in that
row's unit. There the row says "running tank" where its value would stand, so that the number is
written once.
"""

from __future__ import annotations

import json
from functools import lru_cache
from typing import NamedTuple

from aqualib.files import data_file
from aqualib.validity import ValidityError

FILE = "running_tank.json"
MARK = "running tank"
"""Stands in place of a value in `data/parameters.csv`."""


class RunningTank(NamedTuple):
    """The numbers of the fresh tank, and those in which the marine twin differs."""

    fresh: dict[str, float]
    marine: dict[str, float]
    media: str
    """The kind of media in its filter, as `data/media.csv` names it."""


@lru_cache(maxsize=1)
def running_tank() -> RunningTank:
    """Return the tank of `data/running_tank.json`; what cannot be read is refused in words."""
    try:
        found = json.loads(data_file(FILE).read_text(encoding="utf-8"))
        sets = {name: _numbers(found[name]) for name in ("fresh", "marine")}
        return RunningTank(sets["fresh"], {**sets["fresh"], **sets["marine"]}, str(found["media"]))
    except (KeyError, TypeError, ValueError, AttributeError) as problem:
        valid = "fresh and marine numbers by the name of their row"
        raise ValidityError(f"data/{FILE}", str(problem)[:60], valid, "", "is not right") from None


def _numbers(table: dict[str, object]) -> dict[str, float]:
    return {name: float(str(value)) for name, value in table.items()}
