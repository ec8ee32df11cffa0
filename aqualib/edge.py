"""The public edge: check and strip units once, compute on plain SI numbers, put the unit back once.

A function is written on plain SI floats or arrays. `public` reads the valid ranges from its
annotations and makes the function the world calls; the plain one stays reachable as `.bare`,
for solvers and panels that have checked their inputs already. `model` does the same for a run of
one case, which also takes things such as pumps and pads. Records have the same edge: see
`records`.
"""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, ClassVar, Generic, ParamSpec, TypeVar

import numpy as np

from aqualib import docstrings
from aqualib.arguments import admits_none, plain, rule_of, short
from aqualib.units import Quantity, base_unit, line_to, registry
from aqualib.validity import AnyAmount, Range, Rule, ValidityError

P = ParamSpec("P")
R = TypeVar("R")

SAME = "same"
"""Given as `returns`: the result comes back in the unit of the argument that is an `AnyAmount`."""


class PublicFunction(Generic[P, R]):
    """A checked function with units at its edge, and its plain SI twin in `.bare`."""

    one_case: ClassVar[bool] = False
    """Whether arrays of numbers are refused."""

    def __init__(
        self,
        bare: Callable[P, R],
        returns: str | Mapping[str, str],
        sources: tuple[str, ...],
        together: Callable[..., None] | None,
    ) -> None:
        functools.update_wrapper(self, bare)
        self.name = bare.__name__
        self.bare: Callable[..., R] = bare
        # Where a worker process finds the bare function: `density` there is this object.
        self.path = bare.__qualname__
        bare.__qualname__ += ".bare"
        self.returns = returns
        self.sources = sources
        self.together = together
        self.signature = inspect.signature(bare, eval_str=True)
        self.rules = {name: self._rule(p) for name, p in self.signature.parameters.items()}
        # What a reader sees: names and defaults; the ranges stand in the docstring.
        empty = inspect.Parameter.empty
        shown = [p.replace(annotation=empty) for p in self.signature.parameters.values()]
        self.__signature__ = inspect.Signature(shown)

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> Any:
        """Check the arguments, compute, and return with units."""
        bound = self.signature.bind(*args, **kwargs)
        given = {name: self._plain(name, value) for name, value in bound.arguments.items()}
        # A default is a plain SI number already, the same one that `.bare` falls back on.
        bound.arguments.update(given)
        bound.apply_defaults()
        _check_shapes(dict(bound.arguments))
        if self.together is not None:
            self.together(**bound.arguments)
        result = self.bare(*bound.args, **bound.kwargs)
        if self.returns == SAME:
            return _wrap(self.name, result, self._given_unit(args, kwargs))
        return self._with_units(result)

    def __repr__(self) -> str:
        return f"<{self.__module__}.{self.name}>"

    def __reduce__(self) -> str:
        """Pickle and copy as a function does: by name."""
        return self.path

    @property
    def __doc__(self) -> str:
        """The docstring, with what the signature says put in."""
        text = self.bare.__doc__ or ""
        return docstrings.composed(text, self.signature, self.rules, self.returns)

    @__doc__.setter
    def __doc__(self, text: str) -> None:
        """Take no other."""

    def _rule(self, parameter: inspect.Parameter) -> Rule | None:
        rule = rule_of(parameter.annotation)
        if rule is None:
            message = f"parameter {parameter.name!r} has no rule, such as a Range"
            raise TypeError(message)
        return rule

    def _plain(self, name: str, value: object) -> object:
        rule = self.rules[name]
        if value is None and self.signature.parameters[name].default is None:
            return None
        return value if rule is None else plain(name, value, rule)

    def _given_unit(self, args: tuple[Any, ...], kwargs: dict[str, Any]) -> str:
        """Return the unit of the argument that may have any of several dimensions."""
        given = self.signature.bind(*args, **kwargs).arguments
        amount = next(n for n, rule in self.rules.items() if isinstance(rule, AnyAmount))
        return str(given[amount].units)

    def _with_units(self, result: Any) -> Any:
        if isinstance(self.returns, str):
            return _wrap(self.name, result, self.returns)
        fields = {
            name: _wrap(f"{self.name}.{name}", getattr(result, name), unit)
            for name, unit in self.returns.items()
        }
        return type(result)(**fields)


