"""What the trees say: the words of every symptom and leaf, from `data/symptoms.json`."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from string import Formatter
from typing import Any

from aqualib.files import data_file
from aqualib.sources import cite, references
from aqualib.tank.symptoms.questions import Figure
from aqualib.validity import ValidityError

FILE = "symptoms.json"
NO_SOURCE = ("common practice, no source", "from memory")
"""What stands in place of a key where nothing was read."""
SURE = ("Sure", "Fairly sure", "A guess")
"""How sure a leaf may be; its reason follows after a colon."""
PARTS = ("likely", "sure", "sum", "otherwise", "tonight", "week", "call")
"""The sentences of a leaf."""
CODE = re.compile(r"[a-z]+(-[a-z]+)*")


@dataclass(frozen=True, slots=True)
class Leaf:
    """An answer of a tree, in words; `{names}` in them stand for numbers of its sum."""

    code: str
    name: str
    """In two or three words, for a drawing."""
    question: str
    """That leads here by a yes; the last leaf of a tree has none."""
    likely: str
    sure: str
    sum: str
    otherwise: str
    tonight: str
    week: str
    call: str
    cautions: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def origin(self) -> str:
        """Where the words come from: short citations, or that there is no source."""
        told = (key if key in NO_SOURCE else cite(key, "") for key in self.sources)
        return "; ".join(dict.fromkeys(told))

    def filled(self, part: str, figures: Mapping[str, Figure]) -> str:
        """Return a sentence of the leaf with its numbers put in, in the unit set in force."""
        words: str = getattr(self, part)
        return words.format_map(figures)


@dataclass(frozen=True, slots=True)
class Symptom:
    """What a keeper sees, the two measurements it asks for, those that help, and the leaves."""

    code: str
    says: str
    asks: tuple[str, str]
    also: tuple[str, ...]
    leaves: tuple[Leaf, ...]

    @property
    def measurements(self) -> tuple[str, ...]:
        """All that the tree takes, the two that it asks for first."""
        return (*self.asks, *self.also)


@lru_cache(maxsize=1)
def symptoms() -> dict[str, Symptom]:
    """Return every symptom of `data/symptoms.json` by its code, or refuse the file in words."""
    try:
        found = json.loads(data_file(FILE).read_text(encoding="utf-8"))
    except ValueError as problem:
        raise _refused("its letters", str(problem)[:60], "JSON in UTF-8") from None
    parts = ("cautions", "trees")
    if not isinstance(found, dict) or not all(_is_table(found.get(part)) for part in parts):
        raise _refused("its parts", "something else", "about, cautions and trees, by their names")
    cautions = {name: _words(f"cautions, {name}", said) for name, said in found["cautions"].items()}
    trees = {code: _symptom(code, tree, cautions) for code, tree in found["trees"].items()}
    _refuse_twins([leaf.code for tree in trees.values() for leaf in tree.leaves])
    return trees


def _symptom(code: str, tree: Any, cautions: Mapping[str, str]) -> Symptom:
    place = f"tree {code}"
    _has(place, tree, ("says", "asks", "also", "leaves"))
    asks, also = (_names(f"{place}, {part}", tree[part]) for part in ("asks", "also"))
    if len(asks) != 2 or set(asks) & set(also):
        raise _refused(f"{place}, asks", ", ".join(asks), "two measurements, none of them in also")
    if not isinstance(tree["leaves"], list) or len(tree["leaves"]) < 2:
        raise _refused(f"{place}, leaves", "too few", "two leaves or more")
    leaves = tuple(_leaf(place, leaf, cautions) for leaf in tree["leaves"])
    without = [leaf.code for leaf in leaves if not leaf.question]
    if without != [leaves[-1].code]:
        valid = "a question for each leaf but the last"
        raise _refused(f"{place}, question", ", ".join(without) or "one too many", valid)
    return Symptom(code, _words(f"{place}, says", tree["says"]), (asks[0], asks[1]), also, leaves)


def _leaf(tree: str, leaf: Any, cautions: Mapping[str, str]) -> Leaf:
    _has(tree, leaf, ("code", "name", *PARTS, "cautions", "sources"))
    code = leaf["code"]
    place = f"{tree}, leaf {code}"
    if not isinstance(code, str) or not CODE.fullmatch(code):
        raise _refused(place, repr(code)[:60], "small letters and hyphens")
    said = {part: _words(f"{place}, {part}", leaf[part]) for part in PARTS}
    how, _, reason = said["sure"].partition(":")
    if how not in SURE or not reason.strip():
        valid = f"{', '.join(SURE)}, then a colon and the reason"
        raise _refused(f"{place}, sure", said["sure"][:60], valid)
    named = _names(f"{place}, cautions", leaf["cautions"])
    known = _names(f"{place}, sources", leaf["sources"])
    if not set(named) <= set(cautions):
        raise _refused(f"{place}, cautions", ", ".join(named), ", ".join(cautions))
    if not known or not set(known) <= {*references(), *NO_SOURCE}:
        valid = f"keys of references.json, or {' or '.join(NO_SOURCE)}"
        raise _refused(f"{place}, sources", ", ".join(known), valid)
    question = leaf.get("question", "")
    name = _words(f"{place}, name", leaf["name"])
    minded = tuple(cautions[one] for one in named)
    return Leaf(code, name, question, **said, cautions=minded, sources=known)


def _is_table(part: Any) -> bool:
    return isinstance(part, dict) and bool(part)


def _has(place: str, part: Any, names: tuple[str, ...]) -> None:
    missing = [name for name in names if not isinstance(part, dict) or name not in part]
    if missing:
        raise _refused(place, f"without {', '.join(missing)}", ", ".join(names))


def _words(place: str, said: Any) -> str:
    """Return a sentence whose braces hold names; anything else is refused."""
    if not isinstance(said, str) or not said.strip():
        raise _refused(place, repr(said)[:60], "words")
    try:
        names = [name for _, name, *_ in Formatter().parse(said) if name is not None]
    except ValueError:
        names = [""]
    if not all(name.isidentifier() for name in names):
        raise _refused(place, said[:60], "words with a name in each pair of braces")
    return said


def _names(place: str, names: Any) -> tuple[str, ...]:
    if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
        raise _refused(place, repr(names)[:60], "a list of names")
    return tuple(names)


def _refuse_twins(codes: list[str]) -> None:
    twins = sorted({code for code in codes if codes.count(code) > 1})
    if twins:
        raise _refused("leaves", ", ".join(twins), "each code once")


def _refused(place: str, value: str, valid: str) -> ValidityError:
    return ValidityError(f"data/{FILE}, {place}", value, valid, "", "is not right")
