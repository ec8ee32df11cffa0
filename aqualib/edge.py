"""The public edge: check and strip units once, compute on plain SI numbers, put the unit back once.

A function is written on plain SI floats or arrays. `public` reads the valid ranges from its
annotations and makes the function the world calls; the plain one stays reachable as `.bare`,
for solvers and panels that have checked their inputs already.
"""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable
from typing import Annotated, Any, Generic, ParamSpec, TypeAlias, get_args, get_origin

import numpy as np
from pint import DimensionalityError, OffsetUnitCalculusError

from aqualib.units import NotLinearError, Quantity, base_unit, line_to, registry
from aqualib.validity import AnyAmount, OneOf, Range, ValidityError, YesNo

P = ParamSpec("P")
Rule: TypeAlias = Range | AnyAmount | OneOf | YesNo
Number: TypeAlias = Any
"""Annotation of a plain number or array without unit."""
Result: TypeAlias = Any
SAME = "same"
"""Given as `returns`: the result comes back in the unit of the argument that is an `AnyAmount`."""
SHARES_UP_TO = 2.0
"""A plain number that may be larger is no share, and not to be given in percent or g/kg."""


class PublicFunction(Generic[P]):
    """A checked function with units at its edge, and its plain SI twin in `.bare`."""

    def __init__(
        self,
        bare: Callable[P, Any],
        returns: str | dict[str, str],
        sources: tuple[str, ...],
        together: Callable[..., None] | None,
    ) -> None:
        functools.update_wrapper(self, bare)
        self.name = bare.__name__
        self.bare = bare
        # Where a worker process finds the bare function: `density` there is this object.
        self.path = bare.__qualname__
        bare.__qualname__ += ".bare"
        self.returns = returns
        self.sources = sources
        self.together = together
        self.signature = inspect.signature(bare, eval_str=True)
        self.rules = {name: _rule(p) for name, p in self.signature.parameters.items()}
        self.__signature__ = self.signature

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> Result:
        """Check the arguments, compute, and return with units."""
        bound = self.signature.bind(*args, **kwargs)
        given = {name: self._plain(name, value) for name, value in bound.arguments.items()}
        # A default is a plain SI number already, the same one that `.bare` falls back on.
        bound.arguments.update(given)
        bound.apply_defaults()
        plain = dict(bound.arguments)
        _check_shapes(plain)
        if self.together is not None:
            self.together(**plain)
        result = self.bare(**plain)  # type: ignore[call-arg]
        if self.returns == SAME:
            return _wrap(self.name, result, self._given_unit(args, kwargs))
        return self._with_units(result)

    def __repr__(self) -> str:
        return f"<{self.__module__}.{self.name}>"

    def __reduce__(self) -> str:
        """Pickle and copy as a function does: by name."""
        return self.path

    def _plain(self, name: str, value: object) -> object:
        rule = self.rules[name]
        if value is None and self.signature.parameters[name].default is None:
            return None
        if isinstance(rule, OneOf):
            return _word(name, value, rule)
        if isinstance(rule, YesNo):
            return _flag(name, value, rule)
        if isinstance(rule, AnyAmount):
            rule = _fitting_range(name, value, rule)
        return plain_number(name, value, rule)

    def _given_unit(self, args: tuple[Any, ...], kwargs: dict[str, Any]) -> str:
        """Return the unit of the argument that may have any of several dimensions."""
        given = self.signature.bind(*args, **kwargs).arguments
        amount = next(n for n, rule in self.rules.items() if isinstance(rule, AnyAmount))
        return str(given[amount].units)

    def _with_units(self, result: Any) -> Result:
        if isinstance(self.returns, str):
            return _wrap(self.name, result, self.returns)
        fields = {
            name: _wrap(f"{self.name}.{name}", getattr(result, name), unit)
            for name, unit in self.returns.items()
        }
        return type(result)(**fields)


def public(
    *,
    returns: str | dict[str, str],
    sources: tuple[str, ...],
    together: Callable[..., None] | None = None,
) -> Callable[[Callable[P, Any]], PublicFunction[P]]:
    """Make a plain SI function public.

    `returns` is the unit given back ("" for a plain number); for a function with several results
    it is a dict from field to unit; `SAME` is the unit of the argument that is an `AnyAmount`.
    `sources` are keys of `references.json`. `together` is called
    with the plain arguments and raises if they do not go together.
    """

    def make(bare: Callable[P, Any]) -> PublicFunction[P]:
        return PublicFunction(bare, returns, sources, together)

    return make


def plain_number(name: str, value: object, rule: Range) -> Any:
    """Return `value` as a float or float array in SI base units, or raise `ValidityError`."""
    magnitude, unit = _parts(name, value, rule)
    array = _as_floats(name, value, magnitude, rule)
    if unit is not None:
        # After the step to floats: a conversion would hide a bool and round a float32.
        factor, offset = _line(name, value, unit, rule)
        array = array * factor + offset
    _check_range(name, value, array, rule)
    # A value a hair outside, from unit conversion, becomes the end point itself.
    array = np.clip(array, rule.low, rule.high)
    if rule.unit:
        factor, offset = line_to(rule.unit, base_unit(rule.unit))
        array = array * factor + offset
    return float(array) if array.ndim == 0 else array


def one_number(name: str, value: object, rule: Range) -> float:
    """Return `value` as one float in SI base units, as `plain_number`; an array is refused too."""
    number = plain_number(name, value, rule)
    if not isinstance(number, float):
        raise ValidityError(name, "an array", rule.text, rule.source, "is more than one number")
    return number


