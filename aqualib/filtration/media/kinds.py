"""The kinds of media: generic ones, each number with its range and who says so."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from aqualib.files import data_file
from aqualib.parameters import BASES, Parameter
from aqualib.sources import references
from aqualib.validity import OneOf, ValidityError, quoted

COLUMNS = ("kind", "shape", "property", *Parameter.__slots__[1:])
DEMO = "demo"
"""The basis of a number that we made up, such as a price."""
MEDIA_SHAPES = ("ball", "ring", "broken", "foam", "carrier", "measured")

# What each property may be, in which unit.
LIMITS = {
    "size": ("mm", 0.05, 200.0),
    "voidage": ("", 0.2, 0.99),
    "inner_porosity": ("", 0.0, 0.95),
    "closed_share": ("", 0.0, 1.0),
    "pore_size": ("um", 0.001, 10000.0),
    "skeletal_density": ("kg/m**3", 10.0, 25000.0),
    "price": ("", 0.0, 1000.0),
    "hole_share": ("", 0.05, 0.99),
    "length_share": ("", 0.05, 20.0),
    "sphericity": ("", 0.1, 1.0),
    "bed_area": ("m**2/m**3", 1.0, 1e5),
}
OF_ALL = ("size", "voidage", "inner_porosity", "closed_share", "skeletal_density", "price")
OF_SHAPE = {
    "ring": ("hole_share", "length_share"),
    "broken": ("sphericity",),
    "carrier": ("bed_area",),
}


@dataclass(frozen=True)
class MediaKind:
    """One kind of media: its shape, and each number as a `Parameter`, by name."""

    name: str
    shape: str
    numbers: dict[str, Parameter]

    def __getitem__(self, name: str) -> Parameter:
        """Return one number, such as `kind["voidage"]`."""
        try:
            return self.numbers[name]
        except KeyError:
            valid = OneOf(tuple(self.numbers)).text
            why = f"is not known of {self.name}"
            raise ValidityError("property", repr(name), valid, "", why) from None

    def bare(self, name: str, value: float | None = None) -> float:
        """Return a number in SI base units, or `value` itself if it is given."""
        return self[name].bare if value is None else value

    def says_who(self, name: str) -> str:
        """Return where a number comes from, in words."""
        number = self[name]
        return "invented for the lesson" if number.basis == DEMO else number.origin


def media_kinds() -> dict[str, MediaKind]:
    """Return every kind of media in `data/media.csv` that a filter may be filled with, by name."""
    return {name: kind for name, kind in _table().items() if kind.shape != "measured"}


def measured_beds() -> dict[str, MediaKind]:
    """Return the beds whose surface was read in a source, to compare with, by name."""
    return {name: kind for name, kind in _table().items() if kind.shape == "measured"}


def media_kind(name: str) -> MediaKind:
    """Return one kind, or say which there are."""
    kinds = media_kinds()
    given: object = name
    found = kinds.get(given) if isinstance(given, str) else None
    if found is None:
        shown, valid = quoted(given), OneOf(tuple(kinds)).text
        raise ValidityError("kind", shown, valid, "", "is not in the table")
    return found


@lru_cache(maxsize=1)
def _table() -> dict[str, MediaKind]:
    with data_file("media.csv").open(encoding="utf-8-sig", newline="") as file:
        reader = csv.DictReader(file)
        if tuple(reader.fieldnames or ()) != COLUMNS:
            raise _refused("columns", reader.fieldnames, ", ".join(COLUMNS))
        return read_kinds(reader)


def read_kinds(rows: Iterable[dict[str, str]]) -> dict[str, MediaKind]:
    """Return the kinds that these rows of text make; raise if a row or a kind is not right."""
    kinds: dict[str, MediaKind] = {}
    for row in rows:
        if None in row or None in row.values():
            raise _refused("row", dict(row), "one entry for each column")
        where = f"{row['kind']}, {row['property']}"
        if row["shape"] not in MEDIA_SHAPES:
            raise _refused(f"{where}: shape", row["shape"], OneOf(MEDIA_SHAPES).text)
        kind = kinds.setdefault(row["kind"], MediaKind(row["kind"], row["shape"], {}))
        if kind.shape != row["shape"]:
            raise _refused(f"{where}: shape", row["shape"], kind.shape)
        if row["property"] in kind.numbers:
            raise _refused(where, "a second row", "one row")
        kind.numbers[row["property"]] = _number(row, where)
    for kind in kinds.values():
        _check_whole(kind)
    return kinds


def _number(row: dict[str, str], where: str) -> Parameter:
    if row["property"] not in LIMITS:
        raise _refused(f"{where}: property", row["property"], OneOf(tuple(LIMITS)).text)
    unit, least, most = LIMITS[row["property"]]
    if row["unit"] != unit:
        raise _refused(f"{where}: unit", repr(row["unit"]), repr(unit))
    numbers = {name: _plain(row[name], f"{where}: {name}") for name in ("value", "low", "high")}
    if not least <= numbers["low"] <= numbers["value"] <= numbers["high"] <= most:
        valid = f"low <= value <= high, within {least:g} to {most:g} {unit}".strip()
        raise _refused(where, ", ".join(row[name] for name in ("low", "value", "high")), valid)
    _check_origin(row, where)
    words = {name: row[name] for name in ("unit", "basis", "source", "locator", "note")}
    return Parameter(name=row["property"], **numbers, **words)  # type: ignore[arg-type]


def _plain(text: str, where: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise _refused(where, repr(text), "a number")
    return number


def _check_origin(row: dict[str, str], where: str) -> None:
    """Raise unless the row says where its number comes from, and looks no better than it is."""
    bases = (*BASES, DEMO)
    if row["basis"] not in bases:
        raise _refused(f"{where}: basis", repr(row["basis"]), OneOf(bases).text)
    if row["basis"] == "published":
        if row["source"] not in references() or not row["locator"]:
            raise _refused(f"{where}: source", repr(row["source"]), "a key and a locator")
    elif row["source"] not in {"assumed", *references()} or not row["note"]:
        raise _refused(f"{where}: source", repr(row["source"]), '"assumed" or a key, and a note')


def _check_whole(kind: MediaKind) -> None:
    if kind.shape == "measured":
        wanted = {"size", "bed_area"}
    else:
        wanted = {*OF_ALL, *OF_SHAPE.get(kind.shape, ())}
        if "inner_porosity" in kind.numbers and kind.numbers["inner_porosity"].high > 0.0:
            wanted.add("pore_size")
    missing = sorted(wanted - set(kind.numbers))
    if missing:
        raise _refused(kind.name, "no " + ", ".join(missing), ", ".join(sorted(wanted)))


def _refused(what: str, value: object, valid: str) -> ValidityError:
    return ValidityError(f"data/media.csv: {what}", value, valid, "", "is not right")
