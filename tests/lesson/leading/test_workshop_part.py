"""A part of the workshop: a panel, then what it says when moved, folded; it stands as it was."""

from panels_of_lessons import small_panel

from aqualib.lesson.asking.folding import FoldedLines
from aqualib.lesson.leading import what_was_seen, workshop_part


def test_the_panel_comes_first_then_its_answers_folded_and_it_stands_as_it_was(monkeypatch):
    shown = []
    monkeypatch.setattr(workshop_part, "display", shown.append)
    monkeypatch.setattr("aqualib.lesson.asking.folding.display", shown.append)
    panel = small_panel()
    before = panel.values
    what_was_seen(panel, {"as it is": {}, "sour": {"ph": 6.5}})
    what_was_seen(panel, {"sour": {"ph": 6.5}}, lambda ph: f"{2 * ph:.0f}")
    first, answers, _, told = shown
    assert first is panel
    assert isinstance(answers, FoldedLines)
    assert answers.heading == "What was seen"
    assert answers.lines.splitlines() == [f"as it is: pH {before['ph']}", "sour: pH 6.5"]
    assert told.lines == "sour: 13"
    assert panel.values == before
