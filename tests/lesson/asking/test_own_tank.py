"""The form of one's own tank: any unit, all optional, nothing lost."""

import json

import pytest
from plan_systems import as_it_was_bought, college, nano

from aqualib.lesson.asking.form_words import ASKED, TRAY, TRAYS
from aqualib.lesson.asking.own_tank import SAVE, TankForm, fields
from aqualib.tank.plan import Filter, System, Tray, example_system, load_system, save_system
from aqualib.tank.plan.system import PARTS
from aqualib.units import Q, set_units
from aqualib.validity import ValidityError


@pytest.fixture
def place(tmp_path):
    yield tmp_path / "mine" / "tank.json"
    set_units("metric")


def test_every_field_of_a_system_is_asked_for():
    asked = {f"{part}.{field}" for part, kind in PARTS.items() for field in kind.rules()}
    assert asked - set(fields()) == {"filter.trays"}
    assert set(TRAY) == set(Tray.rules())
    assert set(ASKED) == set(PARTS)


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        ("tank.water", "16 gal", 60.567),
        ("tank.water", "60,5", 60.5),
        ("water.temperature", "77 F", 25),
        ("stock.food", "0.05 oz/day", 1.4175),
        ("filter.tray 1.height", "2 in", 50.8),
        ("care.change", "30 %", 30),
        ("pump.rated_flow", "300 gal/h", 1135.6),
        ("water.ph", "7,2", 7.2),
    ],
)
def test_any_unit_is_read(place, field, typed, value):
    form = TankForm(place)
    assert form.answer(field, typed).startswith("Kept: ")
    kept = form.values[field]
    rule = fields()[field][1]
    assert (kept.m_as(rule.unit) if rule.unit else kept) == pytest.approx(value, rel=1e-4)


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("tank.water", "a lot", "Write one number"),
        ("tank.water", "-3", "Between 1 L and"),
        ("tank.water", "3 kg", "does not fit"),
        ("hose.elbows", "2.5", "whole number"),
        ("care.seed", "plenty", "Choose one of"),
        ("name", "two\nlines", "cannot be printed"),
        ("currency", "x" * 20, "too long"),
        ("tank.water", "1e999", "not one number"),
        ("tank.water", "🐟", "Write one number"),
    ],
)
def test_what_cannot_be_is_asked_again_beside_its_box(place, field, typed, words):
    form = TankForm(place)
    assert words in form.answer(field, typed)
    assert field not in form.values
    item = next(item for item in form.items() if item.name == field)
    assert (item.state, item.given) == ("odd", typed)
    # Emptied, it is open again.
    assert "eft open" in form.answer(field, "") or not form.said.get(field)
    assert form.system == System()


def test_no_such_field(place):
    with pytest.raises(ValidityError, match="none of the form"):
        TankForm(place).answer("tank.depth_of_soul", "3")


SYSTEMS = (nano(), college(), as_it_was_bought(), example_system(), System())


@pytest.mark.parametrize("system", SYSTEMS, ids=lambda system: system.name)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_tank_that_was_kept_opens_in_the_form_and_is_kept_the_same(place, system, units):
    place.parent.mkdir()
    save_system(system, place)
    set_units(units)
    form = TankForm(place)
    assert form.system == system
    form.save()
    assert load_system(place) == system


def test_saved_from_the_page_with_what_stood_there_before_kept(place):
    form = TankForm(place)
    form._on_message(FAKE, {"do": "answer", "name": "tank.water", "value": "60 L", "turn": 1}, [])
    form._on_message(FAKE, {"do": SAVE, "name": "", "turn": 2}, [])
    assert json.loads(place.read_text())["tank"] == {"water_L": 60}
    assert "Saved in mine/tank.json" in form.told
    assert "Not read" not in form.told
    form.answer("tank.length", "long")
    assert "Not read, and so left open: Length inside" in form.save()
    form.answer("tank.water", "61 L")
    form.save()
    assert load_system(place.with_name("tank.earlier.json")).tank.own.water == pytest.approx(60)
    for odd in (None, 7, {"do": "answer", "name": "x"}, {"do": [], "name": "tank.water"}):
        form._on_message(FAKE, odd, [])
    assert form.system.tank.own.water == pytest.approx(61)


class FAKE:
    """Stands for the page's view."""

    done = 0


def test_what_was_left_open_is_said_beside_the_box_and_its_effect_told(place):
    form = TankForm(place)
    form.answer("tank.water", "60 L")
    items = {item.name: item for item in form.items()}
    assert "as in the lessons' tank" in items["water.temperature"].said
    assert items["water.temperature"].given == ""
    assert "left open" in form.summary()
    assert "What would help most" in form.summary()


def test_what_does_not_go_together_is_not_saved_and_said(place):
    form = TankForm(place)
    form.answer("filter.tray 2.holds", "pumice")
    assert "tray 2" in form.save()
    form.answer("filter.tray 2.height", "10 cm")
    form.answer("filter.tray 2.media", "90 kg")
    assert "do not fit" in form.save()
    assert not place.exists()


def test_trays_beyond_the_form_are_kept(place):
    many = tuple(Tray("coarse pad", Q(1 + n, "cm")) for n in range(TRAYS + 3))
    place.parent.mkdir()
    save_system(System(filter=Filter(many)), place)
    form = TankForm(place)
    form.answer("name", "Tower")
    form.save()
    assert load_system(place).filter.trays == many


def test_a_file_that_cannot_be_read_is_told_and_not_lost(place):
    place.parent.mkdir()
    place.write_text("{")
    form = TankForm(place)
    assert "cannot be read" in form.told
    form.answer("tank.water", "60 L")
    form.save()
    assert place.with_name("tank.unreadable 1.json").read_text() == "{"


def test_as_text_it_is_a_line_for_each_part_and_unanswered_ever_the_same(place):
    parts = [f"{heading}: all left open" for heading, _ in ASKED.values()]
    assert repr(TankForm(place)).splitlines() == ["Your tank: no name yet", *parts]
