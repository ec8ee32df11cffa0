"""Every lesson is a regression test: strict nbval, identical runs, the rules of a page."""

import json
import os
import re
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from aqualib.lesson.serving.shipped import CODE_ONLY, FIRST, WORKSHOP
from aqualib.parameters import parameter

TOP = Path(__file__).resolve().parents[1]
LESSONS = sorted((TOP / "lessons").glob("*.ipynb"))
NAMES = [path.name for path in LESSONS]
LIMIT = 80_000
GUESS = re.compile(r"^(\w+) = asking\.guess\(", re.MULTILINE)
ANATOMY = (
    "After this lesson you can",
    "Before you start",
    "## Predict",
    "Three things to try",
    "## Where this stops being true",
    "## Exercise",
    "## Key points",
    "## Cautions",
    "**Next:**",
)


@cache
def notebook_of(path):
    import nbformat  # takes a second to load: only in the process that reads notebooks

    return nbformat.v4.reads(path.read_text(encoding="utf-8"))


def cells_of(path):
    return notebook_of(path).cells


def code_cells(path):
    return [cell for cell in cells_of(path) if cell.cell_type == "code"]


def text_of(path):
    return "\n".join(cell.source for cell in cells_of(path) if cell.cell_type == "markdown")


def test_there_are_lessons():
    assert NAMES[:3] == [
        "00-start-here.ipynb",
        "01-know-your-water.ipynb",
        "02-the-nitrogen-cycle.ipynb",
    ]


def nbval(folder, *options, imports=()):
    """Run strict nbval on a folder in a process of its own; returns the finished process.

    A kernel looks for modules in `imports`, then in the folder of its notebook.
    """
    (folder / "pytest.ini").write_text("[pytest]\n", encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "--nbval", "-q"]
    return subprocess.run(
        [*command, *options, "."],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=600,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(map(str, imports))},
    )


@pytest.fixture(scope="module")
def seen_by_nbval(tmp_path_factory):
    """A strict run of all lessons, and the folder of the notebooks with the outputs it saw."""
    folder = tmp_path_factory.mktemp("lessons")
    for path in LESSONS:
        shutil.copy(path, folder)
    return nbval(folder, "-p", "keep_outputs", imports=(TOP, TOP / "tests")), folder


def test_strict_nbval_passes(seen_by_nbval):
    done, _ = seen_by_nbval
    assert done.returncode == 0, done.stdout[-4000:]
    checked = sum(len(code_cells(path)) for path in LESSONS)
    assert f"{checked} passed" in done.stdout


