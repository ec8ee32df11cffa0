"""A system as it is written down: plain JSON with a published schema, read or refused in words."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import fields
from typing import Any

from aqualib.tank.plan.parts import MOST_TRAYS, Part, Tray
from aqualib.tank.plan.system import (
    LONGEST_CURRENCY,
    LONGEST_NAME,
    MAY_BE_LEFT_OUT,
    PARTS,
    System,
)
from aqualib.units import Q, number, registry
from aqualib.validity import OneOf, Range, ValidityError, quoted

FORMAT = "aqualib system"
VERSION = 1
MOST_SIGNS = 200_000
"""A longer text is none of ours."""
SUFFIXES = {
    "cm": "cm",
    "mm": "mm",
    "m": "m",
    "L": "L",
    "kg": "kg",
    "g": "g",
    "g/day": "g_per_day",
    "mg/L": "mg_per_L",
    "degC": "degC",
    "percent": "percent",
    "L/h": "L_per_h",
    "W": "W",
    "h": "h",
    "day": "days",
    "1/h": "per_h",
    "": "",
}
"""A unit -> how the name of a number in it ends."""
UPGRADES: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}
"""A version -> what makes a text of it one of the next version."""
AN_OBJECT = "a table in curly brackets"


def key_of(name: str, rule: object) -> str:
    """Return what a field is called in the file: its name with its unit."""
    suffix = SUFFIXES[rule.unit] if isinstance(rule, Range) else ""
    return f"{name}_{suffix}" if suffix else name


def keys_of(kind: type[Part]) -> dict[str, str]:
    """Return the name in the file -> the name of the field."""
    return {key_of(name, rule): name for name, rule in kind.rules().items()}


def as_table(system: System) -> dict[str, Any]:
    """Return a system as it is written: only what was given."""
    table: dict[str, Any] = {"format": FORMAT, "version": VERSION, "name": system.name}
    for name in PARTS:
        part = getattr(system, name)
        if part is not None:
            written = _written(part)
            if written or name in MAY_BE_LEFT_OUT:
                table[name] = written
    return table | ({"currency": system.currency} if system.currency else {})


def _written(part: Part) -> dict[str, Any]:
    table: dict[str, Any] = {}
    for key, name in keys_of(type(part)).items():
        if not part.gives(name):
            continue
        value = getattr(part, name)
        if name == "trays":
            table[key] = [_written(tray) for tray in value]
        elif isinstance(value, registry.Quantity) or isinstance(part.rules()[name], Range):
            table[key] = _plain(getattr(part.own, name))
        else:
            table[key] = value
    return table


def _plain(value: float) -> float | int:
    """Return a number without the dust of a conversion, whole where it is."""
    tidy = float(f"{value:.12g}")
    return int(tidy) if tidy.is_integer() and abs(tidy) < 1e15 else tidy


def as_json(system: System) -> str:
    """Return a system as the text of its file."""
    return json.dumps(as_table(system), indent=1, ensure_ascii=False) + "\n"


def from_json(text: str) -> System:
    """Return the system of a text, or raise and say in words which part of it is not right."""
    if not isinstance(text, str):
        raise _refused("system", quoted(text), "the text of a system's file", "is no text")
    if len(text) > MOST_SIGNS:
        valid = f"at most {MOST_SIGNS} signs"
        raise _refused("system", f"{len(text)} signs", valid, "is too long")
    try:
        table = json.loads(
            text.removeprefix("\ufeff"), object_pairs_hook=_no_twice, parse_constant=_no_number
        )
    except json.JSONDecodeError as problem:
        where = f"line {problem.lineno}, sign {problem.colno}"
        raise _refused("system", where, "JSON, as it was saved", "cannot be read") from None
    except RecursionError:
        raise _refused("system", "the text", "JSON, as it was saved", "is nested") from None
    return from_table(table)


def from_table(table: object) -> System:
    """Return the system of a table such as `as_table` gives, or raise."""
    found = _upgraded(_object("system", table))
    known = {"format", "version", "name", "currency", "about", *PARTS}
    _only("system", found, known)
    parts: dict[str, Any] = {
        name: _part(name, kind, found[name]) for name, kind in PARTS.items() if name in found
    }
    words = {name: found[name] for name in ("name", "currency") if name in found}
    return System(**words, **parts)


def _upgraded(found: dict[str, Any]) -> dict[str, Any]:
    if found.get("format") != FORMAT:
        shown = quoted(found.get("format"))
        raise _refused("format", shown, f'"{FORMAT}"', "is no file of a system")
    version = found.get("version")
    if isinstance(version, bool) or not isinstance(version, int):
        raise _refused("version", quoted(version), f"1 to {VERSION}", "is no version")
    if version > VERSION:
        why = "was written by a newer aqualib than this one"
        raise _refused("version", str(version), f"1 to {VERSION}", why)
    while version < VERSION:
        if version not in UPGRADES:
            raise _refused("version", str(version), f"1 to {VERSION}", "is none that there was")
        found = UPGRADES[version](found)
        version += 1
    return found


def _part(place: str, kind: type[Part], table: object) -> Part:
    found = _object(place, table)
    keys = keys_of(kind)
    _only(place, found, set(keys))
    given = {}
    for key, value in found.items():
        rule = kind.rules()[keys[key]]
        given[keys[key]] = _value(f"{place}.{key}", rule, value)
    return _made(place, kind, given)


def _made(place: str, kind: type[Part], given: dict[str, Any]) -> Part:
    missing = [f.name for f in fields(kind) if f.name in NEEDED and f.name not in given]  # type: ignore[arg-type]
    if missing:
        key = key_of(missing[0], kind.rules()[missing[0]])
        raise _refused(f"{place}.{key}", "nothing", f"{key}: …", "is needed")
    try:
        return kind(**given)
    except ValidityError as refused:
        field = refused.parameter.rpartition(".")[2]
        key = key_of(field, kind.rules().get(field))
        where = f"{place}.{key}"
        raise ValidityError(
            where, refused.value, refused.valid, refused.source, refused.why
        ) from None


NEEDED = ("trays", "holds", "height")
"""Fields that a part is nothing without."""


def _value(place: str, rule: object, value: object) -> Any:
    if place.endswith(".trays"):
        if not isinstance(value, list) or len(value) > MOST_TRAYS:
            raise _refused(place, quoted(value), f"a list of 1 to {MOST_TRAYS} trays", "is not")
        return tuple(_part(f"{place}[{at}]", Tray, one) for at, one in enumerate(value, start=1))
    if isinstance(rule, Range):
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if not is_number or not math.isfinite(_finite(value)):
            raise _refused(place, quoted(value), rule.text, "is no number")
        return Q(float(value), rule.unit) if rule.unit else float(value)  # type: ignore[arg-type]
    if not isinstance(value, str):
        valid = rule.text if isinstance(rule, OneOf) else "text"
        raise _refused(place, quoted(value), valid, "is no text")
    return value


def _finite(value: Any) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.inf


def _object(place: str, table: object) -> dict[str, Any]:
    if not isinstance(table, Mapping):
        raise _refused(place, quoted(table), AN_OBJECT, "is no such table")
    return dict(table)


def _only(place: str, found: dict[str, Any], known: set[str]) -> None:
    for key in found:
        if key not in known:
            raise _refused(place, quoted(key), ", ".join(sorted(known)), "is not known here")


def _no_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise _refused(key[:60], "two values", "one value for each name", "stands there twice")
        found[key] = value
    return found


def _no_number(word: str) -> float:
    raise _refused("system", word, "a number", "is no number")


def _refused(place: str, value: str, valid: str, why: str) -> ValidityError:
    return ValidityError(place, value, valid, "", why)


def system_schema() -> dict[str, Any]:
    """Return the JSON Schema of a system's file, from the fields and their ranges."""
    parts = {name: _schema_of(kind) for name, kind in PARTS.items()}
    text = {"type": "string"}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": FORMAT,
        "description": "One tank with its filter. All may be left out but format and version; "
        "the end of a name is its unit.",
        "type": "object",
        "required": ["format", "version"],
        "additionalProperties": False,
        "properties": {
            "format": {"const": FORMAT},
            "version": {"const": VERSION},
            "about": {"description": "Anything: it is not read."},
            "name": {**text, "minLength": 1, "maxLength": LONGEST_NAME},
            "currency": {**text, "maxLength": LONGEST_CURRENCY},
            **parts,
        },
    }


