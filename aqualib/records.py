"""The edge of a record: fields checked once, when it is made, and had as plain numbers ever after.

A record is a frozen dataclass on `Checked` whose fields are annotated as the arguments of a
public function are. Nothing that computes checks a record again or meets a quantity in it.
"""

from __future__ import annotations

import functools
import typing
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from typing import Any, NamedTuple, Self, get_args

import numpy as np

from aqualib.arguments import from_base, number_in_unit, plain, rule_of, to_base
from aqualib.parameters import parameter
from aqualib.units import registry
from aqualib.validity import Range, Rule, ValidityError


@dataclass(frozen=True, slots=True)
class Row:
    """Beside a range: the row of `data/parameters.csv` that holds where a field is left out."""

    name: str


class Kept(NamedTuple):
    """A field as it was given, in the unit of its range, and in SI base units."""

    given: Any
    own: Any
    bare: Any


class Checked:
    """Base of a frozen dataclass whose fields are checked, and left out for their rows.

    The fields keep what was given, with units. `bare` has them as plain SI numbers, `own` as plain
    numbers in the units of their ranges. A field left out, None, takes its `Row` where it has one.
    `from_bare` and `with_bare` take plain SI numbers, for panels and solvers. Records are equal
    whose plain numbers are, so the dataclass is made with `eq=False`.
    """

    def __post_init__(self) -> None:
        shape = _shape_of(type(self))
        self._keep({name: _kept(self, name, getattr(self, name)) for name in shape.rules})
        self.check()

    @classmethod
    def from_bare(cls, **bare: Any) -> Self:
        """Return the record for plain SI numbers within the ranges; the rest is left out."""
        record = object.__new__(cls)
        record._keep({name: _kept_bare(record, name, bare) for name in _shape_of(cls).rules})
        record.check()
        return record

    def with_bare(self, **bare: Any) -> Self:
        """Return a copy with other plain SI numbers in some fields.

        They are not checked: a solver that looks for an answer may look beyond the ranges.
        """
        record = object.__new__(type(self))
        new = {name: _as_bare(number, self.rules()[name]) for name, number in bare.items()}
        record._keep({**self.__dict__["_kept"], **new})
        return record

    def check(self) -> None:
        """Raise where fields do not go together; a record may have a rule of its own."""

    def called(self, name: str) -> str:
        """Return how a refusal names a field."""
        return name

    @classmethod
    def rules(cls) -> dict[str, Rule | None]:
        """Return the rule of each field."""
        return _shape_of(cls).rules

    @property
    def bare(self) -> Any:
        """The fields as plain SI numbers."""
        return self.__dict__["_bare"]

    @property
    def own(self) -> Any:
        """The fields as plain numbers in the units of their ranges."""
        return self.__dict__["_own"]

    @property
    def compared(self) -> Any:
        """What makes two records equal."""
        return self.bare

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and self.compared == other.compared

    def __hash__(self) -> int:
        return hash((type(self), self.compared))

    def __reduce__(self) -> tuple[Any, ...]:
        """Pickle and copy by the fields; the plain numbers are made again."""
        return _made, (type(self), {name: getattr(self, name) for name in self.rules()})

    def _keep(self, kept: dict[str, Kept]) -> None:
        for name, each in kept.items():
            object.__setattr__(self, name, each.given)
        numbers = _shape_of(type(self)).numbers
        object.__setattr__(self, "_kept", kept)
        object.__setattr__(self, "_bare", numbers(*(each.bare for each in kept.values())))
        object.__setattr__(self, "_own", numbers(*(each.own for each in kept.values())))


class _Shape(NamedTuple):
    """What a class of records says of its fields."""

    rules: dict[str, Rule | None]
    rows: dict[str, str]
    defaults: dict[str, Any]
    numbers: Any
    """A tuple with a name for each field."""


def _find_shape(record: type) -> _Shape:
    hints = typing.get_type_hints(record, include_extras=True)
    named = {field.name: field.default for field in fields(record)}
    rows = {n: x.name for n in named for x in get_args(hints[n])[1:] if isinstance(x, Row)}
    numbers: Any = NamedTuple(f"{record.__name__}Numbers", [(name, Any) for name in named])  # type: ignore[misc]
    return _Shape({name: rule_of(hints[name]) for name in named}, rows, named, numbers)


# Named so, since a class that is no more than a key is no `Hashable` to the type checker.
_shape_of: Callable[[type], _Shape] = functools.cache(_find_shape)


def _kept(record: Checked, name: str, value: Any) -> Kept:
    """Return a field that was given with its unit, or left out."""
    shape = _shape_of(type(record))
    rule = shape.rules[name]
    if value is None and name in shape.rows:
        value = parameter(shape.rows[name]).quantity
    if value is None and shape.defaults[name] is None:
        return Kept(None, None, None)
    called = record.called(name)
    if not isinstance(rule, Range):
        word = value if rule is None else plain(called, value, rule)
        return Kept(word, word, word)
    own = number_in_unit(called, value, rule)
    if np.ndim(own):
        raise ValidityError(called, "an array", rule.text, rule.source, "is more than one number")
    return Kept(value, float(own), float(to_base(own, rule)))


def _kept_bare(record: Checked, name: str, bare: Mapping[str, Any]) -> Kept:
    """Return a field given as a plain SI number, or left out."""
    rule, value = record.rules()[name], bare.get(name)
    if value is None:
        return _left_out(type(record), name)
    if not isinstance(rule, Range):
        return _kept(record, name, value)
    kept = _as_bare(value, rule)
    if not rule.holds(kept.own):
        shown, why = f"{kept.own:g} {rule.unit}".strip(), "is out of range"
        raise ValidityError(record.called(name), shown, rule.text, rule.source, why)
    return kept


def _as_bare(value: float, rule: Rule | None) -> Kept:
    """Return a field for a plain SI number, as it is."""
    if not isinstance(rule, Range) or not rule.unit:
        return Kept(value, value, value)
    own = from_base(value, rule)
    return Kept(registry.Quantity(own, rule.unit), own, value)


def _find_left_out(record: Any, name: str) -> Kept:
    return _kept(object.__new__(record), name, _shape_of(record).defaults[name])


_left_out: Callable[[type, str], Kept] = functools.cache(_find_left_out)
"""A field left out, worked out once for each class of records."""


def _made(record: type[Any], given: dict[str, Any]) -> Any:
    return record(**given)
