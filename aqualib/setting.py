"""A choice that holds for the whole session, and who is told when it changes."""

from __future__ import annotations

from collections.abc import Callable
from weakref import WeakMethod

from aqualib.validity import OneOf, ValidityError


class Setting:
    """One word out of a few, such as the unit set; panels follow it while they live."""

    def __init__(self, name: str, words: tuple[str, ...]) -> None:
        """Make a setting that starts with the first of its words."""
        self.name = name
        self.words = words
        self.value = words[0]
        self._listeners: list[WeakMethod[Callable[[], None]]] = []

    def known(self, word: object) -> str:
        """Return a word that the setting may be, or raise."""
        if not isinstance(word, str) or word not in self.words:
            shown, valid = repr(word)[:60], OneOf(self.words).text
            raise ValidityError(self.name, shown, valid, "", "is not one of the choices")
        return word

    def set(self, word: str) -> None:
        """Change the setting and tell those who follow it; a word it does not know is refused."""
        if self.known(word) == self.value:
            return
        self.value = word
        problems = []
        for reference in list(self._listeners):
            listener = reference()
            if listener is None:
                self._listeners.remove(reference)
                continue
            try:
                listener()
            except Exception as problem:  # noqa: BLE001 - raised below, once all have heard
                problems.append(problem)
        if problems:
            raise problems[0]

    def follow(self, listener: Callable[[], None]) -> None:
        """Call the bound method `listener` after each change, while its owner lives."""
        self._listeners.append(WeakMethod(listener))
