"""The edge of records: checked once, had plain ever after, and made from plain numbers."""

from __future__ import annotations

import copy
import importlib
import pickle
from dataclasses import MISSING, FrozenInstanceError, dataclass, fields, replace
from typing import Annotated, Any

import numpy as np
import pytest
from inventory import module_names

from aqualib.parameters import parameter
from aqualib.records import Checked, Row
from aqualib.units import Amount, Number, Q, registry
from aqualib.validity import Kind, OneOf, Range, ValidityError, YesNo


@dataclass(frozen=True, eq=False)
class Box(Checked):
    """A box."""

    length: Annotated[Amount, Range(0, 10, "m")]
    warmth: Annotated[Amount, Range(0, 50, "degC")] = None
    water: Annotated[Amount, Range(1, 1000, "L"), Row("tank_volume")] = None
    share: Annotated[Number, Range(0, 1)] = 0.5
    colour: Annotated[str, OneOf(("red", "blue"))] = "red"
    open: Annotated[bool, YesNo()] = True
    within: Any = ()

    def check(self):
        if self.own.length == 3.0:
            raise ValidityError("length", "3 m", "anything else", "", "is three")


def test_fields_stay_as_given_and_are_had_plain():
    box = Box(Q(200, "cm"), Q(77, "degF"), share=0.25)
    assert str(box.length.units) == "centimeter"
    assert box.own.length == box.bare.length == 2.0
    assert box.own.warmth == pytest.approx(25.0)
    assert box.bare.warmth == pytest.approx(298.15)
    assert (box.own.share, box.bare.colour, box.own.open, box.own.within) == (0.25, "red", True, ())


def test_left_out():
    box = Box(Q(1, "m"))
    assert box.water == parameter("tank_volume").quantity
    assert box.bare.water == pytest.approx(parameter("tank_volume").bare)
    assert box.warmth is box.own.warmth is box.bare.warmth is None


def test_what_is_given_in_the_unit_of_the_range_stays_exact():
    assert Box(Q(0.1, "m")).own.length == 0.1


def test_from_bare_is_the_record_of_the_quantities():
    box = Box.from_bare(length=2.0, warmth=298.15, water=0.1, colour="blue")
    same = Box(Q(2, "m"), Q(25, "degC"), Q(100, "L"), colour="blue")
    assert box.length == same.length
    assert box.warmth.m_as("degC") == pytest.approx(25.0)
    np.testing.assert_allclose(box.bare[:4], same.bare[:4])
    np.testing.assert_allclose(box.own[:4], same.own[:4])
    assert box.bare[4:] == same.bare[4:]


def test_with_bare_changes_what_is_named_and_nothing_else():
    box = Box(Q(2, "m"), Q(25, "degC"))
    other = box.with_bare(length=4.0)
    assert (other.length, other.bare.length) == (Q(4, "m"), 4.0)
    assert other.warmth is box.warmth
    assert box.bare.length == 2.0
    assert other != box
    # A solver may look beyond the range.
    assert box.with_bare(length=12.0).length == Q(12, "m")


def test_equal_fields_are_equal_records():
    assert Box(Q(2, "m")) == Box(Q(200, "cm"))
    assert hash(Box(Q(2, "m"))) == hash(Box(Q(2, "m")))


def test_replace_checks_again():
    box = Box(Q(2, "m"))
    assert replace(box, share=0.1).own.share == 0.1
    with pytest.raises(ValidityError, match="share = 2 is out of range"):
        replace(box, share=2)


def test_copies_and_pickles_are_whole():
    box = Box(Q(2, "m"), share=0.25)
    for other in (copy.copy(box), copy.deepcopy(box), pickle.loads(pickle.dumps(box))):
        assert other == box
        assert (other.own, other.bare) == (box.own, box.bare)


def test_nothing_changes_afterwards():
    box = Box(Q(2, "m"))
    with pytest.raises(FrozenInstanceError):
        box.share = 0.1
    with pytest.raises(AttributeError):
        box.bare.share = 0.1


