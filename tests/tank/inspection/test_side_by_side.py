"""The table: its numbers are those of the runs, kilograms and pounds, nothing moves nitrate."""

from aqualib.tank.inspection.side_by_side import SideBySide, due_first, trays_of
from aqualib.tank.inspection.stacking import as_bought
from aqualib.tank.plan import best_stack, filled, outcome
from aqualib.units import set_units

BOUGHT, _ = filled(as_bought())
TABLE = SideBySide({"as bought": BOUGHT, "yours": best_stack(BOUGHT).whole})
CELLS = {line.what: line.each for line in TABLE.lines}


def test_numbers_are_those_of_the_runs():
    does = outcome(BOUGHT)
    assert CELLS["first cleaning"][0] == f"day {does.due / 86400:.1f}"
    assert CELLS["food it carries"][0] == f"{float(does.carried.feed.best) * 8.64e7:.2f} g/day"
    assert CELLS["media"][0] == "0.600 kg = 1.32 lb"
    assert CELLS["due first"] == ("fine pad", "coarse pad")
    assert CELLS["nitrate before a change"][0] == CELLS["nitrate before a change"][1]


def test_it_shows_itself_as_text_and_as_a_table():
    assert repr(TABLE).splitlines()[0].split() == ["as", "bought", "yours"]
    assert TABLE._repr_html_().count("<td>") == 3 * len(TABLE.lines)


def test_other_units_stand_beside_the_metric_ones():
    set_units("us")
    try:
        shown = {line.what: line.each for line in SideBySide({"as bought": BOUGHT}).lines}
    finally:
        set_units("metric")
    assert "(738 L/h)" in shown["flow when due"][0] or "(740 L/h)" in shown["flow when due"][0]
    assert shown["media"] == CELLS["media"][:1]


def test_trays_are_told_in_the_order_of_the_water():
    told = trays_of(BOUGHT)
    assert told[0] == "tray 1, 4.5 cm high: fine pad"
    assert told[3] == "tray 4, 12 cm high: porous rings, 0.600 kg = 1.32 lb"


def test_what_is_due_first_in_words():
    does = outcome(BOUGHT)
    assert due_first(does._replace(first_due="coarse 1")) == "coarse 1 pad"
    assert due_first(does._replace(first_due="")) == "nothing"
