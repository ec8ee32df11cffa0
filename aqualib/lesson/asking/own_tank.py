"""The form of one's own tank: every field may be left open, in any unit; kept in `mine/`."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

from aqualib.lesson.asking.as_typed import read_field
from aqualib.lesson.asking.by_rule import asked_again, read_by_rule, shown_by_rule
from aqualib.lesson.asking.form_words import ASKED, CHOICES, NAMES, TRAY, TRAYS
from aqualib.lesson.asking.on_page import Asked, Item
from aqualib.lesson.asking.typed import NotReadError, wanted
from aqualib.lesson.whose_tank import MINE, own_file, use_tank, whose_tank
from aqualib.tank.plan import (
    Filter,
    System,
    Tray,
    filled,
    load_system,
    outcome,
    save_system,
    widest_unknowns,
)
from aqualib.tank.plan.parts import Part
from aqualib.tank.plan.system import (
    LONGEST_CURRENCY,
    LONGEST_NAME,
    MAY_BE_LEFT_OUT,
    PARTS,
    one_line,
)
from aqualib.units import unit_set
from aqualib.validity import OneOf, Range, ValidityError

SAVE = "Save my tank"
LONGEST = 200
LINES = {"name": (LONGEST_NAME, 1), "currency": (LONGEST_CURRENCY, 0)}


class TankForm(Asked):
    """What is asked, what was answered, and the system that comes of it.

    `form.answer("tank.water", "60 L")` and the box in the page do the same.
    """

    def __init__(self, file: Path | None = None) -> None:
        """Open the form on the tank in a file (usual: `mine/tank.json`), or empty."""
        super().__init__("Your tank")
        self.file = file
        self.typed: dict[str, str] = {}
        self.values: dict[str, Any] = {}
        self.said: dict[str, tuple[str, str]] = {}
        self.more: tuple[Tray, ...] = ()
        """Trays of the file beyond those the form asks for; they are kept."""
        self._taken: dict[str, str] = {}
        self._open()
        unit_set.follow(self.show)

    @property
    def place(self) -> Path:
        """The file of the tank."""
        return self.file or own_file()

    def answer(self, field: str, given: object) -> str:
        """Take an answer, "" to leave the field open, and say in words what was kept."""
        if field not in fields():
            valid = ", ".join(list(fields())[:4]) + ", …"
            raise ValidityError("field", repr(field)[:60], valid, "", "is none of the form")
        self.typed[field] = str(given)[:LONGEST]
        self.values.pop(field, None)
        self.said.pop(field, None)
        if self.typed[field].strip():
            try:
                self.values[field] = _value(field, given)
                self.said[field] = ("kept", f"Kept: {_in_words(field, self.values[field])}.")
            except (NotReadError, ValidityError) as refused:
                self.said[field] = ("odd", asked_again(refused))
        self.show()
        return self.said.get(field, ("", "Left open."))[1]

    @property
    def system(self) -> System:
        """The tank as far as it was told; raises in words what does not go together."""
        words = {name: self.values[name] for name in NAMES if name in self.values}
        parts: dict[str, Any] = {name: self._part(name, kind) for name, kind in PARTS.items()}
        told = {name: part for name, part in parts.items() if part is not None}
        return System(**words, **told)

    def save(self) -> str:
        """Keep the tank in its file; what stood there before is kept beside it."""
        try:
            system = self.system
            filled(system)
            self.place.parent.mkdir(exist_ok=True)
            save_system(system, self.place)
        except ValidityError as refused:
            self.told = f"Not saved yet. {refused}"
        except OSError as problem:
            self.told = f"Not saved: {problem.strerror}."
        else:
            kept = f"Saved in {self.place.parent.name}/{self.place.name}."
            choose = "Choose “My tank” in the head of any panel."
            self.told = f"{kept} {self._unread()}{choose} {self.summary()}"
            if whose_tank.value == MINE and self.file is None:
                use_tank(MINE)
        self.show()
        return self.told

    def _unread(self) -> str:
        """Say which boxes hold what could not be read."""
        odd = [fields()[field][0] for field, (state, _) in self.said.items() if state == "odd"]
        return f"Not read, and so left open: {'; '.join(odd)}. " if odd else ""

    def summary(self) -> str:
        """Say how much was left open, and which measurements would help most."""
        try:
            system = self.system
            whole, assumed = filled(system)
            best = widest_unknowns(system, whole, outcome(whole))
        except ValidityError as refused:
            return str(refused)
        if not assumed:
            return "Nothing was left open."
        open_ = f"{len(assumed)} numbers were left open and taken from the lessons' tank or a rule."
        help_ = "; ".join(unknown.measure[0].lower() + unknown.measure[1:] for unknown in best)
        return f"{open_} What would help most: {help_}." if help_ else open_

    def show(self) -> None:
        """Bring the page up to date."""
        self._taken = self._find_taken()
        super().show()

    def items(self) -> list[Item]:
        """Return every field as the page shows it, folded by parts."""
        return [self._item(field) for field in fields()]

    def actions(self) -> list[str]:
        """Return the one button."""
        return [SAVE]

    def take(self, name: str, what: str, value: object) -> None:
        """Take what the page sends."""
        if what == SAVE:
            self.save()
        elif what == "answer" and name in fields():
            self.answer(name, value)

    def text(self) -> str:
        """Return what was told, a line for each part."""
        lines = [f"{heading}: {self._in_line(part)}" for part, (heading, _) in ASKED.items()]
        name = self.values.get("name", "")
        return "\n".join([f"{self.name}: {name or 'no name yet'}", *lines])

    def _in_line(self, part: str) -> str:
        given = [f for f in fields() if f.startswith(f"{part}.") and f in self.values]
        words = (f"{fields()[f][0]}: {_in_words(f, self.values[f])}" for f in given)
        return "; ".join(words) or "all left open"

    def _item(self, field: str) -> Item:
        words, rule = fields()[field]
        state, said = self.said.get(field, ("", ""))
        choices = CHOICES.get(field.rpartition(".")[2])
        part = field.partition(".")[0]
        return Item(
            name=field,
            kind="choice" if choices else "number" if isinstance(rule, Range) else "line",
            label=words,
            unit=wanted(rule.unit) if isinstance(rule, Range) else "",
            given=self.typed.get(field, ""),
            choices=list(choices or ()),
            state=state,
            said=said or self._taken.get(field, ""),
            button="",
            group=ASKED[part][0] if part in ASKED else "",
        )

    def _find_taken(self) -> dict[str, str]:
        try:
            assumed = filled(self.system)[1]
        except ValidityError:
            return {}
        return {one.place: f"Left open: {one.value}, {one.ground}." for one in assumed}

    def _part(self, name: str, kind: type[Part]) -> Part | None:
        given = {
            field.partition(".")[2]: value
            for field, value in self.values.items()
            if field.startswith(f"{name}.") and not field.startswith("filter.tray ")
        }
        if name == "filter":
            trays = (*self._trays(), *self.more)
            return Filter(trays=trays, **given) if trays else None
        return kind(**given) if given or name not in MAY_BE_LEFT_OUT else None

    def _trays(self) -> Iterator[Tray]:
        for at in range(1, TRAYS + 1):
            given = {
                key: self.values[f"filter.tray {at}.{key}"]
                for key in TRAY
                if f"filter.tray {at}.{key}" in self.values
            }
            if given:
                missing = [key for key in ("holds", "height") if key not in given]
                if missing:
                    why = f"has no {missing[0]} yet"
                    valid = "what it holds, and its height"
                    raise ValidityError(f"tray {at}", "", valid, "", why)
                yield Tray(**given)

    def _open(self) -> None:
        """Fill the form from the file, if there is one."""
        if self.place.is_file():
            try:
                self._fill(load_system(self.place))
            except ValidityError as refused:
                self.told = f"{refused} It is kept when you save."
        self._taken = self._find_taken()

    def _fill(self, system: System) -> None:
        self.values = {"name": system.name}
        if system.currency:
            self.values["currency"] = system.currency
        for part in PARTS:
            found = getattr(system, part)
            given = found.given() if found is not None else {}
            self.values |= {
                f"{part}.{key}": value for key, value in given.items() if key != "trays"
            }
        trays = system.filter.trays if system.filter else ()
        self.more = trays[TRAYS:]
        for at, tray in enumerate(trays[:TRAYS], start=1):
            self.values |= {f"filter.tray {at}.{key}": v for key, v in tray.given().items()}
        self.typed = {field: _in_words(field, value) for field, value in self.values.items()}


def fields() -> dict[str, tuple[str, object]]:
    """Return every field of the form -> what is asked, and its rule."""
    return _FIELDS


def _all_fields() -> dict[str, tuple[str, object]]:
    found: dict[str, tuple[str, object]] = {name: (words, None) for name, words in NAMES.items()}
    for part, (_, asked) in ASKED.items():
        rules = PARTS[part].rules()
        found |= {f"{part}.{key}": (words, rules[key]) for key, words in asked.items()}
    rules = Tray.rules()
    for at in range(1, TRAYS + 1):
        found |= {
            f"filter.tray {at}.{key}": (
                f"Tray {at} (the water comes to 1 first): {words}",
                rules[key],
            )
            for key, words in TRAY.items()
        }
    return found


_FIELDS = _all_fields()


def _value(field: str, given: object) -> Any:
    """Return an answer as its part takes it, or raise in words."""
    rule = fields()[field][1]
    if isinstance(rule, OneOf | Range):
        return read_by_rule(rule, given, partial(read_field, field))
    return one_line(field, str(given), *LINES[field])


def _in_words(field: str, value: Any) -> str:
    return shown_by_rule(fields()[field][1], value)
