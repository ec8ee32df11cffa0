"""How hard a lesson's prose is to read: the school grade of Flesch and Kincaid.

    python tests/reading_grade.py [--write]

prints each lesson's grade and its words in a sentence, or writes them into DEVELOPERS.md. What is
counted is running text: no headings, tables, formulas, code, citations or lists of sources. The
formula is from memory; syllables are counted by groups of vowels, right for most words.
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
LESSONS = sorted((ROOT / "lessons").glob("[0-9][0-9]-*.ipynb"))
TABLE = ROOT / "DEVELOPERS.md"
HEAD = "| lesson | grade | words in a sentence |\n|---|---|---|\n"

NOT_PROSE = re.compile(
    r"```.*?```|\$\$.*?\$\$|\$[^$\n]*\$|^[#|>][^\n]*|<[^>]+>|`[^`]*`|\([^()]*\d{4}[^()]*\)",
    re.DOTALL | re.MULTILINE,
)
LINK = re.compile(r"!?\[([^\]]*)\]\([^)]*\)")
ITEM = re.compile(r"^\s*(?:[-*]|\d+\.)\s+", re.MULTILINE)
END = re.compile(r"[.!?](?=\s|$)|\n\s*\n")
WORD = re.compile(r"[A-Za-z]+(?:['’][a-z]+)?")
VOWELS = re.compile(r"[aeiouy]+")
APART = re.compile(r"(?<![ctsg])i[aou]|[aeiou]ing$")
SILENT = re.compile(r"(?:[^laeiouy]|[aeiouy]l)e$|(?<![td])ed$|(?<![scxzgh])es$")


class Prose(NamedTuple):
    """A text in numbers."""

    grade: float
    sentence: float
    """Words in one."""


def syllables(word: str) -> int:
    """Count the syllables of a word, at least one."""
    word = word.lower()
    heard = len(VOWELS.findall(word)) + len(APART.findall(word)) - len(SILENT.findall(word))
    return max(heard, 1)


def prose_of(markdown: str) -> str:
    """Give what of a cell is running text; each item of a list is a sentence."""
    text = LINK.sub(r"\1", markdown)
    return ITEM.sub("\n\n", NOT_PROSE.sub(" ", text))


def measured(text: str) -> Prose:
    """Measure running text."""
    sentences = [found for part in END.split(text) if (found := WORD.findall(part))]
    words = [word for sentence in sentences for word in sentence]
    long = len(words) / len(sentences)
    heavy = sum(map(syllables, words)) / len(words)
    return Prose(0.39 * long + 11.8 * heavy - 15.59, long)


def lesson(path: Path) -> Prose:
    """Measure a lesson's prose."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    texts = ("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")
    return measured("\n\n".join(prose_of(text) for text in texts))


def table() -> str:
    """Give the table of all lessons."""
    rows = ((path.stem, lesson(path)) for path in LESSONS)
    return HEAD + "".join(f"| {n} | {p.grade:.1f} | {p.sentence:.0f} |\n" for n, p in rows)


def main() -> None:
    """Print the table, or write it."""
    if "--write" not in sys.argv:
        print(table())
        return
    text = TABLE.read_text(encoding="utf-8")
    before, after = text.split(HEAD)
    rest = after[re.match(r"(?:\|.*\n)*", after).end() :]  # type: ignore[union-attr]
    TABLE.write_text(before + table() + rest, encoding="utf-8")


if __name__ == "__main__":
    main()
