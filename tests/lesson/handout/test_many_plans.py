"""Many tanks from the command line: told by line, kept in a new file."""

import pandas as pd
import pytest

from aqualib.__main__ import main
from aqualib.tank.plan import headings

TABLE = """name,tank.water_L,stock.food_g_per_day,filter.trays
Shelf,20,0.1,medium pad 40; porous rings 40
Odd,much,,
,,,
"""


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "tanks.csv"
    path.write_text(TABLE)
    return path


def test_plans_are_shown_and_bad_rows_told_by_line(table, capsys):
    assert main(["plans", str(table), "--start", "2030-03-02"]) == 0
    told = capsys.readouterr()
    assert "Line 3, Odd: kept aside. tank.water_L = 'much' is no number" in told.out
    assert "2 tanks planned, 1 kept aside." in told.out
    assert "Shelf" in told.out
    assert "3 of 3 tanks" in told.err


def test_the_table_of_plans_is_a_new_file_and_never_another(table, capsys):
    out = table.with_name("plans.csv")
    assert main(["plans", str(table), "--out", str(out)]) == 0
    assert list(pd.read_csv(out)["name"]) == ["Shelf", "My tank"]
    assert main(["plans", str(table), "--out", str(out)]) == 1
    assert "nothing was written" in capsys.readouterr().err


def test_headings_can_be_asked_for(capsys):
    assert main(["plans", "--headings"]) == 0
    assert capsys.readouterr().out.strip().split(",") == list(headings())


def test_no_table_is_asked_for_in_words(capsys):
    with pytest.raises(SystemExit):
        main(["plans"])
    assert "name a table" in capsys.readouterr().err
    assert main(["plans", "nowhere.csv"]) == 1
    assert "cannot be read" in capsys.readouterr().err


def test_a_day_far_from_ours_is_a_slip(table, capsys):
    with pytest.raises(SystemExit):
        main(["plans", str(table), "--start", "1800-01-01"])
    assert "within 50 years" in capsys.readouterr().err
