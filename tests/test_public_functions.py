"""What every public function must do with good and with bad input, tried on all of them."""

from __future__ import annotations

import numpy as np
import pytest
from inventory import output_names, public_functions, strong_rows

from aqualib.checks import check_values, read_input
from aqualib.edge import SAME
from aqualib.units import Q, base_unit, registry
from aqualib.validity import AnyAmount, OneOf, Range, ValidityError, YesNo

FUNCTIONS = public_functions()
EACH = pytest.mark.parametrize("path", FUNCTIONS)
NUMERIC = [
    (path, name)
    for path, function in FUNCTIONS.items()
    for name, rule in function.rules.items()
    if isinstance(rule, Range | AnyAmount)
]
# Functions whose result is not worked out element by element, each with the reason.
NOT_ELEMENTWISE: dict[str, str] = {}


def good_input(path: str) -> dict[str, object]:
    """Arguments that the function accepts: those of one of its rows, with defaults filled in."""
    rows = [*strong_rows(path), *(row for row in check_values() if row.function == path)]
    assert rows, f"no row shows how to call {path}"
    function = FUNCTIONS[path]
    bound = function.signature.bind(**{k: read_input(v) for k, v in rows[0].inputs.items()})
    given = set(bound.arguments)
    bound.apply_defaults()
    # A default is in base units already.
    return {
        name: value if name in given else with_base_unit(function.rules[name], value)
        for name, value in bound.arguments.items()
    }


def with_base_unit(rule: object, value: object) -> object:
    unit = getattr(rule, "unit", "")
    return Q(value, base_unit(unit)) if unit and value is not None else value


def has_unit(value: object) -> bool:
    return isinstance(value, registry.Quantity)


def results(path: str, answer: object) -> list[object]:
    names = output_names(FUNCTIONS[path])
    return [answer] if names == [""] else [getattr(answer, name) for name in names]


def magnitudes(path: str, answer: object) -> list[object]:
    return [getattr(result, "magnitude", result) for result in results(path, answer)]


def scaled_to_unit(rule: Range, number: float) -> object:
    return Q(number, rule.unit) if rule.unit else number


def as_range(rule: Range | AnyAmount) -> Range:
    return rule if isinstance(rule, Range) else Range(0, np.inf, rule.units[0])


def bad_values(rule: Range) -> dict[str, object]:
    below = rule.low - max(1.0, abs(rule.low))
    bad = {
        "NaN": scaled_to_unit(rule, np.nan),
        "infinite": scaled_to_unit(rule, np.inf),
        "below": scaled_to_unit(rule, below),
        "empty": Q(np.array([]), rule.unit) if rule.unit else np.array([]),
        "text": "plenty",
        "list of text": ["a", "b"],
        "bool": True,
        "complex": scaled_to_unit(rule, 1j),
        "wrong dimension": Q(1.0, "candela"),
        "object": object(),
        "one bad of three": (
            Q(np.array([np.nan] * 3), rule.unit) if rule.unit else np.array([np.nan] * 3)
        ),
    }
    if np.isfinite(rule.high):
        bad["above"] = scaled_to_unit(rule, rule.high + max(1.0, abs(rule.high)))
    if rule.unit:
        bad["no unit"] = 1.0
        bad["text with a unit"] = f"1 {rule.unit}"
    if rule.whole:
        bad["not whole"] = rule.low + 0.5
    return bad


@pytest.mark.parametrize(("path", "name"), NUMERIC)
def test_bad_numbers_are_refused_by_name(path, name):
    good = good_input(path)
    rule = as_range(FUNCTIONS[path].rules[name])
    for kind, value in bad_values(rule).items():
        error = error_of(path, {**good, name: value})
        assert error is not None, f"{kind} was accepted: {value!r}"
        assert error.parameter.partition("[")[0] == name, f"{kind}: blames {error.parameter}"
        valid = {rule.text, FUNCTIONS[path].rules[name].text}
        assert error.valid in valid, f"{kind}: the message does not give the range"


