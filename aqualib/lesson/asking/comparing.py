"""A guess compared with the computed value: a number at once, a question when it is answered."""

from __future__ import annotations

from typing import Any

from IPython.display import display

from aqualib.lesson import exercises
from aqualib.lesson.asking.question import Beside, Guess


def compare(mine: Any, actual: Any, what: str) -> None:
    """Show a learner's guess beside the computed value.

    A question shows nothing of the value until it is answered. A plain number is read in the unit
    in which the value is shown.
    """
    if not isinstance(mine, Guess):
        exercises.compare(mine, actual, what)
        return
    if mine.choices:
        display(Beside(mine, what, lambda word: _words(word, actual, what)))
        return
    exercises.verdict(None, actual, what)  # whoever writes a lesson sees at once what is wrong
    display(Beside(mine, what, lambda value: exercises.verdict(value, actual, what)))


def _words(chosen: str, actual: str, what: str) -> str:
    found = "the same" if chosen == actual else "not what you thought"
    return f"{what}: your guess {chosen}, computed {actual}; {found}."
