"""What the trees say: the words of every symptom and leaf, from `data/symptoms.json`."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from string import Formatter
from typing import Any, NamedTuple

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
TESTS = "ammonia", "ph"
"""What must have been tested before water is changed or the pH lifted."""
CODE = re.compile(r"[a-z]+(-[a-z]+)*")


class Caution(NamedTuple):
    """What to mind: in a few words, to stand before an action, and in full."""

    first: str
    says: str


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
    cautions: tuple[Caution, ...]
    sources: tuple[str, ...]
    tested_first: bool
    """Whether it changes water or lifts the pH, so that ammonia and pH must have been told."""
    untested: Mapping[str, str]
    """What it says in place of its own words as long as they were not."""

    @property
    def origin(self) -> str:
        """Where the words come from: short citations, or that there is no source."""
        told = (key if key in NO_SOURCE else cite(key, "") for key in self.sources)
        return "; ".join(dict.fromkeys(told))

    def filled(self, part: str, figures: Mapping[str, Figure], *, tested: bool) -> str:
        """Return a sentence of the leaf with its numbers put in, in the unit set in force."""
        words: str = getattr(self, part)
        if not tested:
            words = self.untested.get(part, words)
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
    def wants_tests(self) -> bool:
        """Whether some leaf wants ammonia and pH, and the tree does not ask for both anyway."""
        some = any(leaf.tested_first for leaf in self.leaves)
        return some and not set(TESTS) <= set(self.asks)

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
    parts = ("cautions", "shared", "untested", "trees")
    if not isinstance(found, dict) or not all(_is_table(found.get(part)) for part in parts):
        valid = "about, cautions, shared, untested and trees, by their names"
        raise _refused("its parts", "something else", valid)
    cautions = {name: _caution(name, said) for name, said in found["cautions"].items()}
    shared = Shared(cautions, found["shared"], _sentences("untested", found["untested"]))
    trees = {code: _symptom(code, tree, shared) for code, tree in found["trees"].items()}
    _refuse_twins([leaf.code for tree in trees.values() for leaf in tree.leaves])
    return trees


class Shared(NamedTuple):
    """What the leaves of several trees have in common."""

    cautions: Mapping[str, Caution]
    leaves: Mapping[str, Any]
    untested: Mapping[str, str]


def _symptom(code: str, tree: Any, shared: Shared) -> Symptom:
    place = f"tree {code}"
    _has(place, tree, ("says", "asks", "also", "leaves"))
    asks, also = (_names(f"{place}, {part}", tree[part]) for part in ("asks", "also"))
    if len(asks) != 2 or set(asks) & set(also):
        raise _refused(f"{place}, asks", ", ".join(asks), "two measurements, none of them in also")
    if not isinstance(tree["leaves"], list) or len(tree["leaves"]) < 2:
        raise _refused(f"{place}, leaves", "too few", "two leaves or more")
    leaves = tuple(_leaf(place, leaf, shared) for leaf in tree["leaves"])
    without = [leaf.code for leaf in leaves if not leaf.question]
    if without != [leaves[-1].code]:
        valid = "a question for each leaf but the last"
        raise _refused(f"{place}, question", ", ".join(without) or "one too many", valid)
    return Symptom(code, _words(f"{place}, says", tree["says"]), (asks[0], asks[1]), also, leaves)


def _leaf(tree: str, leaf: Any, shared: Shared) -> Leaf:
    leaf = _with_like(tree, leaf, shared.leaves)
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
    if not named or not set(named) <= set(shared.cautions):
        valid = f"one or more of {', '.join(shared.cautions)}"
        raise _refused(f"{place}, cautions", ", ".join(named), valid)
    if not known or not set(known) <= {*references(), *NO_SOURCE}:
        valid = f"keys of references.json, or {' or '.join(NO_SOURCE)}"
        raise _refused(f"{place}, sources", ", ".join(known), valid)
    question = leaf.get("question", "")
    name = _words(f"{place}, name", leaf["name"])
    minded = tuple(shared.cautions[one] for one in named)
    first = leaf.get("tested_first", False) is True
    own = _sentences(f"{place}, untested", leaf.get("untested", {}))
    untested = {**shared.untested, **own} if first else {}
    return Leaf(
        code, name, question, **said, cautions=minded, sources=known,
        tested_first=first, untested=untested,
    )  # fmt: skip


def _with_like(tree: str, leaf: Any, shared: Mapping[str, Any]) -> Any:
    """Return a leaf that is like a shared one with its words; its own go before them."""
    if not isinstance(leaf, dict) or "like" not in leaf:
        return leaf
    like = leaf["like"]
    if not isinstance(like, str) or not isinstance(shared.get(like), dict):
        raise _refused(f"{tree}, like", repr(like)[:60], ", ".join(shared))
    return {**shared[like], **leaf}


def _caution(name: str, said: Any) -> Caution:
    place = f"cautions, {name}"
    _has(place, said, Caution._fields)
    return Caution(*(_words(f"{place}, {part}", said[part]) for part in Caution._fields))


def _sentences(place: str, said: Any) -> dict[str, str]:
    """Return sentences by the part of a leaf in whose place they stand."""
    if not isinstance(said, dict) or not set(said) <= set(PARTS):
        raise _refused(place, repr(said)[:60], f"sentences for some of {', '.join(PARTS)}")
    return {part: _words(f"{place}, {part}", words) for part, words in said.items()}


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
