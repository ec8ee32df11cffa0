"""The usual tasks of a plan: what comes when, in which words, and what is refused."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from aqualib.lesson.handout.icalendar import as_icalendar
from aqualib.lesson.handout.page import as_page
from aqualib.lesson.handout.saving import save
from aqualib.parameters import parameter
from aqualib.tank.upkeep.calendar import days_of, usual_tasks
from aqualib.units import Q, set_units
from aqualib.validity import ValidityError

START = date(2030, 5, 1)
PLAN = {
    "change": Q(40, "L"),
    "change_every": 14,
    "test_every": 7,
    "rinse_coarse_every": 14,
    "rinse_medium_every": 28,
    "rinse_fine_every": 10,
    "media_share": 0.25,
    "media_every": 90,
    "lamp_every": 270,
    "lamp_since": date(2030, 1, 1),
    "carbon": Q(0.1, "kg"),
    "carbon_every": 42,
    "top_up": Q(1.5, "L"),
    "top_up_every": 2,
}


def by_name(**plan):
    return {task.what: task for task in usual_tasks(START, **plan)}


def test_the_whole_plan():
    found = {task.what: (task.first, task.every) for task in usual_tasks(START, **PLAN)}
    later = {days: (START + timedelta(days), days) for days in (2, 14, 42)}
    assert found == {
        "Test the water and write it down": (START, 7),
        "Change 40 L of water": later[14],
        "Top up about 3 L of evaporated water": later[2],
        "Rinse the coarse pad": later[14],
        "Rinse the medium pad": (START + timedelta(26), 28),
        "Rinse the fine pad": (START + timedelta(3), 7),
        "Clean 25 % of the biological media": (START + timedelta(78), 84),
        "Put in 100 g of new carbon": later[42],
        "Put in a new ultraviolet lamp": (date(2030, 1, 1) + timedelta(270), 270),
        "Press the test button of the safety switch": (START, 30),
    }


@given(st.lists(st.integers(7, 400), min_size=4, max_size=4))
def test_pads_are_never_rinsed_together_and_never_late(days):
    coarse, medium, fine, media = days
    rinses = {"coarse": coarse, "medium": medium, "fine": fine}
    given_days = {f"rinse_{grade}_every": every for grade, every in rinses.items()}
    tasks = usual_tasks(START, **given_days, media_share=0.2, media_every=media)[:4]
    assert all(task.every <= most for task, most in zip(tasks, days, strict=True))
    assert all(
        START < task.first <= START + timedelta(most)
        for task, most in zip(tasks, days, strict=True)
    )
    work = days_of(tasks, START, START + timedelta(1500))
    assert max(map(len, work.values())) == 1


def test_what_is_rinsed_more_often_than_once_a_week_stays_as_given():
    (task, _) = usual_tasks(START, rinse_fine_every=3)
    assert (task.first, task.every) == (START + timedelta(3), 3)


def test_the_safety_switch_is_always_there():
    (task,) = usual_tasks(START)
    assert task.every == parameter("safety_switch_test_interval").value
    assert "licensed electrician" in task.why
    assert usual_tasks(START, safety_switch_every=7)[0].every == 7


def test_a_lamp_that_is_overdue_is_renewed_on_the_first_day():
    (lamp, _) = usual_tasks(START, lamp_every=100, lamp_since=date(2029, 1, 1))
    assert lamp.first == START
    assert "never look" in lamp.why


def test_hands_in_the_water_come_with_a_caution():
    for what, task in by_name(**PLAN).items():
        hands = any(word in what for word in ("pad", "media", "carbon", "lamp"))
        assert ("Unplug" in task.why) == hands, what
        assert task.why


def test_amounts_are_in_the_unit_set_in_force():
    set_units("us")
    try:
        assert "Change 10.6 US gal (40 L) of water" in by_name(change=Q(40, "L"), change_every=7)
    finally:
        set_units("metric")
    names = by_name(change=Q(10, "gallon"), change_every=7)
    assert "Change 37.9 L of water" in names


def test_plan_becomes_a_page_and_a_file(tmp_path):
    tasks = usual_tasks(START, **PLAN)
    text = as_icalendar(tasks, datetime(2030, 4, 30, tzinfo=UTC), START + timedelta(365))
    path = save(text, tmp_path / "care.ics")
    assert len(Calendar.from_ical(path.read_bytes()).walk("VEVENT")) == len(tasks)
    assert "Change 40 L of water" in as_page(tasks, START, 12)
    assert START in days_of(tasks, START, START)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *((name, value) for name in PLAN if name.endswith("every") for value in (0, 1.5, "7")),
        *((name, Q(float("nan"), "L")) for name in ("change", "top_up")),
        ("change", 40),
        ("change", Q(0, "L")),
        ("change", Q([1, 2], "L")),
        ("change", Q(40, "kg")),
        ("carbon", Q(float("nan"), "g")),
        ("media_share", 0),
        ("media_share", 1.1),
        ("media_share", float("nan")),
        ("lamp_since", "January"),
        ("safety_switch_every", 0),
    ],
)
def test_bad_numbers_are_named(name, value):
    with pytest.raises(ValidityError) as refused:
        usual_tasks(START, **(PLAN | {name: value}))
    assert refused.value.parameter == name


@pytest.mark.parametrize(
    ("given", "missing"),
    [
        ({"change": Q(40, "L")}, "change_every"),
        ({"change_every": 7}, "change"),
        ({"media_share": 0.5}, "media_every"),
        ({"media_every": 5}, "media_share"),
        ({"carbon_every": 5}, "carbon"),
        ({"top_up": Q(1, "L")}, "top_up_every"),
        ({"lamp_since": START}, "lamp_every"),
    ],
)
def test_half_a_pair_is_refused(given, missing):
    with pytest.raises(ValidityError) as refused:
        usual_tasks(START, **given)
    assert refused.value.parameter == missing


@pytest.mark.parametrize("start", [None, "today", datetime(2030, 5, 1)])
def test_a_bad_first_day_is_refused(start):
    with pytest.raises(ValidityError, match="start"):
        usual_tasks(start)
