"""A plan's files in a folder, kept beside those of last month, and the plan within a lesson."""

import re
from datetime import date

from plan_systems import nano

from aqualib.lesson.handout import care_of
from aqualib.lesson.handout.handing_out import (
    EXAMPLE_DAY,
    OnPage,
    files_of,
    hand_out,
    hand_out_care,
    plan_in_use,
)
from aqualib.lesson.handout.plan_numbers import FILE, read_plan
from aqualib.lesson.handout.plan_text import as_plan_text
from aqualib.lesson.whose_tank import use_tank
from aqualib.tank.plan import make_plan, save_system
from aqualib.tank.upkeep import usual_tasks
from aqualib.units import Q

EARLIER = "plan.earlier.json"


def test_without_a_folder_nothing_is_kept(plan, capsys):
    hand_out(plan, None)
    said = capsys.readouterr().out
    assert "nothing was kept" in said
    assert all(name in said for name in files_of(plan))


def test_next_month_it_says_what_changed_and_keeps_both(plan, tmp_path, capsys):
    hand_out(plan, tmp_path)
    assert "This is the first plan here." in capsys.readouterr().out
    later = make_plan(
        plan.system.changed("stock", food=Q(1.5, "g/day")), plan.start.replace(month=4)
    )
    hand_out(later, tmp_path)
    assert "The verdict was “tight”, now it is “comfortable”." in capsys.readouterr().out
    names = {file.name for file in tmp_path.iterdir()}
    assert names == {*files_of(plan), *files_of(later), FILE, EARLIER}
    assert read_plan((tmp_path / FILE).read_text(encoding="utf-8")).start == later.start


def test_on_the_same_day_a_slip_is_mended_and_what_somebody_changed_stays(plan, tmp_path, capsys):
    month = make_plan(plan.system, plan.start.replace(month=2), doubt=False, changes=False)
    hand_out(month, tmp_path)
    page, text = (tmp_path / f"plan {plan.start}.{kind}" for kind in ("html", "txt"))
    for grams in (3.5, 9.0, 0.2):
        food = plan.system.changed("stock", food=Q(grams, "g/day"))
        last = make_plan(food, plan.start, doubt=False, changes=False)
        hand_out(last, tmp_path)
        assert page.read_text(encoding="utf-8") == files_of(last)[page.name]
    assert "made anew" in capsys.readouterr().out
    earlier = read_plan((tmp_path / EARLIER).read_text(encoding="utf-8"))
    assert earlier.start == month.start
    text.write_text("my own words", encoding="utf-8")
    hand_out(plan, tmp_path)
    assert page.read_text(encoding="utf-8") == files_of(plan)[page.name]
    assert text.read_text(encoding="utf-8") == "my own words"
    hand_out(last, tmp_path)
    assert text.read_text(encoding="utf-8") == "my own words"


def test_a_last_plan_that_is_none_is_told_and_kept(plan, tmp_path, capsys):
    (tmp_path / FILE).write_text("no plan", encoding="utf-8")
    hand_out(plan, tmp_path)
    assert "The last plan cannot be compared" in capsys.readouterr().out
    assert (tmp_path / "plan.unreadable 1.json").read_text(encoding="utf-8") == "no plan"


def test_the_plan_of_a_newer_aqualib_is_never_lost(plan, plans, tmp_path):
    newer = '{"format": "aqualib plan", "version": 9}'
    (tmp_path / FILE).write_text(newer, encoding="utf-8")
    for one in (plan, plans["marine"], plan):
        hand_out(one, tmp_path)
    assert (tmp_path / "plan.unreadable 1.json").read_text(encoding="utf-8") == newer
    assert (
        read_plan((tmp_path / EARLIER).read_text(encoding="utf-8")).system == plans["marine"].system
    )


def test_in_a_lesson_its_look_touches_nothing_else(plan):
    shown = OnPage(plan)._repr_html_()
    look = re.search("<style>(.*?)</style>", shown, re.DOTALL)[1]
    rules = re.findall(r"([^{}]+)\{", re.sub(r"@media[^{]*\{", "", look))
    for rule in rules:
        assert all(one.strip().startswith(".aqualib-plan") for one in rule.split(","))
    assert not re.search(r"<h[12]|@page|<html|<body", shown)
    assert repr(OnPage(plan)) == as_plan_text(plan).rstrip()


def test_the_plan_of_ones_own_tank_goes_into_ones_own_folder(tmp_path, monkeypatch, capsys):
    """Without a word of code: chosen in a panel's head, kept in `mine/`, from today on."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / ".aqualib").mkdir()
    (tmp_path / ".aqualib" / "copied.json").write_text("{}")
    (tmp_path / "mine").mkdir()
    save_system(nano(), tmp_path / "mine" / "tank.json")
    hand_out(plan_in_use(), None)
    hand_out_care(usual_tasks(EXAMPLE_DAY), plan_in_use(whole=False))
    assert plan_in_use().start == EXAMPLE_DAY
    assert not [file for file in (tmp_path / "mine").iterdir() if file.name != "tank.json"]
    assert "nothing was kept" in capsys.readouterr().out
    use_tank("mine")
    try:
        mine = plan_in_use()
        assert (mine.system, mine.start) == (nano(), date.today())
        assert plan_in_use(date(2031, 1, 2)).start == date(2031, 1, 2)
        hand_out(mine, None)
        assert (tmp_path / "mine" / f"plan {mine.start}.html").is_file()
        assert "first plan here" in capsys.readouterr().out
        quick = plan_in_use(whole=False)
        tasks = usual_tasks(quick.start, **care_of(quick))
        hand_out_care(tasks, quick)
        for kind in ("ics", "html"):
            text = (tmp_path / "mine" / f"care {mine.start}.{kind}").read_text(encoding="utf-8")
            assert nano().name in text
    finally:
        use_tank("example")
