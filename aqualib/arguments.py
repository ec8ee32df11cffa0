"""One argument checked: a number with its unit, a word or a flag, as the plain value it stands for.

Numbers come out in SI base units (kelvin, pascal, kg/m³, second), floats or arrays. A library
function that takes one number at a time gets them `one_by_one`.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Callable, Sequence
from typing import Annotated, Any, get_args, get_origin

import numpy as np
from pint import DimensionalityError, OffsetUnitCalculusError

from aqualib.units import NotLinearError, base_unit, line_to, registry
from aqualib.validity import (
    LONGEST_QUOTE,
    AnyAmount,
    Kind,
    OneOf,
    Range,
    Rule,
    Turned,
    ValidityError,
    YesNo,
    quoted,
)

SHARES_UP_TO = 2.0
"""A plain number that may be larger is no share, and not to be given in percent or g/kg."""


def rule_of(annotation: Any) -> Rule | None:
    """Return the rule in an annotation: a range, words, or the class that is wanted."""
    if get_origin(annotation) is Annotated:
        return next((x for x in get_args(annotation)[1:] if isinstance(x, Rule)), None)
    wanted = [each for each in _members(annotation) if each is not types.NoneType]
    lists = [each for each in wanted if get_origin(each) in {list, tuple, Sequence}]
    if lists:
        inner = [each for each in _members(get_args(lists[0])[0]) if each is not Ellipsis]
        return Kind(tuple(inner), many=True) if _are_records(inner) else None
    return Kind(tuple(wanted)) if _are_records(wanted) else None


def admits_none(annotation: Any) -> bool:
    """Return whether an argument may be None though it may not be left out."""
    if get_origin(annotation) is Annotated:
        annotation = get_args(annotation)[0]
    return types.NoneType in _members(annotation)


def plain(name: str, value: object, rule: Rule) -> Any:
    """Return the plain value of an argument, or raise `ValidityError`."""
    match rule:
        case OneOf():
            return _word(name, value, rule)
        case YesNo():
            return _flag(name, value, rule)
        case Kind():
            return _thing(name, value, rule)
        case Turned():
            return rule.turn(name, value)
        case AnyAmount():
            return plain_number(name, value, _fitting_range(name, value, rule))
        case Range():
            return plain_number(name, value, rule)


def plain_number(name: str, value: object, rule: Range) -> Any:
    """Return `value` as a float or float array in SI base units, or raise `ValidityError`."""
    array = to_base(number_in_unit(name, value, rule), rule)
    return float(array) if np.ndim(array) == 0 else array


def one_number(name: str, value: object, rule: Range) -> float:
    """Return `value` as one float in SI base units, as `plain_number`; an array is refused too."""
    number = plain_number(name, value, rule)
    if not isinstance(number, float):
        raise ValidityError(name, "an array", rule.text, rule.source, "is more than one number")
    return number


def number_in_unit(name: str, value: object, rule: Range) -> Any:
    """Return `value` as a float array in the unit of its rule, or raise `ValidityError`."""
    magnitude, unit = _parts(name, value, rule)
    array = _as_floats(name, value, magnitude, rule)
    if unit is not None:
        # After the step to floats: a conversion would hide a bool and round a float32.
        factor, offset = _line(name, value, unit, rule)
        array = array * factor + offset
    _check_range(name, value, array, rule)
    # A value a hair outside, from unit conversion, becomes the end point itself.
    return np.clip(array, rule.low, rule.high)


def to_base(number: Any, rule: Range) -> Any:
    """Return a number in the unit of its rule as one in SI base units."""
    if not rule.unit:
        return number
    factor, offset = line_to(rule.unit, base_unit(rule.unit))
    return number * factor + offset


def from_base(number: Any, rule: Range) -> Any:
    """Return a number in SI base units as one in the unit of its rule."""
    if not rule.unit:
        return number
    factor, offset = line_to(base_unit(rule.unit), rule.unit)
    return number * factor + offset


def one_by_one(function: Callable[..., float], *values: Any) -> Any:
    """Return `function` of each set of numbers: a float for numbers, an array for arrays."""
    if all(np.ndim(value) == 0 for value in values):
        return float(function(*(float(value) for value in values)))
    return np.vectorize(function, otypes=[float])(*values)


def refuse(name: str, value: object, rule: Rule, why: str) -> ValidityError:
    """Return the refusal of a value by its rule."""
    return ValidityError(name, short(value), rule.text, rule.source, why)


def short(value: object) -> str:
    """Return a value as a refusal shows it: never long, and no more than the kind of an array."""
    if not isinstance(value, registry.Quantity):
        return quoted(value)
    text = f"{value:~}" if np.ndim(value.magnitude) == 0 else f"array in {value.units:~}"
    return text if len(text) <= LONGEST_QUOTE else f"{text[: LONGEST_QUOTE - 3]}..."


def _members(annotation: Any) -> list[Any]:
    united = get_origin(annotation) in {typing.Union, types.UnionType}
    return list(get_args(annotation)) if united else [annotation]


def _are_records(classes: list[Any]) -> bool:
    """Return whether these are classes of the package, whose things were checked when made."""
    return bool(classes) and all(
        isinstance(each, type) and each.__module__.startswith("aqualib.") for each in classes
    )


def _fitting_range(name: str, value: object, rule: AnyAmount) -> Range:
    """Return the range, zero and up, in the unit of the rule that has the value's dimension."""
    if not isinstance(value, registry.Quantity):
        return Range(0, float("inf"), rule.units[0], rule.source)
    for unit in rule.units:
        if value.is_compatible_with(unit):
            return Range(0, float("inf"), unit, rule.source)
    raise refuse(name, value, rule, "has the wrong dimension")


