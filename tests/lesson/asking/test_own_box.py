"""The pieces in the box, told in the page and judged without code."""

import pytest

from aqualib.lesson import asking
from aqualib.lesson.asking import BoxForm
from aqualib.lesson.asking.own_box import JUDGE, MOST, fields, system_of_box
from aqualib.lesson.whose_tank import EXAMPLE, MINE, use_tank
from aqualib.tank.inspection import Piece, as_bought, judge
from aqualib.tank.plan import example_system, save_system
from aqualib.units import Q, set_units
from aqualib.validity import ValidityError

RINGS = Piece("rings", "rings", dry=Q(0.6, "kg"), vinegar="no fizz")


def page_of(form):
    return {item.name: item for item in form.items()}


def test_the_page_and_the_code_judge_alike():
    form = BoxForm()
    for field, typed in {"1 name": "rings", "1 looks": "rings", "1 dry": "600 g",
                         "1 vinegar": "no fizz"}.items():  # fmt: skip
        form.take(field, "answer", typed)
    form.take("", JUDGE, None)
    assert page_of(form)["verdict 1"].said == str(judge(RINGS, as_bought()))
    assert asking.judge_the_box(RINGS).verdicts == form.verdicts


def test_any_unit_is_read_and_what_is_not_read_is_not_judged():
    form = BoxForm([RINGS])
    assert form.answer("1 dry", "2 lb") == "Kept: 0.907 kg."
    assert form.values["1 dry"].m_as("kg") == pytest.approx(0.9072, abs=1e-4)
    assert form.answer("1 dry", "some").startswith("Write one number")
    assert page_of(form)["1 dry"].state == "odd"
    assert "was not read: All of it, dry" in form.judge()
    assert form.answer("1 dry", "") == "Left open."
    assert form.answer("1 looks", "sponge").startswith("Choose one of")
    with pytest.raises(ValidityError, match="none of the form"):
        form.answer(f"{MOST + 1} looks", "rings")


def test_what_does_not_go_together_is_told_beside_the_piece():
    form = BoxForm()
    form.answer("2 dry", "1 kg")
    form.answer("3 looks", "rings")
    form.answer("3 handful", "200 g")
    form.judge()
    assert form.verdicts[2] == "Not judged yet: choose what it looks like."
    assert "all three" in form.verdicts[3]
    assert BoxForm().judge().startswith("Nothing was told yet")


def test_a_verdict_goes_when_its_piece_is_told_anew():
    form = asking.judge_the_box(RINGS)
    assert "verdict 1" in page_of(form)
    form.answer("1 vinegar", "fizz")
    assert "verdict 1" not in page_of(form)


def test_ones_own_filter_is_taken_where_it_is_in_use(tmp_path):
    own = example_system().changed("stock", food=Q(1, "g/day"))
    assert system_of_box() == as_bought()
    try:
        use_tank(MINE, save_system(own, tmp_path / "tank.json"))
        assert system_of_box() == own
    finally:
        use_tank(EXAMPLE)


def test_units_follow_the_reader():
    form = BoxForm([RINGS])
    try:
        set_units("us")
        assert page_of(form)["1 dry"].unit == "lb"
    finally:
        set_units("metric")
    assert len(fields()) == MOST * 17


def test_black_grains_are_asked_about_and_not_looked_is_the_answer_left_open():
    form = asking.judge_the_box(Piece("bag", "black grains"))
    assert page_of(form)["1 cloth"].given == "not looked"
    assert "Nobody looked" in form.verdicts[1]
    form.answer("1 cloth", "")
    assert "Nobody looked" in form.judge(), "an answer left open is not looked"
    form.answer("1 cloth", "no marks")
    assert "lava rock" in form.judge()
    form.answer("2 looks", "pale grains")
    form.judge()
    assert "leave it out of the filter" in form.verdicts[2]
    form.answer("2 meant_for", "ammonia")
    form.answer("2 tray", "2")
    form.judge()
    assert "(zeolite" in form.verdicts[2]
