"""What keepers write in one box and mean otherwise is read, or asked about."""

import pytest

from aqualib.lesson.asking import TankForm
from aqualib.lesson.asking.as_typed import read_field
from aqualib.lesson.asking.typed import NotReadError
from aqualib.units import Q, set_units


@pytest.fixture
def _us():
    set_units("us")
    yield
    set_units("metric")


@pytest.mark.parametrize(
    ("field", "typed", "unit", "value"),
    [("hose.bore", "1/2 in", "mm", 12.7), ("hose.bore", "1 1/4 inch", "mm", 31.75),
     ("hose.bore", "16", "mm", 16), ("tank.width", "7/8 in", "cm", 2.2225),
     # Half the mass of CaCO3 is 50.04 g a mole, so 2.5 are 125.1.
     ("water.alkalinity", "2.5 meq/L", "mg/L", 125.1),
     ("water.alkalinity", "2,5 meq per litre", "mg/L", 125.1),
     ("water.alkalinity", "120", "mg/L", 120), ("water.alkalinity", "15 mg/L", "mg/L", 15),
     # One degree is 10 mg of CaO in a litre: 17.85 mg/L as CaCO3.
     ("water.alkalinity", "5 KH", "mg/L", 89.24), ("water.alkalinity", "5°dKH", "mg/L", 89.24),
     ("water.alkalinity", "90 mg/L CaCO3", "mg/L", 90),
     ("care.change", "30", "percent", 30), ("care.change", "0.3 %", "percent", 0.3)],
)  # fmt: skip
def test_what_keepers_write_is_read(field, typed, unit, value):
    assert read_field(field, typed, unit) == pytest.approx(value, rel=1e-4)


@pytest.mark.parametrize("typed", ["0.3", "0,3", "3/10", 0.25])
def test_a_share_of_one_is_asked_about(typed):
    with pytest.raises(NotReadError, match=r"“(30|25) %”"):
        read_field("care.change", typed, "percent")


@pytest.mark.parametrize(
    ("typed", "asked"), [("8", "“8 mg/L” or “8 dKH”"), ("5 dH", "carbonate hardness")]
)
def test_degrees_of_hardness_are_asked_about(typed, asked):
    with pytest.raises(NotReadError, match=asked):
        read_field("water.alkalinity", typed, "mg/L")


@pytest.mark.parametrize("typed", ["1/0 in", "1/2/3 in", "in", "2 meq", "1 mmol/L"])
def test_no_number_is_refused_in_words(typed):
    for field, unit in [("hose.bore", "mm"), ("water.alkalinity", "mg/L")]:
        with pytest.raises(NotReadError):
            read_field(field, typed, unit)


@pytest.mark.usefixtures("_us")
def test_sixteen_without_a_unit_is_no_hose_of_sixteen_inches(tmp_path):
    form = TankForm(tmp_path / "tank.json")
    for typed in ("16 ", "16"):
        assert form.answer("hose.bore", typed) == "Write the unit, please: “16 mm” or “16 in”?"
        assert "hose.bore" not in form.values
    form.answer("hose.bore", "5/8")
    assert form.values["hose.bore"].m_as("mm") == pytest.approx(15.875)
    form.answer("hose.bore", Q(16, "mm"))
    assert form.values["hose.bore"].m_as("mm") == pytest.approx(16)
