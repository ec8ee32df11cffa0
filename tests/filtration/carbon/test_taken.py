"""Carbon: the table of what it takes."""

from aqualib.filtration.carbon.taken import what_carbon_takes


def test_table_of_what_carbon_takes_says_who_says_so():
    rows = what_carbon_takes()
    assert all(row.what and row.how_well and row.origin for row in rows)
    poor = {row.what for row in rows if row.how_well.startswith(("no", "hardly"))}
    assert {"ammonia, nitrite", "nitrate", "hardness, salt"} <= poor
    memory = [row for row in rows if row.origin == "from memory"]
    assert len(memory) == 3
