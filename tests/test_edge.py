"""The public edge: what it takes, what it refuses and how it says so, what it gives back."""

from __future__ import annotations

import copy
import pickle
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, NamedTuple

import numpy as np
import pandas as pd
import pint
import pytest

from aqualib.arguments import one_number, plain_number
from aqualib.edge import SAME, model, public
from aqualib.units import Amount, Number, Q, registry
from aqualib.validity import AnyAmount, Kind, OneOf, Range, ValidityError, YesNo
from aqualib.water.properties import density


def _check_not_equal(a: Any, b: Any) -> None:
    if np.any(np.asarray(a) == np.asarray(b)):
        raise ValidityError("a", a, "not equal to b", "", "is equal to b")


@public(returns="cm", sources=("Someone2000",))
def stretch(
    length: Annotated[Amount, Range(0, 10, "m", "Someone2000")],
    factor: Annotated[Number, Range(1, 5)] = 2.0,
    direction: Annotated[str, OneOf(("up", "down"))] = "up",
    doubled: Annotated[bool, YesNo()] = False,
) -> Any:
    """Return a stretched length."""
    sign = 1.0 if direction == "up" else -1.0
    return sign * length * factor * (2.0 if doubled else 1.0)


@public(returns="", sources=())
def warmth(temperature: Annotated[Amount, Range(0, 50, "degC")]) -> Any:
    """Return kelvin as a plain number."""
    return temperature


@public(returns="degC", sources=())
def same(temperature: Annotated[Amount, Range(0, 50, "degC")]) -> Any:
    """Return the temperature."""
    return temperature


