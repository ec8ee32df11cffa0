"""Salt as it is typed: most keepers of a marine tank know its specific gravity alone."""

import pytest

from aqualib.lesson.asking import TankForm
from aqualib.lesson.asking.salt import read_salinity
from aqualib.lesson.asking.typed import NotReadError


@pytest.mark.parametrize(
    ("typed", "salinity"),
    [("35", 35), ("35 ppt", 35), ("34,5 psu", 34.5), ("35 ‰", 35), ("33 g/kg", 33), ("0", 0),
     # The table of UNESCO 44: 1023.343 over 997.048 kg/m³ at 25 °C and salinity 35.
     ("sg 1.0264", 35), ("SG: 1,0264", 35), ("1.0264 sg", 35), ("1.03 psu", 1.03), ("12", 12)],
)  # fmt: skip
def test_salt_in_any_of_its_names(typed, salinity):
    assert read_salinity(typed) == pytest.approx(salinity, abs=0.05)


@pytest.mark.parametrize("typed", ["1.025", "1,02", 1.03, "sg 2", "sg many", "salty", "1.5 mol"])
def test_what_may_be_meant_otherwise_is_asked_about(typed):
    with pytest.raises(NotReadError):
        read_salinity(typed)


def test_the_form_does_not_make_sea_water_fresh(tmp_path):
    form = TankForm(tmp_path / "tank.json")
    assert form.answer("water.salinity", "1.025").startswith("Is 1.025 a specific gravity?")
    assert "water.salinity" not in form.values
    assert form.answer("water.salinity", "sg 1.025") == "Kept: 33.2."
    assert form.answer("water.salinity", "60 ppt").startswith("Between 0 and 40")
