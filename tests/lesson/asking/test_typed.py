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
        ("45000 cm3", "L", 45),
        ("45 000 cm³", "L", 45),
        ("45000 cm^3", "L", 45),
        ("0,045 m3", "L", 45),
        ("0.045 m³", "L", 45),
        ("45 dm3", "L", 45),
        ("9.9 UK gal", "L", 45.0063),
        ("3 L a day", "L/day", 3),
        ("3 l per day", "L/day", 3),
        ("3000 ml / day", "L/day", 3),
        ("125 mL an hour", "L/day", 3),
        ("14 g per week", "g/week", 14),
        ("2 grams a day", "g/week", 14),
        ("5 mg N a day", "mg/day", 5),
        ("0.5 mg/L NH4-N", "mg/L", 0.5),
        ("0.5 mg/l NO2-N", "mg/L", 0.5),
        ("0.5 g/m3", "mg/L", 0.5),
        ("0.5 g/m³", "mg/L", 0.5),
        ("900 m²/m³", "m**2/L", 0.9),
        ("900 m2 per m3", "m**2/L", 0.9),
        ("2 mg per litre per day", "mg/L/day", 2),
        ("150 kWh a year", "kWh", 150),
        ("12,50 €", "", 12.5),
        ("€12.50", "", 12.5),
        ("$ 12.50", "", 12.5),
        ("12.50 a year", "", 12.5),
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
    for an_hour in ("gph", "gal/h", "gal/hr", "gallons an hour", "gallons per hour", "gal per h"):
        assert read(f"200 {an_hour}", "L/h") == pytest.approx(909.22, rel=1e-4), an_hour
    assert read("200 US gal/h", "L/h") == pytest.approx(757.08, rel=1e-4)
    set_units("us")
    assert read("200 gal/h", "L/h") == pytest.approx(757.08, rel=1e-4)


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


@pytest.mark.parametrize(
    "typed", ["3 m/s", "3 bar", "3 kg", "3 L/h", "3 °C", "3 fathoms2", "3 9**9**9**9"]
)
def test_a_unit_of_another_kind_is_named(typed):
    with pytest.raises(WrongUnitError) as refused:
        read(typed, "L")
    assert len(str(refused.value)) < 200


@pytest.mark.parametrize("typed", ["200-240", "60 to 70", "1/2", "220 ± 5", "110*50*40/1000"])
def test_a_range_or_a_sum_is_called_by_its_name(typed):
    with pytest.raises(NotReadError, match="That is a range or a sum") as refused:
        read(typed, "L")
    assert not isinstance(refused.value, WrongUnitError)


@pytest.mark.parametrize("typed", ["1 pinch", "3 fathom"])
def test_what_only_the_registry_takes_for_a_unit_is_none(typed):
    with pytest.raises(WrongUnitError, match="is no unit that is known here"):
        read(typed, "g")


@pytest.mark.parametrize("typed", ["1e", "3 k", "3 mg/L NO3-N", "3 mg/L NH4"])
def test_what_nobody_means_as_a_unit_is_no_unit(typed):
    """A letter is a slip of the keys, no charge; and nitrogen in nitrate is not nitrate."""
    with pytest.raises(WrongUnitError, match="is no unit that is known here"):
        read(typed, "mg/L")


def test_gallons_a_day_are_the_readers_own():
    set_units("imperial")
    assert read("1 gal a day", "L/day") == pytest.approx(4.54609)
    set_units("us")
    assert read("1 gal a day", "L/day") == pytest.approx(3.785412)


def test_every_word_for_a_unit_means_one_that_the_registry_knows():
    assert {word: registry.Unit(unit) for word, unit in KNOWN.items() if unit != "l"}
