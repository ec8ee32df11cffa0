"""Carbon: the table of what it takes, and one place from which all of it can be had."""

from aqualib.filtration import carbon
from aqualib.filtration.carbon import what_carbon_takes


def test_everything_can_be_had_from_here():
    assert all(callable(getattr(carbon, name)) for name in carbon.__all__)


def test_table_of_what_carbon_takes_says_who_says_so():
    rows = what_carbon_takes()
    assert all(row.what and row.how_well and row.origin for row in rows)
    poor = {row.what for row in rows if row.how_well.startswith(("no", "hardly"))}
    assert {"ammonia, nitrite", "nitrate", "hardness, salt"} <= poor
    memory = [row for row in rows if row.origin == "from memory"]
    assert len(memory) == 3
