"""What not to dose: every row says who says so, and nothing that was not read looks read."""

import json

import pytest

from aqualib.files import data_file
from aqualib.sources import references, what_was_read
from aqualib.tank.maturation import doses_that_harm, what_not_to_dose
from aqualib.validity import ValidityError

ROWS = {row.what: row for row in what_not_to_dose().rows}


def test_every_key_is_a_source_and_one_that_was_not_read_is_from_memory():
    assert set(what_not_to_dose().keys) <= set(references())
    unread = [
        row.what
        for row in ROWS.values()
        if any(what_was_read(key).startswith("not read") for key in row.said.sources)
    ]
    assert unread == ["methylene blue"]
    assert [what for what, row in ROWS.items() if row.said.from_memory] == [
        "methylene blue", "chlorine, chloramine", "binders",
    ]  # fmt: skip


def test_where_sources_disagree_both_are_told():
    for what in ("formalin", "oxytetracycline", "acid"):
        assert "; yet " in ROWS[what].found
        assert len(ROWS[what].said.sources) > 1


def test_the_table_says_how_much_of_it_was_read():
    table = what_not_to_dose()
    assert table.caption == f"{len(ROWS)} kinds: {len(ROWS) - 3} read, 3 in part from memory"
    assert repr(table).endswith(table.caption)
    assert table._repr_html_().count("<tr>") == 1 + len(ROWS)


def test_the_medicines_of_the_symptom_are_in_the_table():
    """The answer on medicines names no other ones and no other sources for harm."""
    trees = json.loads(data_file("symptoms.json").read_text(encoding="utf-8"))["trees"]
    (leaf,) = (one for one in trees["nitrite stays"]["leaves"] if one["code"] == "nitrite-medicine")
    named = leaf["likely"].rstrip(".").partition(": ")[2].split(", ")
    assert all(any(word in what for what in ROWS) for word in named), named
    told = set(what_not_to_dose().keys)
    # The one on carbon says what takes a medicine out again.
    assert set(leaf["sources"]) - told == {"AitchesonEtAl2001", "from memory"}
    assert "lesson 03" in leaf["sure"]


@pytest.mark.parametrize("cells", ["bleach,kills,,no", "bleach,kills,EPA2013,perhaps"])
def test_a_row_that_says_not_who_says_so_is_refused(monkeypatch, tmp_path, cells):
    table = tmp_path / "not_to_dose.csv"
    table.write_text(f"{','.join(doses_that_harm.COLUMNS)}\n{cells}\n")
    monkeypatch.setattr(doses_that_harm, "data_file", lambda _: table)
    with pytest.raises(ValidityError, match=r"not_to_dose\.csv, bleach"):
        what_not_to_dose.__wrapped__()
