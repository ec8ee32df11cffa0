"""All exercises of a lesson in one place of the page: answers, hints, and what is kept of them."""

from __future__ import annotations

import base64
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from aqualib.lesson.asking.bank import exercises_of
from aqualib.lesson.asking.journal import USUAL_SEED, Journal, journal
from aqualib.lesson.asking.models import tried
from aqualib.lesson.asking.on_page import Asked, Item
from aqualib.lesson.asking.record import record_page
from aqualib.lesson.asking.task import COUNTED, KEPT, Task
from aqualib.lesson.asking.typed import wanted
from aqualib.lesson.handout import save
from aqualib.units import unit_set
from aqualib.validity import Range, ValidityError, quoted

PRINT = "Make my record, to print"
SAVE_LINK = "Save it from here as well"
NO_NAME = "It bears no name: write one into the box above, and make it again. "
LONGEST_WORDS = 5000
LEAST_WORDS = 8
"""of an explanation: fewer say nothing that a rubric could be set beside"""
NAME = "record-name"
"""The box for what the record bears, among the exercises."""
NAME_ASKED = Item(
    name=NAME,
    kind="name",
    label="Your name, or the number that your teacher gave you",
    prompt="It is kept beside your answers and stands on the printed record.",
    button="Keep",
)
LONGEST_NAME = 80
WELL_KEPT = "Kept. Now set it beside the rubric below, and tick what yours says."


@dataclass
class Progress:
    """How far a learner is with one exercise."""

    given: str = ""
    found: str = ""
    said: str = ""
    tries: int = 0
    hints: int = 0
    marked: list[int] = field(default_factory=list)


class Sheet(Asked):
    """The exercises of one lesson with one learner's numbers."""

    def __init__(self, lesson: str, seed: int, kept: Journal | None) -> None:
        super().__init__("Exercises")
        self.tasks = tuple(Task(exercise, seed) for exercise in exercises_of(lesson))
        self.lesson = lesson
        self.seed = seed
        self.journal = kept
        self.progress = {task.exercise.id: Progress() for task in self.tasks}
        for event in kept.events() if kept else []:
            if event.get("seed") == seed and event.get("id") in self.progress:
                _follow(self.progress[event["id"]], event)
        self._tell()
        unit_set.follow(self.show)

    def answer(self, which: int | str, given: object) -> str:
        """Take an answer to exercise 1, 2, ... (or by its id), and return what is said of it."""
        task, now = self._found(which)
        now.given = given if isinstance(given, str) else str(given)[:200]
        if task.exercise.kind == "words":
            now.found, now.said = self._kept_words(given)
        else:
            verdict = task.judged(given)
            now.found, now.said = verdict.found, verdict.words
        now.tries += now.found in COUNTED
        if now.given.strip():
            self._write(task, "answer", given=now.given[:LONGEST_WORDS], found=now.found)
        self.show()
        return now.said

    def hint(self, which: int | str) -> str:
        """Return the next hint; the last one is the answer."""
        task, now = self._found(which)
        if now.hints < len(task.hints):
            now.hints += 1
            self._write(task, "hint", hints=now.hints)
        self.show()
        shown_ = task.hints[: now.hints]
        return shown_[-1] if shown_ else "There is no hint."

    def mark(self, which: int | str, place: int, *, said: bool = True) -> None:
        """Tick, or untick, one line of a rubric: your own words say it."""
        task, now = self._found(which)
        if place in range(len(task.exercise.rubric)):
            now.marked = sorted({*now.marked, place} if said else {*now.marked} - {place})
            self._write(task, "mark", marked=now.marked)
        self.show()

    def try_model(self, name: str, written: Callable[..., Any]) -> str:
        """Test the function that a learner wrote for the exercise with this model."""
        for task in self.tasks:
            if task.exercise.model == name:
                now = self.progress[task.exercise.id]
                now.found, now.said = tried(name, written, task.exercise.data)
                now.tries += now.found in COUNTED
                if now.found:
                    self._write(task, "answer", given="a function", found=now.found)
                return now.said
        models = " or ".join(t.exercise.model for t in self.tasks if t.exercise.model) or "none"
        raise ValidityError("model", quoted(name), models, "", "is no exercise of this lesson")

    def record(self, name: str = "") -> str:
        """Save the record of all lessons as a page to print, and say where it lies."""
        if self.journal is None:
            return (
                "There is no record here: answers are kept only where the lessons are your own "
                "copies (python -m aqualib)."
            )
        folder = self.journal.path.parent
        name = name or self.journal.name()
        page = record_page(self.journal.events(), name)
        number = 1 + sum(1 for _ in folder.glob("record *.html"))
        while (folder / f"record {number}.html").exists():
            number += 1
        saved = save(page, folder / f"record {number}.html").resolve()
        packed = base64.b64encode(page.encode()).decode()
        self.link = (SAVE_LINK, saved.name, f"data:text/html;base64,{packed}")
        return f"{'' if name else NO_NAME}Your record lies in {saved}"

    def items(self) -> list[Item]:
        """Return the exercises as the page shows them."""
        found = [self._item(place, task) for place, task in enumerate(self.tasks, 1)]
        if self.journal:
            mine = self.journal.name()
            found.append(replace(NAME_ASKED, given=mine, said=f"Kept: {mine}" if mine else ""))
        return found

    def called(self, given: str) -> None:
        """Keep the name or number that the record bears."""
        if self.journal:
            self.journal.add(what="name", name=" ".join(given.split())[:LONGEST_NAME])
            self._tell()
        self.show()

    def text(self) -> str:
        """Return the exercises as lines of text, with what was answered."""
        lines = []
        for place, task in enumerate(self.tasks, 1):
            now = self.progress[task.exercise.id]
            unit = f" [{wanted(task.exercise.unit)}]" if wanted(task.exercise.unit) else ""
            lines.append(f"{place} ({task.exercise.level_words}) {task.prompt}{unit}")
            lines += [f"   {now.said}"] if now.said else []
        return "\n".join(lines)

    def actions(self) -> list[str]:
        """Offer the record where one is kept."""
        return [PRINT] if self.journal else []

    def take(self, name: str, what: str, value: object) -> None:
        """Do what the page asks; what no page of ours would send changes nothing."""
        if what == PRINT:
            self.told = self.record()
        elif name == NAME and isinstance(value, str):
            self.called(value)
        elif name not in self.progress:
            return
        elif what == "answer" and isinstance(value, str):
            self.answer(name, value)
        elif what == "hint":
            self.hint(name)
        elif what == "mark" and isinstance(value, list) and len(value) == 2:
            self.mark(name, value[0], said=value[1] is True)

    def _item(self, place: int, task: Task) -> Item:
        exercise, now = task.exercise, self.progress[task.exercise.id]
        opened = exercise.kind == "words" and now.found == KEPT
        return Item(
            name=exercise.id,
            kind=exercise.kind,
            label=f"Exercise {place}",
            level=f"({exercise.level_words})",
            prompt=task.prompt,
            unit=wanted(exercise.unit),
            given=now.given,
            state=now.found if now.found != "wrong unit" else "odd",
            said=now.said,
            button="Keep" if exercise.kind == "words" else "Check",
            hints=task.hints[: now.hints],
            more_hints=len(task.hints) - now.hints,
            rubric=list(exercise.rubric) if opened else [],
            marked=[place in now.marked for place in range(len(exercise.rubric))],
        )

    def _found(self, which: int | str) -> tuple[Task, Progress]:
        for place, task in enumerate(self.tasks, 1):
            if which in (place, task.exercise.id) and not isinstance(which, bool):
                return task, self.progress[task.exercise.id]
        valid = f"1 to {len(self.tasks)}, or an id such as {self.tasks[0].exercise.id!r}"
        raise ValidityError("which", quoted(which), valid, "", "is none of the exercises")

    def _kept_words(self, given: object) -> tuple[str, str]:
        if not isinstance(given, str) or len(given.split()) < LEAST_WORDS:
            return (
                "odd",
                f"Write a sentence or two in your own words first: {LEAST_WORDS} at least.",
            )
        if len(given) > LONGEST_WORDS:
            return "odd", f"Please use fewer than {LONGEST_WORDS} signs."
        return KEPT, WELL_KEPT

    def _write(self, task: Task, what: str, **more: Any) -> None:
        if self.journal:
            self.journal.add(what=what, id=task.exercise.id, seed=self.seed, **more)
            self._tell()

    def _tell(self) -> None:
        if self.journal and self.journal.told:
            self.told = self.journal.told


