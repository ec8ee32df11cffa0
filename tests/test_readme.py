"""What the README says is so: its counts, its commands and its list of lessons."""

import re
import shutil
import tomllib
from pathlib import Path

from aqualib.checks import OUTSIDE_KINDS, ROOMS, check_values, counts_by_kind, counts_table
from aqualib.measured import scoreboard

TOP = Path(__file__).resolve().parents[1]
README = (TOP / "README.md").read_text(encoding="utf-8")


def test_counts_are_those_of_the_data():
    assert counts_table() in README, "run: python -m aqualib.lesson.refresh"
    assert sum(counts_by_kind().values()) == len(check_values())


def test_the_score_of_what_was_measured_elsewhere_stands_beside_the_counts():
    tests = scoreboard().tests
    assert f"{sum(row.inside for row in tests)} of {len(tests)} lie in the band" in README


def test_most_of_the_evidence_from_outside_is_about_water():
    """The README says so; the day it is not so, the sentence must go."""
    outside = {room: sum(counts_by_kind(room)[k] for k in OUTSIDE_KINDS) for room in ROOMS}
    assert outside["water"] > outside["filtration"] + outside["tank"]
    assert outside["filtration"] >= 80
    assert outside["tank"] >= 40


def test_refresh_of_the_readme_changes_only_the_counts(tmp_path):
    from aqualib.lesson import refresh  # loads nbformat, which takes longer than this whole file

    copy = Path(shutil.copy(TOP / "README.md", tmp_path))
    copy.write_text(README.replace("| **all** |", "| **some** |"), encoding="utf-8")
    assert refresh.refresh_readme(copy)
    assert copy.read_text(encoding="utf-8") == README
    assert not refresh.refresh_readme(copy)


def test_ci_runs_the_test_command_of_the_readme():
    commands = [line for line in README.splitlines() if '".[test]" &&' in line]
    assert len(commands) == 1
    steps = (TOP / ".ci" / "run").read_text(encoding="utf-8")
    assert "grep -m 1 -F '\".[test]\" &&' README.md" in steps
    assert "python -m pytest -n 2 -m sweep" in steps


def test_the_lessons_listed_are_those_there_are():
    there = {path.name for path in (TOP / "lessons").glob("*.ipynb")}
    assert there
    assert set(re.findall(r"\]\(lessons/([^)]+\.ipynb)\)", README)) == there


def test_minutes_and_questions_are_those_of_the_lessons():
    rows = re.findall(r"\| \[(\d\d)\]\(lessons/([^)]+)\) \| (.+?) \| (\d+) \|", README)
    assert rows
    for number, name, question, minutes in rows:
        text = (TOP / "lessons" / name).read_text(encoding="utf-8")
        assert f"# {number} · {question}" in text
        assert f"**Time:** {minutes} minutes" in text, name


def test_the_ways_to_use_it_are_those_there_are():
    from aqualib.__main__ import WAYS

    table = README.partition("## How do you want to use it?")[2].partition("\n## ")[0]
    told = re.findall(r"python -m aqualib(?: (\w+))?(?: [^`|]+)?`", table)
    assert sorted(told) == sorted(["", *WAYS])
    extras = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    for extra in re.findall(r'"\.\[(\w+)\]"', table):
        assert extra in extras["optional-dependencies"]


def test_the_two_commands_of_a_reader_and_a_contributor_stand_first():
    commands = re.findall(r"```sh\n(.+)\n```", README)
    assert commands[0].endswith("python -m aqualib")
    assert "pytest" in commands[1]
    assert README.index("How do you want to use it?") > README.index(commands[1])
