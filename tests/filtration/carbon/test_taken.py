"""Carbon: the table of what it takes."""

import pytest

from aqualib.filtration.carbon import taken
from aqualib.filtration.carbon.taken import what_carbon_takes
from aqualib.sources import cite, references
from aqualib.validity import ValidityError


def test_table_of_what_carbon_takes_says_who_says_so():
    rows = what_carbon_takes()
    assert all(row.what and row.how_well and row.origin for row in rows)
    poor = {row.what for row in rows if row.how_well.startswith(("no", "hardly"))}
    assert {"ammonia, nitrite", "nitrate", "hardness, salt"} <= poor
    memory = [row for row in rows if row.origin == "from memory"]
    assert len(memory) == 3


def test_every_key_of_the_table_is_a_source():
    used = {key for row in what_carbon_takes() for key in row.said.sources}
    assert used
    assert used <= set(references())


def test_an_origin_names_its_sources_and_never_hides_that_it_is_from_memory():
    (metals,) = (row for row in what_carbon_takes() if row.what.startswith("copper"))
    assert metals.origin == f"{cite('FishMedicineGuide')}; from memory"
    (dyes,) = (row for row in what_carbon_takes() if row.what.startswith("dyes"))
    assert dyes.origin == f"{cite('AitchesonEtAl2001')}; {cite('FishMedicineGuide')}"


@pytest.mark.parametrize("cells", ["iron,well,,no", "iron,well,,", "iron,well,EPA2013,perhaps"])
def test_a_row_that_says_not_who_says_so_is_refused(monkeypatch, tmp_path, cells):
    table = tmp_path / "carbon_takes.csv"
    table.write_text(f"{','.join(taken.COLUMNS)}\n{cells}\n")
    monkeypatch.setattr(taken, "data_file", lambda _: table)
    with pytest.raises(ValidityError, match="iron"):
        what_carbon_takes.__wrapped__()