def _schema_of(kind: type[Part]) -> dict[str, Any]:
    told = (kind.__doc__ or "").split("\n\n")[0].split("\n")[0]
    rules = kind.rules()
    properties = {key: _schema_of_field(name, rules[name]) for key, name in keys_of(kind).items()}
    needed = [key for key, name in keys_of(kind).items() if name in NEEDED]
    return {
        "description": told,
        "type": "object",
        "additionalProperties": False,
        **({"required": needed} if needed else {}),
        "properties": properties,
    }


def _schema_of_field(name: str, rule: object) -> dict[str, Any]:
    if name == "trays":
        trays = _schema_of(Tray)
        return {"type": "array", "minItems": 1, "maxItems": MOST_TRAYS, "items": trays}
    if isinstance(rule, Range):
        ends = {"minimum": _plain(rule.low), "maximum": _plain(rule.high)}
        return {"type": "integer" if rule.whole else "number", **ends}
    if isinstance(rule, OneOf):
        return {"enum": list(rule.words)}
    return {"type": "string"}


def in_words(part: Part, name: str) -> str:
    """Return a number of a part in the units of the file, for a table of what was assumed."""
    rule = part.rules()[name]
    value = getattr(part.own, name)
    unit = rule.unit if isinstance(rule, Range) else ""
    return f"{number(value)} {unit}".strip() if isinstance(rule, Range) else str(value)