def public(
    *,
    returns: str | Mapping[str, str],
    sources: tuple[str, ...],
    together: Callable[..., None] | None = None,
) -> Callable[[Callable[P, R]], PublicFunction[P, R]]:
    """Make a plain SI function public.

    `returns` is the unit given back ("" for a plain number); for a function with several results
    it is a dict from field to unit; `SAME` is the unit of the argument that is an `AnyAmount`.
    `sources` are keys of `references.json`. `together` is called
    with the plain arguments and raises if they do not go together.
    """

    def make(bare: Callable[P, R]) -> PublicFunction[P, R]:
        return PublicFunction(bare, returns, sources, together)

    return make


class Model(PublicFunction[P, R]):
    """A run of one case: single numbers, and things that have been checked when they were made.

    Only the fields named in `returns` get units; a field may hold a record of numbers.
    """

    one_case = True

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Check the arguments, compute, and return with units."""
        return super().__call__(*args, **kwargs)

    def _rule(self, parameter: inspect.Parameter) -> Rule | None:
        return rule_of(parameter.annotation)

    def _plain(self, name: str, value: object) -> object:
        if value is None and admits_none(self.signature.parameters[name].annotation):
            return None
        rule, found = self.rules[name], super()._plain(name, value)
        if isinstance(found, np.ndarray) and isinstance(rule, Range):
            raise ValidityError(name, "an array", rule.text, rule.source, "is more than one number")
        return found

    def _with_units(self, result: Any) -> Any:
        return with_units(result, self.returns)


def model(
    *, returns: str | Mapping[str, str], together: Callable[..., None] | None = None
) -> Callable[[Callable[P, R]], Model[P, R]]:
    """Make a run on plain SI numbers one that takes and gives quantities."""

    def make(bare: Callable[P, R]) -> Model[P, R]:
        return Model(bare, returns, (), together)

    return make


def with_units(result: Any, units: str | Mapping[str, str]) -> Any:
    """Return a result in SI units with the fields named in `units` as quantities."""
    if isinstance(units, str):
        return _quantity(result, units)
    if type(result) is tuple:
        return tuple(with_units(each, units) for each in result)
    shown = {name: _quantity(getattr(result, name), unit) for name, unit in units.items()}
    change = result._replace if hasattr(result, "_replace") else functools.partial(replace, result)
    return change(**shown)


def _check_shapes(plain: dict[str, Any]) -> None:
    shapes = {name: np.shape(v) for name, v in plain.items() if isinstance(v, np.ndarray)}
    try:
        np.broadcast_shapes(*shapes.values())
    except ValueError:
        names = ", ".join(shapes)
        sizes = ", ".join(str(shape) for shape in shapes.values())
        why = "do not fit together"
        raise ValidityError(
            names, f"shapes {sizes}", "equal shapes, or one number", "", why
        ) from None


def _quantity(value: Any, unit: str) -> Any:
    """Return a number, or each number of a record, as a quantity; nothing stays nothing."""
    if value is None or not unit:
        return value
    if isinstance(value, dict):
        return {name: _quantity(each, unit) for name, each in value.items()}
    if isinstance(value, tuple):
        parts = [_quantity(each, unit) for each in value]
        return type(value)(*parts) if hasattr(value, "_fields") else tuple(parts)
    factor, offset = line_to(base_unit(unit), unit)
    return registry.Quantity(value * factor + offset, unit)


def _wrap(name: str, result: Any, unit: str) -> Any:
    shown = float(result) if np.ndim(result) == 0 else np.asarray(result)
    if unit:
        factor, offset = line_to(base_unit(unit), unit)
        shown = shown * factor + offset
    # After the step to the unit given back, in which a number can still grow beyond all bounds.
    if not np.all(np.isfinite(shown)):
        why = "came out as no finite number"
        raise ValidityError(f"result of {name}", short(result), "a finite number", "", why)
    if not unit:
        return shown
    amount: Quantity = registry.Quantity(shown, unit)
    return amount
