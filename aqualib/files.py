"""Where the data files are, in a checkout or in a wheel, and the rows of the tables among them."""

from __future__ import annotations

import csv
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent


def data_file(name: str) -> Path:
    """Return the path of a file in `data/`, whichever way the package was installed."""
    # In a checkout the files at the top win, so that an edit is seen without a reinstall.
    places = (PACKAGE.parent / "data", PACKAGE / "data")
    for folder in places:
        if (folder / name).is_file() and (folder / "check_values.csv").is_file():
            return folder / name
    message = f"data file {name!r} is in none of {[str(place) for place in places]}"
    raise FileNotFoundError(message)


def rows_of(path: Path) -> list[dict[str, str]]:
    """Return the rows of a table with a header line; the mark some programs put first is cut."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))