_sheets: dict[tuple[str, int, Path | None], Sheet] = {}
"""One for each lesson, seed and journal: a cell that runs again has the answers that were given."""


def exercises(lesson: str, seed: int | None = None, **written: Callable[..., Any]) -> Sheet:
    """Return the exercises of a lesson, to be shown by a cell.

    `seed` picks the numbers; left out, it is the learner's own, or the usual one where the lessons
    are nobody's copies. Functions that an exercise asks for are given by its name.
    """
    kept = journal()
    usual = kept.seed() if kept else USUAL_SEED
    number = usual if seed is None else _seed(seed)
    mine = lesson, number, kept.path if kept else None
    if mine not in _sheets:
        _sheets[mine] = Sheet(lesson, number, kept)
    sheet = _sheets[mine]
    for name, function in written.items():
        sheet.try_model(name, function)
    return sheet


def _seed(seed: object) -> int:
    rule = Range(0, 1e9, whole=True)
    if isinstance(seed, bool) or not isinstance(seed, int) or not rule.holds(seed):
        raise ValidityError("seed", quoted(seed), rule.text, "", "is no seed")
    return seed


def _follow(now: Progress, event: dict[str, Any]) -> None:
    """Bring one exercise's progress on by what the journal says."""
    match event["what"]:
        case "answer":
            now.given, now.found = str(event.get("given", "")), str(event.get("found", ""))
            now.tries += now.found in COUNTED
            now.said = f"Answered on {str(event.get('time', ''))[:10]}: {now.found}."
        case "hint" if isinstance(event.get("hints"), int):
            now.hints = max(now.hints, event["hints"])
        case "mark" if isinstance(event.get("marked"), list):
            now.marked = [place for place in event["marked"] if isinstance(place, int)]
