"""Trade words led to their entry: each on its first use in a lesson, in the glossary of lesson 00.

`data/glossary_words.csv` says by which words an entry is known. Words with an everyday meaning as
well (bed, head, load) stand there only in forms that have no other. `refresh` puts the links in.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from aqualib.files import data_file, rows_of

FIRST = "00-start-here.ipynb"
HEADING = "## Glossary"
LINK = re.compile(rf"\[([^\]\[]+)\]\({re.escape(FIRST)}#([a-z-]+)\)")
# Headings, formulas, code, links and marks of HTML are left as they are.
KEPT = re.compile(
    r"^#[^\n]*|\$\$.*?\$\$|\$[^$\n]+\$|`[^`]+`|!?\[[^\]]*\]\([^)]*\)|<[^>]+>",
    re.MULTILINE | re.DOTALL,
)


@lru_cache(maxsize=1)
def entries() -> dict[str, str]:
    """Return the entry that each word leads to, words in small letters unless all are capitals."""
    rows = rows_of(data_file("glossary_words.csv"), ("entry", "words"))
    return {_key(word): row["entry"] for row in rows for word in row["words"].split("|")}


def without_links(text: str) -> str:
    """Return a text in which no word leads to its entry."""
    known = set(entries().values())
    return LINK.sub(lambda found: found[1] if found[2] in known else found[0], text)


def with_links(texts: Sequence[str]) -> list[str]:
    """Return the texts of a lesson with the first use of each trade word led to its entry.

    The glossary itself, and what stands behind it in its cell, is left alone.
    """
    seen: set[str] = set()
    return [_linked(without_links(text), seen) for text in texts]


def _linked(text: str, seen: set[str]) -> str:
    prose, heading, rest = text.partition(HEADING)
    parts: list[str] = []
    end = 0
    for kept in KEPT.finditer(prose):
        parts += [_with_first_uses(prose[end : kept.start()], seen), kept[0]]
        end = kept.end()
    parts.append(_with_first_uses(prose[end:], seen))
    return "".join([*parts, heading, rest])


def _with_first_uses(prose: str, seen: set[str]) -> str:
    def link(found: re.Match[str]) -> str:
        entry = entries()[_key(found[0])]
        if entry in seen:
            return found[0]
        seen.add(entry)
        return f"[{found[0]}]({FIRST}#{entry})"

    return _words().sub(link, prose)


@lru_cache(maxsize=1)
def _words() -> re.Pattern[str]:
    """Return what finds a trade word; of two that begin alike, the longer."""
    forms = sorted(entries(), key=len, reverse=True)
    either = "|".join(_form(form) for form in forms)
    return re.compile(rf"(?<![\w-])(?:{either})(?![\w-])")


def _form(word: str) -> str:
    """Return a word as it may stand: also with a capital at the beginning of a sentence."""
    first = word[0]
    begins = (
        f"[{first}{first.upper()}]" if first.isalpha() and first.islower() else re.escape(first)
    )
    return begins + re.escape(word[1:])


def _key(word: str) -> str:
    """Return a word as the table of words has it."""
    plain = word if word.startswith("*") or not word[:1].isupper() else word[0].lower() + word[1:]
    return word if word.isupper() or word[1:2].isupper() or word[:2] in {"UV", "pH"} else plain
