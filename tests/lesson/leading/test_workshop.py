"""The workshop: runs as the lessons do, six panels, no code in sight, 90 minutes, six beliefs."""

import itertools
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from aqualib.lesson import refresh
from aqualib.lesson.code_in_sight import FOLDED, OUT_OF_SIGHT
from aqualib.lesson.panels.careful_cleaning import cleaning_panel
from aqualib.lesson.serving.shipped import WORKSHOP
from aqualib.parameters import parameter

TOP = Path(__file__).resolve().parents[3]
PATH = TOP / "lessons" / WORKSHOP
NOTEBOOK = nbformat.v4.reads(PATH.read_text(encoding="utf-8"))
CODE = [cell for cell in NOTEBOOK.cells if cell.cell_type == "code"]
TEXT = [cell.source for cell in NOTEBOOK.cells if cell.cell_type == "markdown"]
MINUTES = re.compile(r"^## (.*) \((\d+) minutes\)", re.MULTILINE)
PANEL = re.compile(r"what_was_seen\((\w+_panel)\(\)")
SHEET = TOP / "lessons" / "leading" / "run-sheet.md"


@pytest.fixture(scope="module")
def strict_run(tmp_path_factory):
    """A strict run of nbval, as of the lessons, with the outputs that it saw."""
    folder = tmp_path_factory.mktemp("leading")
    shutil.copy(PATH, folder)
    (folder / "pytest.ini").write_text("[pytest]\n", encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-p", "keep_outputs"]
    done = subprocess.run(
        [*command, "--nbval", "-q", "."],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(TOP), str(TOP / "tests")])},
    )
    return done, folder / PATH.name


def test_strict_nbval_passes(strict_run):
    done, _ = strict_run
    assert done.returncode == 0, done.stdout[-4000:]
    assert f"{len(CODE)} passed" in done.stdout


def test_a_fresh_run_is_as_committed(strict_run, tmp_path, monkeypatch):
    copy = Path(shutil.copy(PATH, tmp_path))
    ran = nbformat.v4.reads(strict_run[1].read_text(encoding="utf-8"))
    monkeypatch.setattr(refresh, "run", lambda _: ran)
    refresh.refresh(copy)

    def without_pictures(text):
        return re.sub(r'"image/png": "[^"]*"', '"image/png": ""', text)

    assert without_pictures(copy.read_text(encoding="utf-8")) == without_pictures(
        PATH.read_text(encoding="utf-8")
    ), f"run: python -m aqualib.lesson.refresh lessons/{WORKSHOP}"


def test_no_code_is_in_sight():
    for cell in CODE:
        assert cell.metadata == {**FOLDED, "tags": [OUT_OF_SIGHT]}
    for text in TEXT:
        assert "`" not in text
        assert "import" not in text


def test_six_panels_each_in_a_part_with_a_guess_before_it_and_a_belief_after_it():
    panels = [name for cell in CODE for name in re.findall(PANEL, cell.source)]
    assert len(panels) == len(set(panels)) == 6
    parts = re.split(r"(?m)^## Part \d", "\n".join(cell.source for cell in NOTEBOOK.cells))[1:]
    assert len(parts) == 6
    for part in parts:
        order = [part.index(word) for word in (
            "**Predict.**", "asking.guess(", "**Move this.**", "what_was_seen(", "asking.compare(",
            "<details>", "**Many think**", "**but**",
        )]  # fmt: skip
        assert order == sorted(order)
        assert part.count("**Many think**") == 1
        said = part.partition("**Many think**")[2].partition("[Lesson")[0]
        assert 2 <= len(re.findall(r"[.:] |\.$", said.strip())) <= 6, "a few plain sentences"


def test_no_answer_is_open_before_it_is_asked_for():
    for cell in CODE:
        for output in cell.outputs:
            for lines in [output.get("data", {}).get("text/html", "")]:
                folded = lines.startswith("<details><summary>What was seen</summary>")
                assert not lines or folded or "table_plan" in cell.source
    assert all("<details>" in text for text in TEXT if "**Many think**" in text)


