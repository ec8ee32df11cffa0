"""The sources: what each key stands for, and what of it was actually read."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from aqualib.files import data_file
from aqualib.validity import ValidityError, quoted

MEMORY = "from memory"
BETWEEN = "; "
"""Stands between two keys of a row, and between two origins in words."""


class Said(NamedTuple):
    """Who says what a row of a table says: keys, and whether some of it is from memory."""

    sources: tuple[str, ...]
    from_memory: bool

    @property
    def origin(self) -> str:
        """Where it comes from, in words."""
        return BETWEEN.join([*map(cite, self.sources), *[MEMORY] * self.from_memory])


@lru_cache(maxsize=1)
def references() -> dict[str, dict[str, Any]]:
    """Return every source in `data/references.json` (CSL-JSON), by key."""
    try:
        items = json.loads(data_file("references.json").read_text(encoding="utf-8-sig"))
    except ValueError as problem:
        raise _refused("its text", str(problem)[:80], "JSON in UTF-8") from None
    found: dict[str, dict[str, Any]] = {}
    for place, item in enumerate(items if isinstance(items, list) else [items]):
        key = item.get("id") if isinstance(item, dict) else None
        if not isinstance(key, str):
            raise _refused(f"item {place + 1}", quoted(item), "an item of CSL-JSON with an id")
        if key in found:
            raise _refused(key, "a second item", "one item")
        found[key] = item
    return found


def source(key: str) -> dict[str, Any]:
    """Return one source, or say which key is unknown."""
    if not isinstance(key, str):
        raise ValidityError("key", quoted(key), "a key in data/references.json", "", "is none")
    try:
        return references()[key]
    except KeyError:
        message = f"source key {key!r} is not in data/references.json"
        raise KeyError(message) from None


def cite(key: str, locator: str = "") -> str:
    """Return a short citation such as "Emerson et al. 1975, p. 2380"."""
    item = source(key)
    names = _names(item)
    if item["type"] == "software" or not names:
        who = item.get("title-short") or item.get("title") or item.get("publisher") or key
    elif len(names) == 1:
        who = names[0]
    elif len(names) == 2:
        who = f"{names[0]} & {names[1]}"
    else:
        who = f"{names[0]} et al."
    when = _year(item)
    return ", ".join(part for part in (f"{who} {when}".strip(), locator) if part)


def full_citation(key: str) -> str:
    """Return the whole reference on one line, ending with what of it was read."""
    item = source(key)
    who = ", ".join(_names(item)) or item.get("publisher", "")
    volume = str(item.get("volume", ""))
    if item.get("issue"):
        volume += f"({item['issue']})"
    if item.get("page"):
        volume += f": {item['page']}" if volume else f"p. {item['page']}"
    publisher = item.get("publisher", "") if _names(item) else ""
    when = _year(item) or "no date"
    parts = [
        f"{who} ({when})" if who else "",
        item.get("title", ""),
        item.get("container-title", ""),
        volume.strip(),
        item.get("number", ""),
        publisher,
        f"doi:{item['DOI']}" if item.get("DOI") else "",
    ]
    return ". ".join(part for part in parts if part) + f". [{what_was_read(key)}]"


def what_was_read(key: str) -> str:
    """Return in words what of the source was read, such as "read: abstract"."""
    read = source(key)["custom"]["read"]
    return "not read; from memory" if read == "not read" else f"read: {read}"


class Bibliography:
    """The sources a lesson used, in order of their keys; shows itself as a list."""

    def __init__(self, keys: Iterable[str]) -> None:
        self.keys = sorted(set(keys))
        self.lines = [full_citation(key) for key in self.keys]

    def __repr__(self) -> str:
        return "\n".join(f"- {line}" for line in self.lines)


def bibliography(keys: Iterable[str]) -> Bibliography:
    """Return the full references for `keys`, each with what of it was read."""
    if isinstance(keys, str) or not isinstance(keys, Iterable):
        valid = 'a list of keys such as ["EPA2013"]'
        raise ValidityError("keys", quoted(keys), valid, "", "is no list")
    return Bibliography(keys)


def said_by(row: Mapping[str, str], file: str) -> Said:
    """Return who says what a row says, from its columns `sources` and `from_memory`."""
    keys = tuple(key for key in row["sources"].split(BETWEEN) if key)
    if row["from_memory"] not in {"yes", "no"} or not (keys or row["from_memory"] == "yes"):
        place = f"data/{file}, {row['what']}"
        valid = "a key, or yes under from_memory"
        raise ValidityError(place, quoted(row["sources"]), valid, "", "says not who says so")
    return Said(keys, row["from_memory"] == "yes")


def _names(item: dict[str, Any]) -> list[str]:
    people = item.get("author", [])
    return [person.get("family") or person.get("literal", "") for person in people]


def _year(item: dict[str, Any]) -> str:
    parts = item.get("issued", {}).get("date-parts", [[""]])
    return str(parts[0][0])


def _refused(place: str, value: str, valid: str) -> ValidityError:
    return ValidityError(f"data/references.json, {place}", value, valid, "", "is not right")
