"""A table of tanks: good rows are planned, bad ones told by line and kept aside."""

import csv
from datetime import date

import pytest
from plan_systems import college, nano

from aqualib.tank.plan import headings, make_plan, plans_of, system_of_row
from aqualib.tank.plan.many_tanks import MOST_ROWS, plan_line, plan_line_names, rows_of_systems
from aqualib.validity import ValidityError

FIRST = date(2030, 3, 2)
NANO = {
    "name": nano().name,
    "tank.water_L": "20",
    "stock.fish_g": "6",
    "stock.one_fish_g": "0,5",
    "stock.food_g_per_day": "0.1",
    "filter.trays": "medium pad 40;  porous rings   40",
    "filter.shape": "box",
    "filter.width_cm": "10",
    "filter.length_cm": "8",
    "pump.measured_flow_L_per_h": "100",
    "pump.power_W": "3",
    "care.change_percent": "30",
    "care.change_every_days": "7",
    "care.clean_every_days": "21",
}


def write(path, rows):
    columns = list(dict.fromkeys(key for row in rows for key in row))
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, columns, restval="")
        writer.writeheader()
        writer.writerows(rows)
    return path


def test_a_row_is_the_system_it_tells():
    assert system_of_row(NANO) == nano()
    assert system_of_row({**NANO, "lamp.power_W": "7"}).lamp.own.power == pytest.approx(7)
    assert system_of_row({}).name == "My tank"


def test_the_plan_of_a_row_is_the_plan_of_its_system(tmp_path):
    table, aside = plans_of(write(tmp_path / "t.csv", [NANO]), FIRST)
    assert aside == ()
    line = plan_line(make_plan(nano(), FIRST, doubt=False, changes=False))
    assert table.loc[0].to_dict() == {"line": 2, **line}
    assert tuple(table.columns) == plan_line_names()
    assert set(plan_line_names()) == {"line", *line}


def test_readings_stand_in_the_table_and_without_food_there_is_no_verdict(
    tmp_path,
):
    sick = {**NANO, "readings.ammonia_mg_per_L": "5", "water.ph": "8.5"}
    rows = [NANO, sick, {**NANO, "stock.food_g_per_day": "0"}, {"name": "blank"}]
    table, _ = plans_of(write(tmp_path / "t.csv", rows), FIRST)
    assert list(table["verdict"] == "no verdict") == [False, False, True, True]
    first, second, *_ = table["before_anything_else"]
    assert first == ""
    assert "Ammonia reads 5 mg/L" in second
    assert "call a vet" in second


BAD = [
    ({"tank.water_L": "twenty"}, "tank.water_L"),
    ({"tank.water_L": "-20"}, "tank.water_L"),
    ({"tank.water_L": "nan"}, "tank.water_L"),
    ({"filter.trays": "medium pad"}, "filter.trays[1]"),
    ({"filter.trays": "medium pad 40; sand 30"}, "filter.trays[2]"),
    ({"filter.trays": "porous rings 40 900"}, "do not fit"),
    ({"filter.trays": "coarse pad 40 1"}, "no media"),
    ({"care.seed": "plenty"}, "care.seed"),
    ({"name": "x" * 99}, "name"),
    ({"name": "a\nb"}, "name"),
    ({"tank.water_L": "1,200"}, "Is that 1.200 or 1200?"),
    ({"tank.water_L": "1,2,00"}, "one decimal point or comma"),
]


def test_bad_rows_are_told_by_line_and_the_rest_is_planned(tmp_path):
    rows = [NANO, *({**NANO, **bad} for bad, _ in BAD), NANO]
    told = []
    path = write(tmp_path / "t.csv", rows)
    table, aside = plans_of(path, FIRST, tell=lambda done, of: told.append((done, of)))
    assert len(table) == 2
    assert [one.line for one in aside[:9]] == list(range(3, 12))
    for one, (_, words) in zip(aside, BAD, strict=True):
        assert words in one.why
    assert told == [(n, len(rows)) for n in range(1, len(rows) + 1)]


@pytest.mark.parametrize(
    ("text", "words"),
    [("tank.water\n20\n", "heading"), ("", "heading"), ("name\n" + "a\n" * (MOST_ROWS + 1), "rows"),
     ("name\n\xff", "cannot be read"), ("name;tank.water_L\nA;20\n", "save the table with commas"),
     ("Name,tank.water_L\nA,20\n", "other letters"), ("name,tank.water_L\n", "no rows")],
    ids=["unknown heading", "empty", "too long", "no UTF-8", "semicolons", "capital", "no row"],
)  # fmt: skip
def test_a_file_that_is_no_such_table_is_refused(text, words, tmp_path):
    path = tmp_path / "t.csv"
    path.write_bytes(text.encode("latin-1"))
    with pytest.raises(ValidityError, match=words):
        rows_of_systems(path)


def test_a_cell_too_many_is_told_with_its_line(tmp_path):
    path = tmp_path / "t.csv"
    path.write_text("name,tank.water_L\nA,20,7\nB,30\n")
    table, aside = plans_of(path, FIRST)
    assert [one.line for one in aside] == [2]
    assert list(table["name"]) == ["B"]


def test_a_cluster_gives_the_same(tmp_path):
    path = write(tmp_path / "t.csv", [{**NANO, "tank.water_L": str(20 + n)} for n in range(4)])
    distributed = pytest.importorskip("distributed")
    with distributed.Client(processes=False, n_workers=1, dashboard_address=":0") as client:
        there, _ = plans_of(path, FIRST, cluster=client)
    here, _ = plans_of(path, FIRST)
    assert there.equals(here)


def test_every_heading_is_a_field_of_the_file():
    from aqualib.tank.plan import as_table

    told = as_table(college())
    written = {
        f"{part}.{key}" for part in told if isinstance(told[part], dict) for key in told[part]
    }
    assert written <= set(headings())


def test_a_heading_that_stands_twice_is_refused(tmp_path):
    file = tmp_path / "t.csv"
    file.write_text("name,stock.food_g_per_day,tank.water_L,stock.food_g_per_day\nA,2,190,9\n")
    with pytest.raises(ValidityError, match="stands twice"):
        rows_of_systems(file)