def _rule(parameter: inspect.Parameter) -> Rule:
    if get_origin(parameter.annotation) is Annotated:
        for extra in get_args(parameter.annotation)[1:]:
            if isinstance(extra, Rule):
                return extra
    message = f"parameter {parameter.name!r} has no rule, such as a Range, in its annotation"
    raise TypeError(message)


def _refuse(name: str, value: object, rule: Rule, why: str) -> ValidityError:
    return ValidityError(name, _short(value), rule.text, rule.source, why)


def _short(value: object) -> str:
    text = repr(value)
    if isinstance(value, registry.Quantity):
        text = f"{value:~}" if np.ndim(value.magnitude) == 0 else f"array in {value.units:~}"
    return text if len(text) <= 60 else text[:57] + "..."


def _fitting_range(name: str, value: object, rule: AnyAmount) -> Range:
    """Return the range, zero and up, in the unit of the rule that has the value's dimension."""
    if not isinstance(value, registry.Quantity):
        return Range(0, float("inf"), rule.units[0], rule.source)
    for unit in rule.units:
        if value.is_compatible_with(unit):
            return Range(0, float("inf"), unit, rule.source)
    raise _refuse(name, value, rule, "has the wrong dimension")


def _parts(name: str, value: object, rule: Range) -> tuple[object, str | None]:
    """Return the magnitude and the unit, None for a plain number."""
    is_quantity = hasattr(value, "magnitude") and hasattr(value, "units")
    if not is_quantity:
        if rule.unit:
            hint = f'has no unit; write Q(..., "{rule.unit}")'
            raise _refuse(name, value, rule, hint)
        return value, None
    if not isinstance(value, registry.Quantity):
        raise _refuse(name, value, rule, "is from another unit registry; use aqualib.units.Q")
    return value.magnitude, str(value.units)


def _line(name: str, value: object, unit: str, rule: Range) -> tuple[float, float]:
    """Return the line from the unit given to the unit of the rule."""
    try:
        factor, offset = line_to(unit, rule.unit or "dimensionless")
    except (DimensionalityError, OffsetUnitCalculusError, NotLinearError):
        wanted = f'a unit such as "{rule.unit}"' if rule.unit else "a plain number without a unit"
        why = f"has the wrong dimension; give {wanted}"
        raise _refuse(name, value, rule, why) from None
    if not rule.unit and factor != 1.0 and rule.high > SHARES_UP_TO:
        # 45 percent is 0.45, but a salinity of 35 g/kg is not 0.035.
        raise _refuse(name, value, rule, "is no share; give a plain number without a unit")
    return factor, offset


def _as_floats(name: str, value: object, magnitude: object, rule: Range) -> Any:
    try:
        array = np.asarray(magnitude)
    except (ValueError, TypeError):
        raise _refuse(name, value, rule, "is not a number or an array of numbers") from None
    if array.dtype.kind not in "iuf":
        raise _refuse(name, value, rule, "is not a number or an array of numbers")
    if array.size == 0:
        raise _refuse(name, value, rule, "is empty")
    if isinstance(magnitude, np.ma.MaskedArray) and np.ma.is_masked(magnitude):
        raise _refuse(name, value, rule, "has masked values")
    return array.astype(float)


def _check_range(name: str, value: object, array: Any, rule: Range) -> None:
    inside = rule.holds(array) & np.isfinite(array)
    if rule.whole:
        inside &= array == np.round(array)
    if np.all(inside):
        return
    if array.ndim == 0:
        why = "is not a finite number" if not np.isfinite(array) else "is out of range"
        raise _refuse(name, value, rule, why)
    place = tuple(int(i) for i in np.argwhere(~inside)[0])
    worst = array[place]
    why = "is not a finite number" if not np.isfinite(worst) else "is out of range"
    index = ", ".join(map(str, place))
    shown = f"{worst:g} {rule.unit}".strip()
    raise ValidityError(f"{name}[{index}]", shown, rule.text, rule.source, why)


def _check_shapes(plain: dict[str, Any]) -> None:
    shapes = {name: np.shape(value) for name, value in plain.items() if np.ndim(value) > 0}
    try:
        np.broadcast_shapes(*shapes.values())
    except ValueError:
        names = ", ".join(shapes)
        sizes = ", ".join(str(shape) for shape in shapes.values())
        why = "do not fit together"
        raise ValidityError(
            names, f"shapes {sizes}", "equal shapes, or one number", "", why
        ) from None


def _word(name: str, value: object, rule: OneOf) -> str:
    if not isinstance(value, str) or value not in rule.words:
        raise _refuse(name, value, rule, "is not one of the choices")
    return value


def _flag(name: str, value: object, rule: YesNo) -> bool:
    if not isinstance(value, bool | np.bool_):
        raise _refuse(name, value, rule, "is neither True nor False")
    return bool(value)


def _wrap(name: str, result: Any, unit: str) -> Any:
    if not np.all(np.isfinite(result)):
        why = "came out as no finite number"
        raise ValidityError(f"result of {name}", _short(result), "a finite number", "", why)
    plain = float(result) if np.ndim(result) == 0 else np.asarray(result)
    if not unit:
        return plain
    factor, offset = line_to(base_unit(unit), unit)
    amount: Quantity = registry.Quantity(plain * factor + offset, unit)
    return amount


def one_by_one(function: Callable[..., float], *values: Any) -> Any:
    """Return `function` of each set of numbers: a float for numbers, an array for arrays."""
    if all(np.ndim(value) == 0 for value in values):
        return float(function(*(float(value) for value in values)))
    return np.vectorize(function, otypes=[float])(*values)
