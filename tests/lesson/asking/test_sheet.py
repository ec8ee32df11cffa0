"""The exercises of a lesson: answers from page and code, hints, rubric, the learner's journal."""

import base64
import json
import re
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from aqualib.lesson import asking
from aqualib.lesson.asking import sheet as sheets
from aqualib.lesson.asking.journal import Journal, journal
from aqualib.lesson.asking.record import record_page
from aqualib.lesson.asking.sheet import PRINT
from aqualib.units import set_units
from aqualib.validity import ValidityError

SENTENCE = "What passes is a product, and a product does not care about order."


@pytest.fixture(autouse=True)
def _anew(monkeypatch):
    monkeypatch.setattr(sheets, "_sheets", {})
    yield
    set_units("metric")


@pytest.fixture
def own_folder(tmp_path, monkeypatch):
    """A learner's folder, as `python -m aqualib` makes it, in which a lesson runs."""
    (tmp_path / ".aqualib").mkdir()
    (tmp_path / ".aqualib" / "copied.json").write_text("{}", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def lines_of(folder):
    return (folder / "mine" / "progress.jsonl").read_text(encoding="utf-8").splitlines()


def send(sheet, **message):
    sheet._repr_mimebundle_()
    sheet._on_message(sheet.view, {"turn": 1, **message}, [])
    return {item["name"]: item for item in sheet.view.items}


def test_unanswered_it_is_the_same_text_each_time_with_every_prompt():
    sheet = asking.exercises("05")
    assert repr(sheet) == repr(asking.exercises("05"))
    assert all(task.prompt in repr(sheet) for task in sheet.tasks)
    assert not any(f"{task.answer:.3g}" in repr(sheet) for task in sheet.tasks
                   if task.exercise.kind == "number" and len(f"{task.answer:.3g}") > 3)  # fmt: skip
    assert repr(sheet) != repr(asking.exercises("05", seed=5))


def test_page_and_code_do_the_same():
    one, two = asking.exercises("05", seed=1), sheets.Sheet("05", 1, None)
    task = one.tasks[0]
    shown = send(one, do="answer", name=task.exercise.id, value=f"{task.answer}")
    said = two.answer(1, f"{task.answer}")
    assert shown[task.exercise.id]["said"] == said
    assert said.startswith("Yes: ")
    assert repr(one) == repr(two)
    assert two.answer(task.exercise.id, "🐟").startswith("Write one number")


def test_hints_come_one_at_a_time_and_the_last_is_the_answer():
    sheet = asking.exercises("01")
    count = len(sheet.tasks[1].hints)
    name = sheet.tasks[1].exercise.id
    for given in range(1, count + 1):
        item = send(sheet, do="hint", name=name)[name]
        assert len(item["hints"]) == given
        assert item["more_hints"] == count - given
    assert item["hints"][-1].startswith("The answer is ")
    assert sheet.hint(2) == item["hints"][-1], "there are no more"


def test_a_rubric_opens_when_the_learner_has_written():
    sheet = asking.exercises("05")
    place = next(n for n, t in enumerate(sheet.tasks, 1) if t.exercise.kind == "words")
    name = sheet.tasks[place - 1].exercise.id
    for none in ("   ", "x", "A product does not care."):
        shown = send(sheet, do="answer", name=name, value=none)[name]
        assert (shown["state"], shown["rubric"]) == ("odd", [])
    assert sheet.progress[name].tries == 0
    assert send(sheet, do="hint", name=name)[name]["rubric"] == []
    item = send(sheet, do="answer", name=name, value=SENTENCE)[name]
    assert item["state"] == "kept"
    assert len(item["rubric"]) == 4
    assert send(sheet, do="mark", name=name, value=[2, True])[name]["marked"][2]
    assert not send(sheet, do="mark", name=name, value=[2, False])[name]["marked"][2]
    sheet.mark(place, 99)
    for odd in ([], [1], ["x", True], [None, True], "x", None):
        send(sheet, do="mark", name=name, value=odd)
    assert sheet.progress[name].marked == []


def test_a_model_is_tried_where_it_is_written():
    assert "Nothing written yet" in repr(asking.exercises("11", change=lambda *_: None))
    right = asking.exercises("11", change=lambda n, r, x, t: (n + r) * (1 - x) + x * t)
    assert "Yes: at all" in repr(right)
    with pytest.raises(ValidityError):
        asking.exercises("11", other=lambda: 1)


@pytest.mark.parametrize("seed", [-1, 1.5, "7", True, None.__class__, 10**12])
def test_what_is_no_seed_is_refused(seed):
    with pytest.raises(ValidityError):
        asking.exercises("05", seed=seed)


@pytest.mark.parametrize("which", [0, 99, "x", True, None, 1.5, []])
def test_what_is_no_exercise_is_refused(which):
    with pytest.raises(ValidityError):
        asking.exercises("05").answer(which, "3")


def test_where_lessons_are_nobodys_nothing_is_kept(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    sheet = asking.exercises("05")
    sheet.answer(1, "3")
    assert sheet.seed == 0
    assert "your own copies" in sheet.record()
    assert sheet.actions() == []
    assert list(tmp_path.iterdir()) == []


def test_progress_is_kept_and_comes_again(own_folder, monkeypatch):
    sheet = asking.exercises("05")
    assert sheet.seed > 0
    right = sheet.tasks[0]
    sheet.hint(1)
    sheet.answer(1, "🐟")
    sheet.answer(1, str(right.answer))
    sheet.mark(6, 1)
    before = lines_of(own_folder)
    monkeypatch.setattr(sheets, "_sheets", {})
    again = asking.exercises("05")
    assert again.seed == sheet.seed
    now = again.progress[right.exercise.id]
    assert (now.given, now.found, now.tries, now.hints) == (str(right.answer), "right", 1, 1)
    assert again.progress[again.tasks[5].exercise.id].marked == [1]
    again.answer(2, "3")
    assert lines_of(own_folder)[: len(before)] == before, "added to, never written over"


BROKEN = (b"", b"\xff\xfe\x00", b'{"what": ', b"[1]\n", b"null\n", b"[" * 100_000, b'{"what": 3}\n',
          b'{"what": "answer", "id": 3}\n{"what":"mark","marked":"x","id":"05-rise"}',
          b'{"what": "answer", "id": ["05-rise"], "seed": 5}\n',
          b'{"what": "answer", "id": "05-rise", "seed": 5, "found": ["right"]}\n')  # fmt: skip


@pytest.mark.parametrize("broken", BROKEN, ids=range(len(BROKEN)))
def test_a_damaged_journal_keeps_what_is_whole_and_says_so(own_folder, broken):
    kept = Journal(own_folder)
    kept.add(what="seed", seed=5)
    kept.add(what="answer", id="05-rise", seed=5, given="3", found="wrong")
    whole = kept.path.read_bytes()
    kept.path.write_bytes(whole + broken)
    sheet = asking.exercises("05")
    assert sheet.seed == 5
    assert sheet.progress["05-rise"].found == "wrong"
    assert bool(sheet.told) == (broken != b"")
    sheet.answer(1, "4")
    assert kept.path.read_bytes().startswith(whole + broken)
    assert kept.events()[-1]["given"] == "4"
    record_page(kept.events())


def test_a_lost_seed_is_that_of_the_answers_and_of_two_drawn_the_first_holds(own_folder):
    kept = Journal(own_folder)
    kept.add(what="answer", id="05-rise", seed=77, given="3", found="wrong")
    kept.add(what="hint", id="05-rise", seed=77, hints=99_999)
    assert kept.seed() == 77
    sheet = asking.exercises("05")
    assert sheet.progress["05-rise"].found == "wrong"
    assert sheet.hint("05-rise").startswith("The answer is")
    with ThreadPoolExecutor(8) as at_once:
        new = Journal(own_folder / "other")
        new.path.parent.mkdir(parents=True)
        seeds = set(at_once.map(lambda _: new.seed(), range(8)))
    assert new.seed() in seeds
    assert len(seeds) == 1


def test_a_guess_stays_when_all_is_run_again(own_folder):
    mine = asking.guess("Water really there", "L")
    mine.answer("50 gal")
    set_units("us")
    again = asking.guess("Water really there", "L")
    assert again.value == mine.value == pytest.approx(189.27, rel=1e-4)
    assert again.told[1].startswith("Kept: 50")
    assert asking.guess("Other water", "L").value is None
    assert asking.guess("Which?", choices=("a", "b")).value is None


def test_a_folder_in_the_journals_place_is_put_aside_and_told(own_folder):
    (own_folder / "mine" / "progress.jsonl").mkdir(parents=True)
    sheet = asking.exercises("05")
    sheet.answer(1, "4")
    assert "put aside" in sheet.told
    assert Journal(own_folder).events()[-1]["given"] == "4"


def test_where_nothing_can_be_written_the_lesson_goes_on(own_folder):
    (own_folder / "mine").write_text("a file", encoding="utf-8")
    sheet = asking.exercises("05")
    assert sheet.answer(1, "4")
    assert sheet.told


def test_two_lessons_at_once_lose_no_line(own_folder):
    def write(n):
        for k in range(50):
            Journal(own_folder).add(what="answer", id=f"{n}", seed=1, given=str(k))

    threads = [threading.Thread(target=write, args=(n,)) for n in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    events = Journal(own_folder).events()
    assert len(events) == 200
    assert all([e["given"] for e in events if e["id"] == str(n)] == [str(k) for k in range(50)]
               for n in range(4))  # fmt: skip


def test_a_process_that_is_killed_leaves_whole_lines(own_folder):
    """Half a line, as a crash leaves it, spoils neither what was nor what comes."""
    kept = Journal(own_folder)
    kept.add(what="answer", id="05-rise", seed=1, given="1")
    line = json.dumps({"what": "answer", "id": "05-rise", "seed": 1, "given": "2"}).encode()
    for cut in range(1, len(line), 7):
        with kept.path.open("ab") as file:
            file.write(line[:cut])
        kept.add(what="answer", id="05-rise", seed=1, given=f"after {cut}")
        assert kept.events()[-1]["given"] == f"after {cut}"
    assert kept.events()[0]["given"] == "1"


def test_there_is_no_journal_in_a_checkout():
    assert journal() is None


def test_the_record_is_saved_beside_and_never_over(own_folder):
    sheet = asking.exercises("05")
    sheet.answer(6, f"<script>alert(1)</script> {SENTENCE}")
    sheet.mark(6, 0)
    sheet.hint(1)
    sheet.answer(1, "12 gal")
    first = send(sheet, do=PRINT, name="") and sheet.view.told
    assert first.endswith("record 1.html")
    page = (own_folder / "mine" / "record 1.html").read_text(encoding="utf-8")
    assert "<script>" not in page
    assert "&lt;script&gt;" in page
    assert f"Lesson 05, seed {sheet.seed}" in page
    for words in ("12 gal", "wrong unit", "marked 1 of 4", sheet.tasks[0].prompt):
        assert words in page
    assert sheet.record('A <b> "name"').endswith("record 2.html")
    assert "A &lt;b&gt;" in (own_folder / "mine" / "record 2.html").read_text(encoding="utf-8")
    assert "Nothing has been answered" in record_page([])


def test_only_what_was_read_is_a_try_and_an_empty_box_leaves_no_line(own_folder, monkeypatch):
    sheet = asking.exercises("05")
    before = len(lines_of(own_folder))
    for given in ("", "   ", "🐟", "3 kg", "3"):
        sheet.answer(1, given)
    assert sheet.progress["05-rise"].tries == 1
    assert len(lines_of(own_folder)) == before + 3
    monkeypatch.setattr(sheets, "_sheets", {})
    assert asking.exercises("05").progress["05-rise"].tries == 1
    page = record_page(Journal(own_folder).events())
    assert re.search(r"<td>(wrong|mistake)</td><td>1</td><td>0</td>", page), "tries, then hints"
    asking.exercises("11", change=lambda *_: 1 / 0)
    assert asking.exercises("11").progress["11-change"].tries == 0


def test_the_record_bears_the_name_that_was_written_once(own_folder, monkeypatch):
    sheet = asking.exercises("05")
    shown = send(sheet, do=PRINT, name="")
    assert sheet.view.told.startswith("It bears no name")
    shown = send(sheet, do="answer", name="record-name", value="  Group 4,\n number <17> ")
    assert shown["record-name"]["said"] == "Kept: Group 4, number <17>"
    monkeypatch.setattr(sheets, "_sheets", {})
    other = asking.exercises("07")
    assert send(other, do=PRINT, name="")["record-name"]["given"] == "Group 4, number <17>"
    assert other.view.told.startswith("Your record lies in ")
    words, file, address = other.view.link
    assert file == "record 2.html"
    assert words
    page = base64.b64decode(address.removeprefix("data:text/html;base64,")).decode()
    assert "<h1>Record of exercises: Group 4, number &lt;17&gt;</h1>" in page
    assert page == (own_folder / "mine" / "record 2.html").read_text(encoding="utf-8")


def test_where_nothing_is_kept_no_name_is_asked(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    sheet = asking.exercises("05")
    assert "record-name" not in send(sheet, do="answer", name="record-name", value="A")
    assert list(tmp_path.iterdir()) == []
