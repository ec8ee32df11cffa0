"""A choice that holds for the whole session, and who is told when it changes."""

from __future__ import annotations

from collections.abc import Callable
from weakref import WeakMethod

from aqualib.validity import OneOf, ValidityError, quoted


class Followers:
    """Who is told when something changes: bound methods, while their owners live."""

    def __init__(self) -> None:
        self._listeners: list[WeakMethod[Callable[[], None]]] = []

    def follow(self, listener: Callable[[], None]) -> None:
        """Call the bound method `listener` after each change, while its owner lives."""
        living = [reference for reference in self._listeners if reference() is not None]
        self._listeners = [*living, WeakMethod(listener)]

    def tell(self) -> None:
        """Tell all of them; the first fault is raised once all have heard."""
        problems = []
        for reference in list(self._listeners):
            listener = reference()
            try:
                if listener is not None:
                    listener()
            except Exception as problem:  # noqa: BLE001 - raised below, once all have heard
                problems.append(problem)
        if problems:
            raise problems[0]


class Setting(Followers):
    """One word out of a few, such as the unit set; panels follow it while they live."""

    def __init__(self, name: str, words: tuple[str, ...]) -> None:
        """Make a setting that starts with the first of its words."""
        self.name = name
        self.words = words
        self.value = words[0]
        super().__init__()

    def known(self, word: object) -> str:
        """Return a word that the setting may be, or raise."""
        if not isinstance(word, str) or word not in self.words:
            valid = OneOf(self.words).text
            raise ValidityError(self.name, quoted(word), valid, "", "is not one of the choices")
        return word

    def set(self, word: object) -> None:
        """Change the setting and tell those who follow it; a word it does not know is refused."""
        known = self.known(word)
        if known == self.value:
            return
        self.value = known
        self.tell()