def test_the_minutes_add_up_to_90_here_and_on_the_run_sheet():
    parts = [(name, int(n)) for text in TEXT for name, n in re.findall(MINUTES, text)]
    assert sum(n for _, n in parts) == 90
    assert [n for name, n in parts if name == "Break"] == [8]
    told = [int(n) for n in re.findall(r"^\| (\d+) \| [^|]+\|$", "\n".join(TEXT), re.MULTILINE)]
    assert sum(told) == 90
    rows = re.findall(
        r"^\| (\d+)–(\d+) \| ([^|]+?) \|", SHEET.read_text(encoding="utf-8"), re.MULTILINE
    )
    assert [int(end) - int(start) for start, end, _ in rows] == [n for _, n in parts]
    assert [start for start, _, _ in rows] == ["0", *(end for _, end, _ in rows[:-1])]


def test_the_run_sheet_can_be_done():
    """Commands for both systems, how to stop, talk that fits into the minutes of each part."""
    text = SHEET.read_text(encoding="utf-8")
    commands = ("-m pip install --quiet --editable", "-m aqualib pages workshop")
    for python, command in itertools.product(
        (".venv/bin/python", r".venv\Scripts\python"), commands
    ):
        assert f"{python} {command}" in text
    assert "Ctrl + C" in text
    assert "stays readable where no Python runs" not in text
    parts = [int(n) for words in TEXT for name, n in re.findall(MINUTES, words) if "Part" in name]
    talk = {n - 1 - 4 - 2 for n in parts}
    assert talk == {3, 2}
    assert "the rest to talk, which is three, in parts 5 and 6 two" in text


def test_large_text_comes_first_and_the_plan_last():
    assert 'set_text_size("projector")' in CODE[0].source
    assert CODE[-1].source == "_ = table_plan()"
    form, shown = CODE[-1].outputs
    assert form.data["text/plain"].startswith("Your tank: ")
    assert "Carries 3.2 g of food a day" in shown.data["text/plain"]


SAID = (
    "Twice the fish needed nearly four times as many",
    "The lamp cost a day",
    "A handful of ripe media won a week",
    "took more than twice as long",
    "From hardly any pores to nearly all pores the gain was about a tenth",
    "a tenth of the seed is assumed to drift",
    "For our tank the model puts the edge at about six tenths",
    "is full in a quarter of the time",
    "Twice the media gained nearly a third",
)


def test_the_words_are_what_the_panels_show():
    """The numbers of the folded lines, from which the sentences were written."""
    lines = "\n".join(
        output.data["text/html"]
        for cell in CODE
        for output in cell.outputs
        if "What was seen" in output.get("data", {}).get("text/html", "")
    )
    told = dict(re.findall(r"^(?:<details>.*<pre>)?([^:<]+): ([^<\n]+)", lines, re.MULTILINE))
    text = "\n".join(TEXT)
    assert [words for words in SAID if words not in text] == []

    def first(line):
        return float(re.search(r"\d+(?:\.\d+)?", told[line])[0])

    assert first("twice the water") == first("half the water") == pytest.approx(2.3)
    assert first("twice the fish") / 2.3 == pytest.approx(3.8, abs=0.1)
    assert first("lamp from the start") == 19
    assert first("a handful of ripe media") == 11
    assert first("nothing but what drifts in") == 40
    assert first("80 % pores") / first("5 % pores") == pytest.approx(1.1, abs=0.02)
    assert parameter("start_up_seed_in_water").value == 0.1
    assert parameter("start_up_seed_in_water").basis == "assumed"
    edge = cleaning_panel().replay()
    assert 58 <= int(re.search(r"up to (\d+) %", edge)[1]) <= 64
    assert told["fine, medium, coarse"].partition("; ")[2] == "0.10 mg/L of dirt in the water"
    assert told["coarse, medium, fine"] == "due on day 51; 0.10 mg/L of dirt in the water"
    assert first("fine, medium, coarse") == 14
    assert [first(line) for line in ("half the flow", "twice the flow")] == [3.1, 3.3]
    assert first("twice the media") == 4.2
    assert first("nine tenths") > 4 * first("three tenths")


def test_links_lead_somewhere():
    for target in re.findall(r"\]\(([^)]+)\)", "\n".join(TEXT)):
        assert (PATH.parent / target).is_file(), target


def test_outputs_are_quiet():
    for cell in CODE:
        for output in cell.outputs:
            assert output.output_type in {"display_data", "execute_result"}
            assert "widget-view" not in json.dumps(output)
