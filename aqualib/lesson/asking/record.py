"""The record of a learner's exercises, a page to print: by lesson, with seed, tries and hints."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from html import escape
from typing import Any

from aqualib.lesson.asking.bank import Exercise, all_exercises
from aqualib.lesson.asking.task import COUNTED, Task
from aqualib.lesson.whole_page import html_page
from aqualib.units import label

HEADINGS = ("exercise", "answers, with their time (UTC)", "last", "tries", "hints")
STYLE = """\
@page { margin: 15mm; }
body { font: 11pt/1.4 sans-serif; color: #000; background: #fff; max-width: 52em;
  margin: 1em auto; padding: 0 1em; }
table { border-collapse: collapse; width: 100%; margin-bottom: 1.5em; }
th, td { border: 1px solid #000; padding: 0.25em 0.5em; text-align: left; vertical-align: top; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
td.given { white-space: pre-wrap; overflow-wrap: anywhere; }"""
SHOWN_TRIES = 6
"""Answers to one exercise that are listed; of more, the first and the last ones."""


def record_page(events: Iterable[Mapping[str, Any]], name: str = "") -> str:
    """Return one page of HTML that needs nothing else; every typed sign is escaped."""
    rows = [event for event in events if isinstance(event.get("id"), str)]
    lessons = all_exercises()
    parts = [
        part
        for lesson, exercises in lessons.items()
        for part in _lesson(lesson, exercises, [r for r in rows if r["id"][:2] == lesson])
    ]
    title = f"Record of exercises: {name}" if name else "Record of exercises"
    made = datetime.now(UTC).isoformat(timespec="minutes")
    about = (
        f"Made on {made}. A seed picks the numbers of a learner, so neighbours have others; with "
        "the same seed anybody gets the same exercises. What could not be read is listed and is no "
        "try. Explanations are marked by the learner, "
        "by the rubric."
    )
    head = [f"<h1>{escape(title)}</h1>", f"<p>{escape(about)}</p>"]
    return html_page(title, STYLE, [*head, *(parts or ["<p>Nothing has been answered yet.</p>"])])


def _lesson(
    lesson: str, exercises: tuple[Exercise, ...], rows: list[Mapping[str, Any]]
) -> list[str]:
    """Return what was done in one lesson, a table for each seed."""
    parts: list[str] = []
    for seed in sorted({row["seed"] for row in rows if isinstance(row.get("seed"), int)}):
        of_seed = [row for row in rows if row.get("seed") == seed]
        body = [
            _row(place, Task(exercise, seed), [r for r in of_seed if r["id"] == exercise.id])
            for place, exercise in enumerate(exercises, 1)
        ]
        head = "".join(f'<th scope="col">{heading}</th>' for heading in HEADINGS)
        parts += [f"<h2>Lesson {escape(lesson)}, seed {seed}</h2>",
                  f"<table><thead><tr>{head}</tr></thead><tbody>", *body,
                  "</tbody></table>"]  # fmt: skip
    return parts


def _row(place: int, task: Task, rows: list[Mapping[str, Any]]) -> str:
    answers = [row for row in rows if row.get("what") == "answer"]
    tries = [row for row in answers if row.get("found") in COUNTED]
    hints = max((_whole(row.get("hints")) for row in rows), default=0)
    last = str((tries or answers)[-1].get("found", "")) if answers else "not answered"
    marks = [row["marked"] for row in rows if isinstance(row.get("marked"), list)]
    if task.exercise.rubric and marks:
        last += f", marked {len(marks[-1])} of {len(task.exercise.rubric)}"
    unit = f" [{label(task.exercise.unit)}]" if task.exercise.unit else ""
    what = f"{place} ({task.exercise.level_words}). {task.prompt}{unit}"
    given = "\n".join(f"{_text(row, 'time')[:16]}: {_text(row, 'given')}" for row in _some(answers))
    cells = (escape(last), str(len(tries)), str(hints))
    return (
        f'<tr><th scope="row">{escape(what)}</th><td class="given">{escape(given)}</td>'
        + "".join(f"<td>{cell}</td>" for cell in cells)
        + "</tr>"
    )


def _some(answers: list[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    most = SHOWN_TRIES
    return answers if len(answers) <= most else [answers[0], *answers[1 - most :]]


def _text(row: Mapping[str, Any], name: str) -> str:
    return str(row.get(name, ""))


def _whole(value: Any) -> int:
    return value if isinstance(value, int) else 0