def error_of(path: str, arguments: dict[str, object]) -> ValidityError | None:
    try:
        FUNCTIONS[path](**arguments)
    except ValidityError as error:
        return error
    return None


@pytest.mark.parametrize(("path", "name"), NUMERIC)
def test_none_is_refused_unless_it_is_the_default(path, name):
    function = FUNCTIONS[path]
    if function.signature.parameters[name].default is not None:
        with pytest.raises(ValidityError, match=name):
            function(**{**good_input(path), name: None})


@EACH
def test_bad_choices_are_refused(path):
    good = good_input(path)
    for name, rule in FUNCTIONS[path].rules.items():
        if isinstance(rule, OneOf | YesNo):
            for value in ("no such word", 1, 0.0, ["x"], np.nan):
                with pytest.raises(ValidityError, match=name):
                    FUNCTIONS[path](**{**good, name: value})


@EACH
def test_numbers_in_numbers_out(path):
    answer = FUNCTIONS[path](**good_input(path))
    returns = FUNCTIONS[path].returns
    units = [returns] if isinstance(returns, str) else list(returns.values())
    for result, unit in zip(results(path, answer), units, strict=True):
        if unit:
            assert isinstance(result, registry.Quantity)
            assert unit == SAME or result.units == registry.Unit(unit)
        number = getattr(result, "magnitude", result)
        if path not in NOT_ELEMENTWISE:
            assert type(number) is float


@EACH
def test_bare_twin_gives_the_same_in_base_units(path):
    function = FUNCTIONS[path]
    good = good_input(path)
    bare = {}
    for name, value in good.items():
        bare[name] = value.m_as(base_unit(str(value.units))) if has_unit(value) else value
    public = results(path, function(**good))
    for ours, plain in zip(public, results(path, function.bare(**bare)), strict=True):
        expected = ours.m_as(base_unit(str(ours.units))) if hasattr(ours, "units") else ours
        np.testing.assert_allclose(plain, expected, rtol=1e-9, atol=1e-300)


@EACH
def test_arrays_give_what_the_single_numbers_give(path):
    """Three copies of each number, one after another and all at once; nothing is changed."""
    if path in NOT_ELEMENTWISE:
        return
    function = FUNCTIONS[path]
    good = good_input(path)
    single = magnitudes(path, function(**good))
    numeric = [name for p, name in NUMERIC if p == path and good[name] is not None]
    copies = {name: repeated(good[name]) for name in numeric}
    before = {name: np.array(getattr(c, "magnitude", c)) for name, c in copies.items()}
    for names in [[name] for name in numeric] + [numeric]:
        several = magnitudes(path, function(**{**good, **{n: copies[n] for n in names}}))
        for one, many in zip(single, several, strict=True):
            # A result that does not depend on this argument may stay a single number.
            assert np.shape(many) in {(3,), ()}, f"shape {np.shape(many)} with {names}"
            np.testing.assert_allclose(many, one, rtol=1e-12)
    for name, copy in copies.items():
        np.testing.assert_array_equal(getattr(copy, "magnitude", copy), before[name])


def repeated(value: object) -> object:
    """Three copies that cannot be written to, so a function that tries is found out."""
    array = np.full(3, getattr(value, "magnitude", value), dtype=float)
    array.flags.writeable = False
    return registry.Quantity(array, value.units) if hasattr(value, "units") else array


@EACH
def test_any_unit_of_the_same_kind_will_do(path):
    function = FUNCTIONS[path]
    good = good_input(path)
    metric = magnitudes(path, function(**good))
    for name, value in good.items():
        if has_unit(value) and function.returns != SAME:
            other = value.to(base_unit(str(value.units)))
            again = magnitudes(path, function(**{**good, name: other}))
            np.testing.assert_allclose(again, metric, rtol=1e-7, atol=1e-12)


def test_exceptions_are_functions():
    assert set(NOT_ELEMENTWISE) <= set(FUNCTIONS)
