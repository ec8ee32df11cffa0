"""What a learner types is read in any unit, with either decimal sign, or refused in words."""

import pytest

from aqualib.lesson.asking.typed import KNOWN, NotReadError, WrongUnitError, read
from aqualib.units import Q, registry, set_units


@pytest.fixture(autouse=True)
def _metric():
    set_units("metric")
    yield
    set_units("metric")


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("12 gal", "L", 45.4249),
        ("12 US gal", "L", 45.4249),
        ("10 imp gal", "L", 45.4609),
        ("45 L", "L", 45),
        ("45litres", "L", 45),
        ("0,5", "mg/L", 0.5),
        (",5", "mg/L", 0.5),
        ("0.5 mg N/L", "mg/L", 0.5),
        ("500 ug/L", "mg/L", 0.5),
        ("1 200", "L", 1200),
        ("1\u202f200,5 l", "L", 1200.5),
        ("1.200,5", "L", 1200.5),
        ("1,200.5", "L", 1200.5),
        ("1,234,567", "L", 1234567),
        ("1e3", "L", 1000),
        ("−5", "degC", -5),
        ("77 °F", "degC", 25),
        ("40 %", "percent", 40),
        ("40", "percent", 40),
        ("2 days", "h", 48),
        ("90 min", "h", 1.5),
        ("3 times", "", 3),
        ("50 %", "", 0.5),
        ("4 in", "cm", 10.16),
        ("2 ft2", "m**2", 0.185806),
        ("0.02 lb", "g", 9.07185),
        ("12 m²/kg", "m**2/kg", 12),
        (Q(1, "gal"), "L", 3.785412),
        (7, "L", 7),
    ],
)
def test_a_number_and_its_unit(typed, unit, value):
    assert read(typed, unit) == pytest.approx(value, rel=1e-5)


def test_a_bare_number_is_in_the_unit_beside_the_box_and_gallons_are_the_readers_own():
    set_units("us")
    assert read("10", "L") == pytest.approx(37.854, rel=1e-4)
    assert read("10 gal", "L") == pytest.approx(37.854, rel=1e-4)
    set_units("imperial")
    assert read("10", "L") == pytest.approx(45.461, rel=1e-4)
    assert read("10 gallons", "L") == pytest.approx(45.461, rel=1e-4)
    assert read("10 US gal", "L") == pytest.approx(37.854, rel=1e-4)


def test_what_may_be_two_numbers_is_asked_back():
    with pytest.raises(NotReadError, match=r"1\.200 or 1200"):
        read("1,200", "L")


class Stubborn:
    def __float__(self):
        raise RuntimeError


ODD = (
    *("", " ", "🐟", "twelve", "NaN", "inf", "1e400", "--3", "1..2.,3", "9" * 500, "٣", "3;4"),
    *(None, True, [1, 2], {}, b"3", 1j, 10**400, float("nan"), Stubborn(), Q([1, 2], "L")),
)


@pytest.mark.parametrize("unit", ["L", "", "degC", "percent"])
def test_what_is_no_answer_is_refused_in_words(unit):
    for odd in ODD:
        with pytest.raises(NotReadError) as refused:
            read(odd, unit)
        assert 10 < len(str(refused.value)) < 200, odd


@pytest.mark.parametrize("typed", ["3 m/s", "3 kg", "3 L/h", "3 °C", "3 fathoms2", "3 9**9**9**9"])
def test_a_unit_of_another_kind_is_named(typed):
    with pytest.raises(WrongUnitError) as refused:
        read(typed, "L")
    assert len(str(refused.value)) < 200


def test_every_word_for_a_unit_means_one_that_the_registry_knows():
    assert {word: registry.Unit(unit) for word, unit in KNOWN.items() if unit != "l"}