BAD = {
    "length": [None, 2.0, Q(1, "kg"), Q(11, "m"), Q(np.nan, "m"), Q([1, 2], "m"), "2 m", True],
    "warmth": [25, Q(60, "degC")],
    "water": [Q(0, "L"), 100],
    "share": [None, 1.5, "half", np.array([0.1, 0.2])],
    "colour": ["green", None, 1],
    "open": [1, None, "yes"],
}


@pytest.mark.parametrize("name", BAD)
def test_bad_fields_are_refused_by_name(name):
    for value in BAD[name]:
        with pytest.raises(ValidityError) as caught:
            Box(**{"length": Q(1, "m"), name: value})
        assert caught.value.parameter == name


def test_bad_plain_numbers_are_refused_too():
    for bare in ({"length": 11.0}, {"length": float("nan")}, {"warmth": 25.0}):
        with pytest.raises(ValidityError, match=f"{next(iter(bare))} = .* is out of range"):
            Box.from_bare(**{"length": 1.0, **bare})


def test_fields_that_do_not_go_together():
    for make in (lambda: Box(Q(3, "m")), lambda: Box.from_bare(length=3.0)):
        with pytest.raises(ValidityError, match="is three"):
            make()


def test_a_record_meets_no_quantity_once_it_is_made(monkeypatch):
    """Reading plain numbers costs nothing: pint is not asked again."""
    box = Box(Q(2, "m"))
    monkeypatch.setattr(registry, "Quantity", None)
    assert (box.bare.length, box.own.length) == (2.0, 2.0)


# --- all records of the package


def records() -> list[type[Checked]]:
    """Every kind of record, those that only stand for others left out."""
    for name in module_names("water", "filtration", "tank"):
        importlib.import_module(name)
    found, waiting = [], [Checked]
    while waiting:
        new = waiting.pop().__subclasses__()
        waiting += new
        found += [each for each in new if each.__module__.startswith("aqualib.")]
    return [each for each in found if not each.__subclasses__()]


def middle(rule):
    """A value that a field takes."""
    match rule:
        case Range():
            number = (
                rule.low if rule.high > 1e3 * max(rule.low, 1.0) else 0.5 * (rule.low + rule.high)
            )
            return Q(number, rule.unit) if rule.unit else number
        case OneOf():
            return rule.words[0]
        case YesNo():
            return True
        case Kind(many=True):
            return (rule.types[0](**good_fields(rule.types[0])),)
    return ()


def good_fields(kind):
    """A good value for each field that a record needs."""
    needed = {f.name for f in fields(kind) if f.default is MISSING}
    return {name: middle(kind.rules()[name]) for name in needed}


def bad_values(rule):
    if not isinstance(rule, Range):
        return ["no such word", 1, 0.5, np.nan, object()]
    numbers = [np.nan, np.inf, rule.low - max(1.0, abs(rule.low)), [rule.low, rule.low]]
    numbers += [rule.high + max(1.0, abs(rule.high))] if np.isfinite(rule.high) else []
    with_unit = [Q(each, rule.unit) if rule.unit else each for each in numbers]
    return [*with_unit, *([rule.low] if rule.unit else []), Q(1, "candela"), "much", True, object()]


def test_every_record_refuses_bad_fields_by_name():
    kinds, quiet = records(), []
    assert {"Scenario", "FilterSystem", "Dose", "WaterChange"} <= {kind.__name__ for kind in kinds}
    for kind in kinds:
        assert kind.__eq__ is Checked.__eq__, f"{kind.__name__} compares quantities: eq=False"
        rules = kind.rules()
        good = good_fields(kind)
        needed = set(good)
        kind(**good)
        for name, rule in [(name, rule) for name, rule in rules.items() if rule is not None]:
            optional = name not in needed and kind.__dataclass_fields__[name].default is None
            for value in [*bad_values(rule), *([] if optional else [None])]:
                try:
                    kind(**{**good, name: value})
                except ValidityError as error:
                    if error.parameter.partition("[")[0].rpartition(".")[2] != name:
                        quiet.append(f"{kind.__name__}.{name} = {value!r} blames {error.parameter}")
                else:
                    quiet.append(f"{kind.__name__}.{name} = {value!r} was taken")
    assert quiet == []