def _parts(name: str, value: object, rule: Range) -> tuple[object, str | None]:
    """Return the magnitude and the unit, None for a plain number."""
    is_quantity = hasattr(value, "magnitude") and hasattr(value, "units")
    if not is_quantity:
        if rule.unit:
            hint = f'has no unit; write Q(..., "{rule.unit}")'
            raise refuse(name, value, rule, hint)
        return value, None
    if not isinstance(value, registry.Quantity):
        raise refuse(name, value, rule, "is from another unit registry; use aqualib.units.Q")
    return value.magnitude, str(value.units)


def _line(name: str, value: object, unit: str, rule: Range) -> tuple[float, float]:
    """Return the line from the unit given to the unit of the rule."""
    try:
        factor, offset = line_to(unit, rule.unit or "dimensionless")
    except (DimensionalityError, OffsetUnitCalculusError, NotLinearError):
        wanted = f'a unit such as "{rule.unit}"' if rule.unit else "a plain number without a unit"
        why = f"has the wrong dimension; give {wanted}"
        raise refuse(name, value, rule, why) from None
    if not rule.unit and factor != 1.0 and rule.high > SHARES_UP_TO:
        # 45 percent is 0.45, but a salinity of 35 g/kg is not 0.035.
        raise refuse(name, value, rule, "is no share; give a plain number without a unit")
    return factor, offset


def _as_floats(name: str, value: object, magnitude: object, rule: Range) -> Any:
    try:
        array = np.asarray(magnitude)
    except (ValueError, TypeError):
        raise refuse(name, value, rule, "is not a number or an array of numbers") from None
    if array.dtype.kind not in "iuf":
        raise refuse(name, value, rule, "is not a number or an array of numbers")
    if array.size == 0:
        raise refuse(name, value, rule, "is empty")
    if isinstance(magnitude, np.ma.MaskedArray) and np.ma.is_masked(magnitude):
        raise refuse(name, value, rule, "has masked values")
    return array.astype(float)


def _check_range(name: str, value: object, array: Any, rule: Range) -> None:
    inside = rule.holds(array) & np.isfinite(array)
    if rule.whole:
        inside &= array == np.round(array)
    if np.all(inside):
        return
    if array.ndim == 0:
        why = "is not a finite number" if not np.isfinite(array) else "is out of range"
        raise refuse(name, value, rule, why)
    place = tuple(int(i) for i in np.argwhere(~inside)[0])
    worst = array[place]
    why = "is not a finite number" if not np.isfinite(worst) else "is out of range"
    index = ", ".join(map(str, place))
    shown = f"{worst:g} {rule.unit}".strip()
    raise ValidityError(f"{name}[{index}]", shown, rule.text, rule.source, why)


def _word(name: str, value: object, rule: OneOf) -> str:
    if not isinstance(value, str) or value not in rule.words:
        raise refuse(name, value, rule, "is not one of the choices")
    return value


def _flag(name: str, value: object, rule: YesNo) -> bool:
    if not isinstance(value, bool | np.bool_):
        raise refuse(name, value, rule, "is neither True nor False")
    return bool(value)


def _thing(name: str, value: object, rule: Kind) -> object:
    if not rule.many:
        if isinstance(value, rule.types):
            return value
        raise refuse(name, value, rule, f"is no {rule.name}")
    if not isinstance(value, list | tuple):
        raise refuse(name, value, rule, "is no list or tuple")
    for number, each in enumerate(value):
        if not isinstance(each, rule.types):
            raise refuse(f"{name}[{number}]", each, rule, f"is no {rule.name}")
    return tuple(value)
