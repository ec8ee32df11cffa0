"""The keeper's own log, chosen in the page: read, reported on, and never changed."""

from __future__ import annotations

import base64
import binascii
import io
from collections.abc import Callable
from os import PathLike
from typing import IO, Any

from aqualib.lesson.asking.on_page import Asked, Item
from aqualib.lesson.asking.tank_of_log import tank_of_log
from aqualib.lesson.whose_tank import whose_tank
from aqualib.setting import Followers
from aqualib.tank.test_log import OwnLog, OwnTank, own_log, own_tank
from aqualib.units import unit_set
from aqualib.validity import OneOf, ValidityError, quoted

FILE, BASIS, DATES, START, SAYS = "file", "basis", "dates", "start", "says"
WHERE = (
    "A CSV file on this computer: save it as CSV from your table or notes program. It goes to the "
    "Python behind this page, is only read, and goes nowhere else."
)
ASKED = {
    BASIS: ("Nitrogen numbers are", {"as the headings say": "", "as N": "N", "as ion": "ion"}),
    DATES: (
        "Dates are",
        {"as they stand": "", "day first": "day", "month first": "month"},
    ),
}
"""What the file may leave open, and the words to say it with."""


class ChosenLog(Asked):
    """A file to choose, and what it says of the tank; without a file it is the invented log.

    The tank is the one that is given, or else, for a file, the one in use.
    """

    def __init__(self, tank: OwnTank | None = None) -> None:
        super().__init__("Your own log")
        self.tank = tank
        self.file: str | PathLike[str] | tuple[str, bytes] | None = None
        self.said = {BASIS: "", DATES: "", START: ""}
        self.log: OwnLog
        self._followers = Followers()
        self._read()
        unit_set.follow(self.show)
        whose_tank.follow(self._on_tank)

    def choose(self, file: str | PathLike[str] | IO[Any] | None, **said: str) -> str:
        """Read a file by its path, or an open one, and say what it says.

        What the file leaves open is told by `basis` ("N", "ion"), `dates` ("day", "month") and
        `start`, the date of day 0.
        """
        for name in said:
            if name not in self.said:
                valid = OneOf(tuple(self.said)).text
                raise ValidityError("said", quoted(name), valid, "", "is not asked")
        if file is not None and not isinstance(file, str | PathLike):
            found = file.read()
            data = found.encode() if isinstance(found, str) else bytes(found)
            file = (str(getattr(file, "name", "log")), data)  # type: ignore[assignment]
        self.file = file  # type: ignore[assignment]
        self.said.update(said)
        self._read()
        self.show()
        return self.text()

    def follow(self, listener: Callable[[], None]) -> None:
        """Call the bound method `listener` each time a log was read, while its owner lives."""
        self._followers.follow(listener)

    def items(self) -> list[Item]:
        """Return the file's box, what it may leave open, and what it says."""
        name = self.file[0] if isinstance(self.file, tuple) else str(self.file or "")
        boxes = [Item(name=FILE, kind=FILE, label="Your log", prompt=WHERE, given=name)]
        for key, (label, words) in ASKED.items():
            given = next(word for word, value in words.items() if value == self.said[key])
            choices = list(words)
            boxes.append(
                Item(name=key, kind="choice", label=label, choices=choices, given=given,
                     button="Read again")
            )  # fmt: skip
        day = Item(name=START, kind="number", label="Day 0, such as 2026-03-02",
                   prompt="left empty: the first date", given=self.said[START],
                   button="Read again")  # fmt: skip
        return [*boxes, day, Item(name=SAYS, kind="told", said=self.text())]

    def text(self) -> str:
        """Return the whole report, or why there is none."""
        return str(self.log)

    def take(self, name: str, what: str, value: object) -> None:
        """Take a file, or what it leaves open, from the page."""
        if name == FILE and what == FILE:
            sent = _sent(value)
            if sent is None:
                return
            self.file = sent
        elif name in ASKED and what == "answer" and isinstance(value, str):
            self.said[name] = ASKED[name][1].get(value, self.said[name])
        elif name == START and what == "answer" and isinstance(value, str):
            self.said[START] = value.strip()[:40]
        else:
            return
        self._read()

    def _on_tank(self) -> None:
        self._read()
        self.show()

    def _read(self) -> None:
        """Read the file anew; whatever is wrong with it is said in words."""
        given: Any = self.file
        if isinstance(given, tuple):
            given = io.BytesIO(given[1])
            given.name = self.file[0]  # type: ignore[index]
        try:
            self.log = own_log(
                given,
                # The invented log is of the invented tank, whoever looks at it.
                self.tank or (own_tank() if given is None else tank_of_log()),
                basis=self.said[BASIS],
                start=self.said[START] or None,
                dates=self.said[DATES],
            )
        except ValidityError as refused:
            self.log = OwnLog(own_tank(), trouble=f"Not read: {refused}")
        self._followers.tell()


def chosen_log(tank: OwnTank | None = None) -> ChosenLog:
    """Return a box to choose your own log with; a cell shows it, and what the file says."""
    return ChosenLog(tank)


def _sent(value: object) -> tuple[str, bytes] | None:
    """Return the name and the bytes of a file that the page sent; None for anything else."""
    match value:
        case [str() as name, str() as data]:
            try:
                return name[:80], base64.b64decode(data, validate=True)
            except (binascii.Error, ValueError):
                return None
    return None
