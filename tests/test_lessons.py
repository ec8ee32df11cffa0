"""Every lesson is a regression test: strict nbval, identical runs, the rules of a page."""

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from aqualib.lesson import refresh

TOP = Path(__file__).resolve().parents[1]
LESSONS = sorted((TOP / "lessons").glob("*.ipynb"))
NAMES = [path.name for path in LESSONS]
LIMIT = 80_000
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


def nbval(*paths, folder):
    """Run strict nbval in a process of its own; returns the finished process."""
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "--nbval", "-q"]
    options = ["-n", "2", "--dist", "loadfile", "-c", "/dev/null", f"--rootdir={folder}"]
    return subprocess.run(
        [*command, *options, *map(str, paths)],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )


def cells_of(path):
    return nbformat.read(path, as_version=4).cells


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


def test_strict_nbval_passes(tmp_path):
    copies = [shutil.copy(path, tmp_path) for path in LESSONS]
    done = nbval(*copies, folder=tmp_path)
    assert done.returncode == 0, done.stdout[-4000:]
    checked = sum(len(code_cells(path)) for path in LESSONS)
    assert f"{checked} passed" in done.stdout


def without_pictures(path):
    """The notebook's text; another release of the drawing library may set a pixel otherwise."""
    return re.sub(r'"image/png": "[^"]*"', '"image/png": ""', path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_two_fresh_runs_are_byte_identical_and_as_committed(path, tmp_path):
    copy = Path(shutil.copy(path, tmp_path))
    refresh.refresh(copy)
    once = copy.read_bytes()
    assert not refresh.refresh(copy)
    assert copy.read_bytes() == once
    stale = f"run: python -m aqualib.lesson.refresh lessons/{path.name}"
    assert without_pictures(copy) == without_pictures(path), stale


@pytest.fixture(scope="module")
def broken(tmp_path_factory):
    """The package and one lesson copied to a place of their own, to be broken there."""
    folder = tmp_path_factory.mktemp("broken")
    shutil.copytree(TOP / "aqualib", folder / "aqualib")
    shutil.copytree(TOP / "data", folder / "data")
    shutil.copy(TOP / "lessons" / "02-the-nitrogen-cycle.ipynb", folder)
    return folder


def break_and_run(folder, file, old, new):
    path = folder / file
    whole = path.read_text(encoding="utf-8")
    assert whole.count(old) >= 1, f"{old!r} is no longer in {file}: mend this test"
    path.write_text(whole.replace(old, new, 1), encoding="utf-8")
    try:
        # The kernel starts in the notebook's folder, so it imports the broken copy.
        return nbval("02-the-nitrogen-cycle.ipynb", folder=folder)
    finally:
        path.write_text(whole, encoding="utf-8")


def test_nbval_sees_no_fault_in_the_unbroken_copy(broken):
    done = nbval("02-the-nitrogen-cycle.ipynb", folder=broken)
    assert done.returncode == 0, done.stdout[-4000:]


def test_nbval_turns_red_when_an_equation_is_broken(broken):
    done = break_and_run(broken, "aqualib/water/ammonia.py", "2729.92", "2727.92")
    assert done.returncode == 1
    assert "failed" in done.stdout


def test_nbval_turns_red_when_a_check_value_is_broken(broken):
    done = break_and_run(broken, "data/check_values.csv", ",0.0528,", ",0.0628,")
    assert done.returncode == 1
    assert "CheckFailedError" in done.stdout


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_notebook_is_in_normal_form(path):
    text = path.read_text(encoding="utf-8")
    notebook = nbformat.reads(text, as_version=4)
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
        assert cell.metadata == {}


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
    lengths = sorted(len(cell.source.splitlines()) for cell in code_cells(path))
    assert lengths[len(lengths) // 2] <= 5


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_lesson_has_every_part(path):
    text = text_of(path)
    for part in ANATOMY:
        assert part in text, f"{path.name} lacks {part!r}"
    code = "\n".join(cell.source for cell in code_cells(path))
    for call in ("exercises.compare(", "exercises.check(", "bibliography("):
        assert call in code, f"{path.name} lacks {call!r}"
    assert "evidence_by_id(" in code or "evidence(" in code, f"{path.name} has no evidence table"
    assert 20 <= len(cells_of(path)) <= 40
    assert "<details><summary>Hint</summary>" in text


@pytest.mark.parametrize("path", LESSONS, ids=NAMES)
def test_links_lead_somewhere(path):
    headings = {
        other.name: {
            line.lstrip("# ").replace(" ", "-")
            for line in text_of(other).splitlines()
            if line.startswith("#")
        }
        for other in LESSONS
    }
    for target in re.findall(r"\]\(([^)]+)\)", text_of(path)):
        name, _, heading = target.partition("#")
        assert name in headings, target
        assert not heading or heading in headings[name], target


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
        sentence = output.data["text/plain"]
        assert len(sentence) > 40
        assert output.metadata["image/png"]["alt"] in sentence
