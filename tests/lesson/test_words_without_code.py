"""A page without code speaks of none: what asks for cells or menus is left out of it."""

import json
import re
from pathlib import Path

from aqualib.lesson.serving.shipped import CODE_ONLY, shipped_lessons

NOT_SEEN = re.compile(r'<span class="aqualib-menu">.*?</span>', re.DOTALL)
"""What the pages' style hides, as it does cells with the tag."""
OF_CODE = re.compile(
    r"Run All|code above|code below|run the cell|cell below|Shift \+ Enter|`asking\.|"
    r"[Cc]hange `|In code, |From code, |folded behind a bar"
)
MODEL = "is for those who write code, in JupyterLab: "
"""An exercise that asks for a function says so, in whatever way the lesson is read."""


def cells_of(path: Path):
    return json.loads(path.read_text(encoding="utf-8"))["cells"]


def text_of(cell):
    return "".join(cell["source"])


def test_no_page_asks_for_what_it_does_not_have():
    found = []
    for path in shipped_lessons().values():
        for cell in cells_of(path):
            if cell["cell_type"] != "markdown" or CODE_ONLY in cell["metadata"].get("tags", []):
                continue
            seen = NOT_SEEN.sub("", text_of(cell)).partition(MODEL)[0]
            found += [(path.name, words) for words in re.findall(OF_CODE, seen)]
    assert found == []


def test_what_is_for_code_alone_is_hidden_on_pages():
    first = cells_of(next(iter(shipped_lessons().values())))
    hidden = [text_of(cell) for cell in first if CODE_ONLY in cell["metadata"].get("tags", [])]
    assert [text.startswith(("## Run a page", "The same three")) for text in hidden] == [True, True]


def test_the_first_lesson_names_all_others_and_the_leaders_pages():
    names = list(shipped_lessons())
    first = "\n".join(text_of(cell) for cell in cells_of(shipped_lessons()[names[0]]))
    listed = re.findall(r"^- \[(\d\d) · ([^\]]+)\]\(([^)]+)\)$", first, re.MULTILINE)
    titles = [text_of(cells_of(shipped_lessons()[name])[0]).splitlines()[0] for name in names[1:]]
    assert [f"# {number} · {title}" for number, title, _ in listed] == titles
    assert [name for _, _, name in listed] == names[1:]
    assert "`lessons/leading`" in first
    assert "aqualib pages workshop" in first


def test_the_club_path_fills_ninety_minutes():
    first = "\n".join(text_of(cell) for cell in cells_of(next(iter(shipped_lessons().values()))))
    row = re.search(r"^\| at a club evening \((\d+) minutes\) \|([^|]+)\|", first, re.MULTILINE)
    assert row is not None
    assert sum(map(int, re.findall(r"\((\d+)(?: minutes)?\)", row[2]))) == int(row[1]) == 90