@public(returns="", sources=(), together=_check_not_equal)
def ratio(a: Annotated[Number, Range(0, 10)], b: Annotated[Number, Range(0, 10)]) -> Any:
    """Return a / b."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.float64(a) / b


@public(returns="", sources=())
def share(part: Annotated[Number, Range(0, 1)]) -> Any:
    """Return the share."""
    return part


@public(returns="", sources=())
def count(n: Annotated[Number, Range(1, 9, whole=True)] = None) -> Any:
    """Return n, or seven."""
    return 7.0 if n is None else n


@public(returns=SAME, sources=())
def half(amount: Annotated[Amount, AnyAmount(("mg/L", "g", "g/day"))]) -> Any:
    """Return half, in the unit given."""
    return amount / 2.0


@public(returns="kPa", sources=())
def push(pressure: Annotated[Amount, Range(50, 120, "kPa")] = 101325.0) -> Any:
    """Return the pressure."""
    return pressure


class Two(NamedTuple):
    """Two results."""

    size: Any
    share: Any


@public(returns={"size": "mm", "share": ""}, sources=())
def split(length: Annotated[Amount, Range(0, 10, "m")]) -> Any:
    """Return two results."""
    return Two(length / 2.0, 0.0 * length + 0.5)


# --- what it takes


def test_any_unit_of_length():
    for quantity in (Q(1, "m"), Q(100, "cm"), Q(1 / 0.0254, "inch"), Q(1 / 0.3048, "ft")):
        assert stretch(quantity).m == pytest.approx(200.0)
        assert str(stretch(quantity).units) == "centimeter"


def test_fahrenheit_and_kelvin():
    for quantity in (Q(25, "degC"), Q(77, "degF"), Q(298.15, "kelvin")):
        assert warmth(quantity) == pytest.approx(298.15)
        assert same(quantity).m == pytest.approx(25.0)
        assert same(quantity).units == registry.degC


def test_end_points_survive_conversion():
    assert warmth(Q(122, "degF")) == pytest.approx(323.15)
    assert warmth(Q(32, "degF")) == pytest.approx(273.15)
    assert stretch(Q(10 / 0.3048, "ft")).m == pytest.approx(2000.0)


def test_scalars_give_plain_floats():
    for value in (2, 2.0, np.float32(2), np.int64(2), np.array(2.0)):
        assert type(stretch(Q(1, "m"), value).m) is float
    assert type(ratio(1, 2)) is float


def test_arrays_lists_and_tuples():
    for values in ([1, 2, 3], (1, 2, 3), np.array([1, 2, 3]), np.array([1.0, 2.0, 3.0])):
        np.testing.assert_allclose(ratio(values, 4), [0.25, 0.5, 0.75])
        np.testing.assert_allclose(stretch(Q(values, "m")).m, [200, 400, 600])
    assert ratio(np.ones((2, 3)), 4).shape == (2, 3)
    assert ratio(np.ones(1), 4).shape == (1,)


def test_broadcasting():
    result = stretch(Q(np.array([[1.0], [2.0]]), "m"), np.array([1.0, 2.0, 3.0]))
    assert result.m.shape == (2, 3)
    assert result.m[1, 2] == pytest.approx(600.0)


def test_pandas_series():
    np.testing.assert_allclose(ratio(pd.Series([1.0, 2.0], index=[5, 9]), 4), [0.25, 0.5])
    np.testing.assert_allclose(stretch(Q(pd.Series([1.0, 2.0]).to_numpy(), "m")).m, [200, 400])


def test_masked_array_without_masked_values():
    assert ratio(np.ma.array([1.0, 2.0], mask=[False, False]), 4).tolist() == [0.25, 0.5]


def test_dimensionless_quantity_for_a_plain_number():
    assert ratio(Q(1, ""), Q(2, "kg/kg")) == 0.5
    assert share(Q(45, "percent")) == pytest.approx(0.45)
    assert share(Q(450, "g/kg")) == pytest.approx(0.45)


@pytest.mark.parametrize("unit", ["g/kg", "percent", "permille", "ppm", "dB"])
def test_a_number_that_is_no_share_comes_in_no_such_unit(unit):
    # A salinity of 35 g/kg is not 0.035.
    with pytest.raises(ValidityError, match=r"a = .* give a plain number without a unit"):
        ratio(Q(5, unit), 1)


def test_a_difference_of_temperatures_is_no_temperature():
    for unit in ("delta_degC", "delta_degF"):
        with pytest.raises(ValidityError, match="wrong dimension"):
            warmth(Q(300, unit))


def test_narrow_numbers_are_widened_before_their_unit_is_changed():
    for kind in (np.float16, np.float32, np.int8, np.uint8):
        assert warmth(Q(kind(122), "degF")) == pytest.approx(323.15, abs=1e-9)
        assert stretch(Q(np.array([5], kind), "m")).m.tolist() == [1000.0]
    assert stretch(Q(np.float32(0.1), "m")).m == pytest.approx(20.0, rel=1e-7)


def test_defaults_and_keywords():
    assert stretch(Q(1, "m")).m == pytest.approx(200.0)
    assert stretch(factor=3, length=Q(1, "m"), direction="down").m == pytest.approx(-300.0)
    assert stretch(Q(1, "m"), doubled=True).m == pytest.approx(400.0)
    assert stretch(Q(1, "m"), doubled=np.True_).m == pytest.approx(400.0)


def test_default_is_in_base_units_as_for_the_bare_twin():
    assert push().m == pytest.approx(101.325)
    assert push.bare() == 101325.0
    with pytest.raises(ValidityError, match=r"pressure = 101325.0 has no unit"):
        push(101325.0)


def test_none_stands_for_a_default_of_none():
    assert count() == count(None) == 7.0
    assert count(3) == 3.0


def test_amount_of_any_listed_kind_comes_back_in_its_own_unit():
    assert half(Q(3, "mg/L")) == Q(1.5, "mg/L")
    assert half(Q(3, "ounce")).m == pytest.approx(1.5)
    assert str(half(amount=Q(3, "ounce")).units) == "ounce"
    assert half(Q([2.0, 4.0], "kg/hour")).m.tolist() == pytest.approx([1.0, 2.0])


BAD_AMOUNTS = [
    3,
    "3 g",
    None,
    True,
    [],
    Q(3, "m"),
    Q(-1, "g"),
    Q(np.nan, "g"),
    Q(np.inf, "mg/L"),
    Q([], "g"),
    Q([1.0, -1.0], "g"),
    pint.UnitRegistry(cache_folder=None).Quantity(1, "g"),
]


@pytest.mark.parametrize("value", BAD_AMOUNTS, ids=range(len(BAD_AMOUNTS)))
def test_bad_amounts(value):
    with pytest.raises(ValidityError, match=r"^amount"):
        half(value)


def test_several_results():
    result = split(Q(1, "m"))
    assert isinstance(result, Two)
    assert result.size.m == pytest.approx(500.0)
    assert result.size.units == registry.mm
    assert result.share == 0.5
    assert split(Q([1, 2], "m")).size.m.tolist() == [500.0, 1000.0]


def test_inputs_are_never_changed():
    values = np.array([1.0, 2.0])
    quantity = Q(values, "m")
    stretch(quantity)
    plain_number("length", quantity, Range(0, 1000, "cm"))
    assert values.tolist() == [1.0, 2.0]
    assert str(quantity.units) == "meter"


def test_result_does_not_share_memory_with_the_input():
    values = np.array([20.0, 30.0])
    same(Q(values, "degC")).m[0] = 0.0
    count_in = np.array([2.0, 3.0])
    result = count(count_in)
    result[0] = 99.0
    assert values.tolist() == [20.0, 30.0]
    assert count_in.tolist() == [2.0, 3.0]


def test_bare_takes_base_units_and_checks_nothing():
    assert stretch.bare(1.0) == 2.0
    assert stretch.bare(-5.0) == -10.0
    assert warmth.bare(0.0) == 0.0


# --- what it refuses


def numbered(values: list[object]) -> list[str]:
    return [f"{place}-{type(value).__name__}" for place, value in enumerate(values)]


BAD_NUMBERS = [
    np.nan,
    np.inf,
    -np.inf,
    0.5,
    5.1,
    None,
    True,
    np.True_,
    "2",
    b"2",
    1j,
    object(),
    [],
    np.array([]),
    [[]],
    [1, [2, 3]],
    ["1", "2"],
    [1, None],
    [True, True],
    {"a": 1},
    {1, 2},
    Decimal(2),
    Fraction(2),
    np.array([1, 2], dtype=object),
    np.datetime64("2020-01-01"),
    np.ma.array([1.0, 2.0], mask=[True, False]),
    pd.Series([1.0, np.nan]),
    pd.Series([1, None], dtype="Int64"),
    Q(2, "m"),
    Q(2, "degC"),
]


@pytest.mark.parametrize("value", BAD_NUMBERS, ids=numbered(BAD_NUMBERS))
def test_bad_plain_numbers(value):
    with pytest.raises(ValidityError) as caught:
        stretch(Q(1, "m"), value)
    assert caught.value.parameter.startswith("factor")
    assert "Valid: 1 to 5" in str(caught.value)


BAD_LENGTHS = [
    1,
    1.0,
    [1.0],
    np.array([1.0]),
    "1 m",
    None,
    True,
    Q(11, "m"),
    Q(-1, "m"),
    Q(np.nan, "m"),
    Q(np.inf, "m"),
    Q(1, "kg"),
    Q(1, ""),
    Q(1, "degC"),
    Q([], "m"),
    Q([1.0, np.nan], "m"),
    Q(1j, "m"),
    Q(np.array([True]), "km"),
    Q(Decimal(1), "ft"),
    Q(Fraction(1), "ft"),
    Q(10**400, "ft"),
    Q(np.ma.array([1.0, 2.0], mask=[True, False]), "m"),
    pint.UnitRegistry(cache_folder=None).Quantity(1, "m"),
    registry.m,
]


@pytest.mark.parametrize("value", BAD_LENGTHS, ids=numbered(BAD_LENGTHS))
def test_bad_quantities(value):
    with pytest.raises(ValidityError) as caught:
        stretch(value)
    error = caught.value
    assert error.parameter.startswith("length")
    assert error.valid == "0 to 10 m"
    assert error.source == "Someone2000"
    assert str(error).startswith(error.parameter)
    assert "Someone2000" in str(error)


@pytest.mark.parametrize("value", ["sideways", "", None, 1, True, ["up"], np.nan, b"up", "UP"])
def test_bad_words(value):
    with pytest.raises(ValidityError, match=r'direction .* Valid: "up" or "down"'):
        stretch(Q(1, "m"), direction=value)


@pytest.mark.parametrize("value", [0, 1, None, "True", [True], np.nan, 1.0])
def test_bad_flags(value):
    with pytest.raises(ValidityError, match=r"doubled .* Valid: True or False"):
        stretch(Q(1, "m"), doubled=value)


@pytest.mark.parametrize("value", [1.5, 0, 10, [1, 2.5], "3", True])
def test_bad_counts(value):
    with pytest.raises(ValidityError, match=r"^n"):
        count(value)


def test_message_teaches_the_unit():
    with pytest.raises(ValidityError, match=r'length = 3 has no unit; write Q\(..., "m"\)'):
        stretch(3)
    with pytest.raises(ValidityError, match='wrong dimension; give a unit such as "m"'):
        stretch(Q(3, "kg"))
    with pytest.raises(ValidityError, match="another unit registry"):
        stretch(pint.UnitRegistry(cache_folder=None).Quantity(1, "m"))


def test_message_shows_value_range_and_source():
    with pytest.raises(ValidityError) as caught:
        stretch(Q(11, "m"))
    assert str(caught.value) == (
        "length = 11 m is out of range. Valid: 0 to 10 m (source of the range: Someone2000)."
    )


def test_message_points_at_the_bad_element():
    with pytest.raises(ValidityError, match=r"length\[1\] = 12 m is out of range"):
        stretch(Q([1.0, 12.0, 13.0], "m"))
    with pytest.raises(ValidityError, match=r"length\[1, 0\] = nan m is not a finite number"):
        stretch(Q([[1.0], [np.nan]], "m"))


def test_long_values_are_cut_short_in_the_message():
    with pytest.raises(ValidityError) as caught:
        ratio("x" * 1000, 1)
    assert len(str(caught.value)) < 200


def test_shapes_that_do_not_fit():
    with pytest.raises(ValidityError, match=r"length, factor = shapes \(2,\), \(3,\) do not fit"):
        stretch(Q([1.0, 2.0], "m"), [1.0, 2.0, 3.0])


def test_arguments_that_do_not_go_together():
    with pytest.raises(ValidityError, match=r"a = 3.0 is equal to b"):
        ratio(3, 3)


def test_result_that_is_no_number():
    with pytest.raises(ValidityError, match=r"result of ratio .* no finite number"):
        ratio(3, 0)
    with pytest.raises(ValidityError, match="result of ratio"):
        ratio([1, 3], [2, 0])


def test_wrong_call_is_a_type_error():
    with pytest.raises(TypeError, match="missing"):
        stretch()
    with pytest.raises(TypeError, match="unexpected"):
        stretch(Q(1, "m"), colour="red")


def test_parameter_without_a_rule_is_refused_when_the_function_is_made():
    with pytest.raises(TypeError, match="'x' has no rule"):

        @public(returns="", sources=())
        def forgotten(x: float) -> Any:
            return x


def test_a_long_quantity_is_cut_short_in_the_message():
    with pytest.raises(ValidityError) as caught:
        stretch(Q(10**400, "m"))
    assert len(str(caught.value)) < 200


# --- what others read of it


def test_a_function_and_its_bare_twin_reach_a_worker_process():
    for function in (density, density.bare, grow_a_dot):
        assert pickle.loads(pickle.dumps(function)) is function
        assert copy.deepcopy(function) is function


def test_what_a_reader_sees():
    assert stretch.name == stretch.__name__ == "stretch"
    assert stretch.__doc__.startswith("Return a stretched length.\n\nParameters\n")
    assert str(stretch.__signature__) == "(length, factor=2.0, direction='up', doubled=False)"
    assert repr(stretch) == f"<{__name__}.stretch>"
    assert list(stretch.signature.parameters) == ["length", "factor", "direction", "doubled"]
    assert stretch.sources == ("Someone2000",)
    assert stretch.rules["length"].text == "0 to 10 m"
    assert count.rules["n"].text == "1 to 9 (whole number)"


# --- a result that grows beyond all numbers in the unit given back


@public(returns="mm", sources=())
def long_way(length: Annotated[Amount, Range(0, float("inf"), "m")]) -> Any:
    """Return the length."""
    return length


def test_no_infinity_comes_back():
    with pytest.raises(ValidityError, match="result of long_way"):
        long_way(Q(1.7e308, "m"))


# --- runs of one case


@dataclass(frozen=True)
class Dot:
    """A thing that is checked when it is made."""

    size: float


class Grown(NamedTuple):
    """What a run gives: numbers, a record of numbers, and words."""

    size: Any
    spread: Any
    never: Any
    ended_by: str


@model(returns={"size": "mm", "spread": "mm", "never": "day"})
def grow_a_dot(
    dot: Annotated[Dot, Kind((Dot,))],
    others: Annotated[Any, Kind((Dot,), many=True)],
    time: Annotated[Amount, Range(0, 10, "day")],
    share: Annotated[Number, Range(0, 1)] = None,
    steps: int = 3,
) -> Grown:
    """Return a dot that has grown."""
    grown = (
        (dot.size + sum(each.size for each in others)) * time * (1.0 if share is None else share)
    )
    return Grown(grown, Two(grown / 2.0, 2.0 * grown), float("inf"), f"{steps} steps")


def test_a_run_takes_things_and_gives_quantities():
    day = 86400.0
    run = grow_a_dot(Dot(1.0 / day), [Dot(1.0 / day)], Q(24, "hour"), share=0.5)
    assert run.size.m_as("mm") == pytest.approx(1000.0)
    assert type(run.spread) is Two
    assert run.spread.share.m_as("m") == pytest.approx(2.0)
    assert run.never.m == float("inf")
    assert run.ended_by == "3 steps"
    bare = grow_a_dot.bare(Dot(1.0 / day), (), day)
    assert bare.size == pytest.approx(1.0)
    assert bare.never == float("inf")


def test_a_run_refuses_in_words():
    good = {"dot": Dot(1.0), "others": (), "time": Q(1, "day")}
    bad = {
        "dot": [None, 1, "dot", [Dot(1.0)]],
        "others": [None, Dot(1.0), "dots", 1],
        "time": [None, 1.0, Q(1, "m"), Q(11, "day"), Q([1, 2], "day"), Q(np.nan, "day")],
        "share": [2.0, "all", np.array([0.1, 0.2])],
    }
    for name, values in bad.items():
        for value in values:
            with pytest.raises(ValidityError) as caught:
                grow_a_dot(**{**good, name: value})
            assert caught.value.parameter == name
    with pytest.raises(ValidityError, match=r"others\[1\] = 'x' is no Dot"):
        grow_a_dot(**{**good, "others": [Dot(1.0), "x"]})


def test_one_number_refuses_an_array():
    assert one_number("size", Q(2, "m"), Range(0, 5, "m")) == 2.0
    with pytest.raises(ValidityError, match="size = an array is more than one number"):
        one_number("size", Q([1, 2], "m"), Range(0, 5, "m"))
