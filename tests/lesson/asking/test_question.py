"""A guess: kept from the page or from code, and compared only once it is made."""

import pytest

from aqualib.lesson import asking
from aqualib.lesson.asking.question import Beside
from aqualib.units import Q, set_units
from aqualib.validity import ValidityError


@pytest.fixture(autouse=True)
def _metric():
    set_units("metric")
    yield
    set_units("metric")


def shown_by(monkeypatch, *arguments):
    """What `compare` puts into the page."""
    put = []
    monkeypatch.setattr("aqualib.lesson.asking.comparing.display", put.append)
    asking.compare(*arguments)
    return put


def send(asked, **message):
    """Do as the page does, and return what it is told."""
    asked._repr_mimebundle_()
    asked._on_message(asked.view, {"turn": 7, **message}, [])
    assert asked.view.done == 7
    return asked.view.items


def test_an_unanswered_guess_is_one_line_and_shows_no_answer(monkeypatch):
    mine = asking.guess("Water really there", "L")
    assert repr(mine) == "Water really there (L): your guess"
    (beside,) = shown_by(monkeypatch, mine, Q(190, "L"), "Water")
    assert "190" not in repr(beside)
    assert "190" not in str(beside._repr_mimebundle_())
    assert all("190" not in item.said for item in beside.items())


@pytest.mark.parametrize("by_page", [True, False], ids=["page", "code"])
def test_page_and_code_do_the_same(monkeypatch, by_page):
    mine = asking.guess("Water really there", "L")
    boxes = asking.ask(mine)
    (beside,) = shown_by(monkeypatch, mine, Q(190, "L"), "Water")
    beside._repr_mimebundle_()
    if by_page:
        (item,) = send(boxes, do="answer", name="Water really there", value="50,2 gal")
        assert item["state"] == "kept"
        assert item["given"] == "50,2 gal"
    else:
        assert mine.answer("50,2 gal").startswith("Kept: 190 L.")
    assert repr(beside) == "Water: your guess 190 L, computed 190 L; the same."
    assert beside.view.items[0]["said"] == repr(beside), "the page has it too"


def test_what_is_no_guess_is_said_and_the_last_one_stays():
    mine = asking.guess("Water", "L")
    mine.answer(100)
    for odd in ("", "🐟", "nan", None, [3], "3 kg", "x" * 9999):
        assert len(mine.answer(odd)) < 200
        assert mine.item().state == "odd"
        assert len(mine.item().given) < 300
        assert mine.value == 100


def test_a_guess_follows_the_units(monkeypatch):
    mine = asking.guess("Water", "L")
    (beside,) = shown_by(monkeypatch, mine, Q(100, "L"), "Water")
    boxes = asking.ask(mine)
    boxes._repr_mimebundle_()
    set_units("us")
    assert boxes.view.items[0]["unit"] == "US gal"
    mine.answer("26.417")
    assert repr(beside).endswith("the same.")


def test_a_choice_is_compared_by_its_word(monkeypatch):
    mine = asking.guess("Most in a litre", choices=("rings", "gravel"))
    (beside,) = shown_by(monkeypatch, mine, "gravel", "Most")
    assert "computed" not in repr(beside)
    assert mine.answer("stones") == "Choose one of: rings, gravel."
    mine.answer("rings")
    assert repr(beside) == "Most: your guess rings, computed gravel; not what you thought."
    mine.answer("gravel")
    assert repr(beside).endswith("the same.")


def test_a_plain_number_is_still_compared(capsys):
    asking.compare(90, Q(180, "L"), "Water")
    assert capsys.readouterr().out == "Water: your guess 90 L, computed 180 L; 50 % lower.\n"


def test_whoever_writes_a_lesson_hears_at_once_what_is_wrong():
    with pytest.raises(ValidityError, match=r"^actual = "):
        asking.compare(asking.guess("x"), [1, 2], "Water")
    with pytest.raises(ValidityError, match=r"^label = "):
        asking.guess("")


@pytest.mark.parametrize(
    "message",
    [None, "x", {}, {"do": "answer"}, {"do": "answer", "name": "other", "value": "3"},
     {"do": "answer", "name": ["x"], "value": "3"}, {"do": 3, "name": "x"}],
)  # fmt: skip
def test_what_no_page_of_ours_sends_changes_nothing(message):
    mine = asking.guess("x")
    boxes = asking.ask(mine)
    boxes._repr_mimebundle_()
    boxes._on_message(boxes.view, message, [])
    assert mine.value is None


def test_nothing_goes_to_a_page_before_a_cell_shows_it():
    mine = asking.guess("x")
    assert asking.ask(mine).view is None
    assert Beside(mine, "what", str).view is None


def test_printed_lines_are_folded_and_escaped(monkeypatch):
    put = []
    monkeypatch.setattr("aqualib.lesson.asking.folding.display", put.append)
    with asking.fold():
        print("a <b>")
        print("c")
    (folded,) = put
    assert "<pre>a &lt;b&gt;\nc</pre>" in folded._repr_html_()
    assert repr(folded) == "The three, worked out: 2 lines"
    with pytest.raises(ZeroDivisionError), asking.fold():
        raise ZeroDivisionError
    assert len(put) == 1