def without_pictures(path):
    """The notebook's text; another release of the drawing library may set a pixel otherwise."""
    return re.sub(r'"image/png": "[^"]*"', '"image/png": ""', path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_two_fresh_runs_are_byte_identical_and_as_committed(
    path, tmp_path, seen_by_nbval, monkeypatch
):
    """One run is that of `refresh`, the other that of nbval; pictures are compared as well."""
    from aqualib.lesson import refresh

    copy = Path(shutil.copy(path, tmp_path))
    refresh.refresh(copy)
    once = copy.read_bytes()
    monkeypatch.setattr(refresh, "run", lambda _: notebook_of(seen_by_nbval[1] / path.name))
    assert not refresh.refresh(copy)
    assert copy.read_bytes() == once
    stale = f"run: python -m aqualib.lesson.refresh lessons/{path.name}"
    assert without_pictures(copy) == without_pictures(path), stale


def test_refresh_says_when_it_changed_a_notebook(tmp_path, monkeypatch):
    from aqualib.lesson import refresh

    copy = Path(shutil.copy(LESSONS[0], tmp_path))
    monkeypatch.setattr(refresh, "run", lambda _: notebook_of(LESSONS[0]))
    assert not refresh.refresh(copy)
    copy.write_text(copy.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert refresh.refresh(copy)
    assert copy.read_bytes() == LESSONS[0].read_bytes()


TO_BREAK = TOP / "lessons" / "02-the-nitrogen-cycle.ipynb"
# What is broken, in which file, and how; each in a copy of its own.
BREAKS = {
    "equation": ("aqualib/water/ammonia.py", "2729.92", "2727.92"),
    "check_value": ("data/check_values.csv", ",0.0574,", ",0.0674,"),
}


@pytest.fixture(scope="module")
def after_breaking(tmp_path_factory):
    """What nbval says of a lesson beside a copy of the package in which one thing is broken."""
    top = tmp_path_factory.mktemp("broken")
    for name, (file, old, new) in BREAKS.items():
        folder = top / name
        shutil.copytree(TOP / "aqualib", folder / "aqualib")
        shutil.copytree(TOP / "data", folder / "data")
        shutil.copy(TOP / "pyproject.toml", folder)
        shutil.copy(TO_BREAK, folder)
        whole = (folder / file).read_text(encoding="utf-8")
        assert old in whole, f"{old!r} is no longer in {file}: mend this test"
        (folder / file).write_text(whole.replace(old, new, 1), encoding="utf-8")
    return nbval(top, "-rA").stdout


def cells_that(outcome, name, report):
    found = re.findall(rf"^{outcome} {name}/.*::Cell (\d+)", report, re.MULTILINE)
    return {int(number) for number in found}


def evidence_cells():
    return {n for n, cell in enumerate(code_cells(TO_BREAK)) if "evidence" in cell.source}


def test_nbval_sees_a_broken_check_value(after_breaking):
    """The table of evidence is red; all else passes, so the copy itself is sound."""
    all_cells = set(range(len(code_cells(TO_BREAK))))
    assert cells_that("FAILED", "check_value", after_breaking) == evidence_cells()
    assert cells_that("PASSED", "check_value", after_breaking) == all_cells - evidence_cells()
    assert "CheckFailedError" in after_breaking


def test_nbval_sees_a_broken_equation(after_breaking):
    """The evidence is red, and so are numbers in cells that hold none."""
    assert cells_that("FAILED", "equation", after_breaking) > evidence_cells()
    assert cells_that("PASSED", "equation", after_breaking)
    assert "FileNotFoundError" not in after_breaking


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_notebook_is_in_normal_form(path):
    import nbformat

    from aqualib.lesson.refresh import marks_of

    text, notebook = path.read_text(encoding="utf-8"), notebook_of(path)
    nbformat.validate(notebook)
    assert path.stat().st_size < LIMIT
    assert set(notebook.metadata) == {"kernelspec", "language_info"}
    assert [cell.id for cell in notebook.cells] == [
        f"{path.name[:2]}-{place:02d}" for place in range(len(notebook.cells))
    ]
    counts = [cell.execution_count for cell in code_cells(path)]
    assert counts == list(range(1, len(counts) + 1))
    for word in ("NBVAL", "nbval-", "raises-exception", "/root", "/home", "/tmp", "widget-view"):
        assert word not in text
    for cell in notebook.cells:
        assert cell.metadata == marks_of(cell, tagged=CODE_ONLY in cell.metadata.get("tags", []))


@pytest.mark.parametrize("path", [*LESSONS, TOP / "lessons" / WORKSHOP], ids=lambda path: path.name)
def test_its_top_names_the_menu_entry_that_brings_it_to_life(path):
    """In any JupyterLab it opens as stills; where there is no menu, a page does not speak of it."""
    first, second = (cell.source for cell in cells_of(path)[:2])
    entry = "**Run → Run All Cells**"
    if path.name == FIRST:
        assert entry in second
    else:
        assert re.search(
            rf'^<span class="aqualib-menu">[^<]*{re.escape(entry)}', first, re.MULTILINE
        )
    templates = TOP / "aqualib/lesson/serving/jupyter/voila/templates/aqualib"
    style = (templates / "lesson-page.css").read_text(encoding="utf-8")
    assert re.search(r"\.aqualib-menu \{ display: none; \}", style)


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_outputs_are_whole_and_quiet(path):
    silent = re.compile(r"^(from |import |set_units|my_\w+ = |    |\)|#|$)")
    for cell in code_cells(path):
        only_names = all(silent.match(line) for line in cell.source.splitlines())
        assert cell.outputs or only_names, f"no output to compare in:\n{cell.source}"
        for output in cell.outputs:
            assert output.output_type != "error"
            assert output.get("name") != "stderr"
            assert "0x" not in json.dumps(output.get("text", ""))


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_code_cells_are_short(path):
    for cell in code_cells(path):
        assert len(cell.source.splitlines()) <= 10, cell.source
    # A folded cell shows a single line.
    lengths = sorted(
        1 if cell.metadata.get("jupyter") else len(cell.source.splitlines())
        for cell in code_cells(path)
    )
    assert lengths[len(lengths) // 2] <= 5


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_lesson_has_every_part(path):
    text = text_of(path)
    for part in ANATOMY:
        assert part in text, f"{path.name} lacks {part!r}"
    code = "\n".join(cell.source for cell in code_cells(path))
    for call in ("asking.compare(", f'asking.exercises("{path.name[:2]}"', "bibliography("):
        assert call in code, f"{path.name} lacks {call!r}"
    assert "**Hint**" in text
    assert "evidence_by_id(" in code or "evidence(" in code, f"{path.name} has no evidence table"
    assert 20 <= len(cells_of(path)) <= 30


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_a_guess_is_made_before_its_answer_is_shown(path):
    """Each question under Predict is compared later; what the three tries give is folded."""
    cells = [cell.source for cell in code_cells(path)]
    asked = [(name, n) for n, code in enumerate(cells) for name in re.findall(GUESS, code)]
    assert asked
    for name, n in asked:
        compared = [m for m, code in enumerate(cells) if f"asking.compare({name}, " in code]
        assert compared, f"{name} is never compared"
        assert min(compared) > n
    assert any("with asking.fold():" in code for code in cells)
    for cell in code_cells(path):
        shown = json.dumps([output.get("data", {}) for output in cell.outputs])
        assert ("make your guess under Predict" in shown) == ("asking.compare(" in cell.source)


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_lesson_refutes_one_misconception_and_adds_its_line_to_the_sheet(path):
    thoughts = re.findall(r"\*\*Many think\*\*(.*?)(?:\n\n|$)", text_of(path), re.DOTALL)
    assert len(thoughts) == 1, "one belief that the lesson refutes: **Many think** ... **but** ..."
    assert "**but**" in thoughts[0]
    sheet = f'tank_sheet("{path.name[:2]}")'
    assert sum(sheet in cell.source for cell in code_cells(path)) == 1
    assert "our invented tank" in text_of(path).lower()


# The guess speaks of the running tank in words; these rows must stand in it as they are now.
GUESSED_WITH = {
    "00": ("tank_length", "tank_width", "water_depth"),
    "01": ("tank_length", "tank_width", "water_depth", "gravel_depth", "rock_mass"),
    "02": ("tank_volume", "tank_temperature", "tank_ph", "tank_feed", "food_protein"),
    "03": ("tank_volume", "tank_temperature", "tank_feed"),
    "04": ("pump_rated_flow", "pump_rated_head", "tank_volume", "hose_length", "hose_bore"),
    "06": ("filter_media",),
    "14": ("tank_volume", "tank_temperature", "tank_feed"),
}


@pytest.mark.parametrize("lesson", GUESSED_WITH)
def test_the_guess_has_the_numbers_of_the_running_tank(lesson):
    path = next(path for path in LESSONS if path.name.startswith(lesson))
    guess = next(cell.source for cell in cells_of(path) if cell.source.startswith("## Predict"))
    there = set(re.findall(r"\d+(?:\.\d+)?", guess))
    for row in GUESSED_WITH[lesson]:
        assert f"{parameter(row).value:g}" in there, f"{path.name} guesses with another {row}"


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_links_lead_somewhere(path):
    headings = {
        other.name: {
            line.lstrip("# ").replace(" ", "-")
            for line in text_of(other).splitlines()
            if line.startswith("#")
        }
        | set(re.findall(r'<a id="([a-z-]+)"></a>\*\*', text_of(other)))
        for other in LESSONS
    }
    for target in re.findall(r"\]\(([^)]+)\)", text_of(path)):
        name, _, heading = target.partition("#")
        assert name in headings, target
        assert not heading or heading in headings[name], target


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_each_trade_word_leads_to_its_entry_on_its_first_use(path):
    from aqualib.lesson.glossary import with_links

    texts = [cell.source for cell in cells_of(path) if cell.cell_type == "markdown"]
    assert with_links(texts) == texts, f"run: python -m aqualib.lesson.refresh lessons/{path.name}"


def test_each_entry_of_the_glossary_has_its_words_and_its_place():
    from aqualib.lesson.glossary import entries

    places = re.findall(r'^- <a id="([a-z-]+)"></a>\*\*', text_of(LESSONS[0]), re.MULTILINE)
    assert len(places) == len(set(places))
    assert set(places) == set(entries().values())
    assert "\n- **" not in text_of(LESSONS[0]).partition("## Glossary")[2], "an entry without place"


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_each_panel_has_a_still_picture_with_a_sentence(path):
    pictures = [
        output
        for cell in code_cells(path)
        for output in cell.outputs
        if "image/png" in output.get("data", {})
    ]
    assert pictures
    for output in pictures:
        text = re.fullmatch(r"\[([^\]]+)\] (.{40,})", output.data["text/plain"])
        assert text, "a title in brackets, then a sentence"
        assert output.metadata["image/png"]["alt"] == text[2]
