"""Panels open on the example, or on the learner's own tank."""

import pytest
from plan_systems import college, nano

from aqualib.lesson import whose_tank as room
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
from aqualib.lesson.panels.safety_map import safety_map_panel
from aqualib.lesson.panels.what_it_carries import carries_panel
from aqualib.lesson.panels.your_filter_plan import plan_panel
from aqualib.lesson.whose_tank import own_file, own_number, system_in_use, use_tank
from aqualib.parameters import parameter
from aqualib.tank.plan import example_system, filled, outcome, save_system
from aqualib.units import Q, from_si, set_units
from aqualib.validity import ValidityError


@pytest.fixture
def mine(tmp_path, monkeypatch):
    """Keep a learner's tank in a folder of theirs; the example is back afterwards."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / room.FOLDER).mkdir()
    monkeypatch.setattr(room, "_begun", [False])
    save_system(nano(), own_file())
    yield own_file()
    use_tank("example")
    set_units("metric")


def test_every_panel_opens_on_the_tank_that_is_chosen(mine):
    before = carries_panel()
    assert before.controls["volume"].value == parameter("tank_volume").value
    use_tank("mine")
    after = carries_panel()
    for panel in (before, after):
        assert panel.controls["volume"].value == pytest.approx(20)
        assert panel.controls["feed"].value == pytest.approx(0.1)
        # A panel that begins elsewhere on purpose goes on doing so.
        assert panel.controls["rock"].value == 0
    assert before.sentence == after.sentence
    use_tank("example")
    assert before.controls["volume"].value == parameter("tank_volume").value
    before.close(), after.close()


def test_the_head_of_any_panel_chooses(mine):
    one, other = carries_panel(), nitrogen_flow_panel()
    one._on_message(None, {"do": "tank", "value": "mine", "turn": 1}, [])
    assert (one.view.tank, other.view.tank) == ("mine", "mine")
    assert other.controls["feed"].value == pytest.approx(0.1)
    one._on_message(None, {"do": "tank", "value": "hers", "turn": 2}, [])
    assert one.view.tank == "mine"
    one.close(), other.close()


def test_a_tank_that_was_not_told_is_asked_for_in_the_panel(mine):
    mine.unlink()
    panel = carries_panel()
    panel._on_message(None, {"do": "tank", "value": "mine", "turn": 1}, [])
    assert "form of lesson 00" in panel.view.error
    assert panel.view.tank == "example"
    with pytest.raises(ValidityError, match="your tank"):
        use_tank("mine")
    panel.close()


def test_a_file_that_is_broken_is_refused_and_the_example_stays(mine):
    mine.write_text("{")
    with pytest.raises(ValidityError, match="cannot be read"):
        use_tank("mine")
    assert own_number("tank_volume") is None


def test_told_anew_panels_hear_of_it(mine):
    panel = carries_panel()
    use_tank("mine")
    save_system(nano().changed("stock", food=Q(0.4, "g/day")), mine)
    use_tank("mine")
    assert panel.controls["feed"].value == pytest.approx(0.4)
    panel.close()


def test_what_lies_beyond_a_slider_stands_at_its_end_and_is_told(mine):
    save_system(college(), mine)
    panel = carries_panel()
    use_tank("mine")
    row = parameter("tank_volume")
    assert panel.controls["volume"].value == row.high
    assert "Water in the tank 20000 L" in panel.view.note.replace(" 000", "000")
    set_units("us")
    assert panel.controls["volume"].value <= row.high
    use_tank("example")
    assert "beyond" not in panel.view.note
    panel.close()


def test_sour_and_hot_water_is_ones_own_in_the_panels_that_judge_it(mine):
    """No control of lesson 07 asks for the pH, and its panel carries what the plan carries."""
    own = example_system().changed("water", temperature=Q(31, "degC"))
    carried = {}
    for ph in (7.0, 5.5):
        save_system(own.changed("water", ph=ph), mine)
        use_tank("mine")
        panels = carries_panel(), plan_panel(), safety_map_panel()
        carried[ph] = [panels[0].result.carried.best, panels[1].result.carried.best]
        assert [one.controls["temperature"].value for one in panels[1:]] == [31, 31]
        for panel in panels:
            panel.close()
    for sour, neutral in zip(carried[5.5], carried[7.0], strict=True):
        assert 0.85 < sour / neutral < 0.95
    made = outcome(filled(own.changed("water", ph=5.5))[0]).carried.feed.best
    assert carried[5.5][1] == pytest.approx(from_si(made, "g/day"), rel=1e-6)


def test_reset_goes_back_to_ones_own_tank(mine):
    use_tank("mine")
    panel = carries_panel()
    panel.set(volume=300)
    panel.reset()
    assert panel.controls["volume"].value == pytest.approx(20)
    panel.close()


def test_the_choice_goes_along_to_the_next_lesson_of_ones_own_folder(mine, monkeypatch):
    folder = mine.parent.parent
    (folder / ".aqualib").mkdir()
    (folder / ".aqualib" / "copied.json").write_text("{}")
    use_tank("mine")
    room.whose_tank.set("example")
    monkeypatch.setattr(room, "_begun", [False])  # as in the kernel of the next lesson
    assert own_number("tank_volume") == pytest.approx(20)
    assert room.whose_tank.value == "mine"
    mine.write_text("{")
    room.whose_tank.set("example")
    monkeypatch.setattr(room, "_begun", [False])
    assert own_number("tank_volume") is None


def test_elsewhere_nothing_is_remembered(mine, monkeypatch):
    use_tank("mine")
    assert [file.name for file in mine.parent.iterdir()] == [mine.name]
    room.whose_tank.set("example")
    (mine.parent / room.CHOICE).write_text("mine")
    monkeypatch.setattr(room, "_begun", [False])
    assert own_number("tank_volume") is None


def test_what_stands_on_no_slider_is_ones_own_too(mine):
    """Two tanks that differ in their trays alone: the plan's panel is drawn anew all the same."""
    panel = plan_panel()
    example = panel.result
    trays = example_system().filter.trays
    system = example_system().changed("filter", trays=(trays[3], *trays[:3], trays[4]))
    save_system(system, mine)
    use_tank("mine")
    assert system_in_use() == system
    assert panel.result.now.days < 0.5 * example.now.days
    assert panel.result.changes[0].name == "order"
    use_tank("example")
    assert panel.result.now == example.now
    assert system_in_use() == example_system()
    panel.close()
