"""The page of a plan: its numbers are the plan's, it stands alone, and what is typed stays text."""

import dataclasses
import itertools
import re
from html.parser import HTMLParser

import pytest
from plans_to_print import HOSTILE, SYSTEMS

from aqualib import __version__
from aqualib.lesson.handout import first_of_all, plan_words
from aqualib.lesson.handout.plan_page import as_plan_page
from aqualib.tank.plan import Stock, System, example_system, make_plan
from aqualib.tank.sizing import LIMITS
from aqualib.units import UNIT_SETS, Q, number, set_units
from aqualib.validity import ValidityError


class Reader(HTMLParser):
    """Collects tags, attributes, and the text of the sheet; tags must close in order."""

    void = frozenset({"meta", "circle", "path", "rect"})

    def __init__(self):
        super().__init__()
        self.open, self.tags, self.attributes, self.text, self.names = [], [], [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in self.void:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "style" not in self.open:
            self.text.append(data)
        if "h1" in self.open:
            self.names.append(data)


def read(page):
    reader = Reader()
    reader.feed(page)
    reader.close()
    assert reader.open == []
    return reader


def text_of(page):
    return " ".join(" ".join(read(page).text).split())


OURS = example_system().filter


def test_a_food_that_nobody_told_is_not_said_to_be_given():
    short = first_of_all.in_short(make_plan(System(stock=Stock(fish=Q(300, "g")), filter=OURS)))
    assert "You give" not in short
    assert "The food was not told; such fish eat some 2.5 g a day: " in short
    told = System(stock=Stock(food=Q(2, "g/day")), filter=OURS)
    assert "You give 2 g a day" in first_of_all.in_short(make_plan(told))


def test_the_numbers_on_the_page_are_those_of_the_plan(plan):
    text = text_of(as_plan_page(plan))
    low, best, high = (number(end.m_as("g/day"), 2) for end in plan.carried)
    given = number(plan.given.m_as("g/day"), 2)
    assert "stock.food" not in {one.place for one in plan.assumed}, "told in this plan"
    short = f"Carries {best} g of food a day (from {low} to {high}), limited by the"
    assert f"{short} {LIMITS[plan.limiting]}. You give {given} g a day: {plan.verdict}." in text
    for told in (
        f"{number(plan.flow_clean.m)} L/h with clean pads",
        f"{number(plan.flow_due.m)} L/h when they are due",
        f"coarse: {number(plan.due.m, 2)} days",
        f"comes to {number(plan.nitrate.m_as('mg/L'))} mg/L (as nitrate)",
        f"{number(plan.energy / 3.6e6)} kWh a year",
        f"{number(plan.cost, 2)} (at 0.300 a kWh, assumed)",
        "1.80 kg (3.97 lb), 4 L, 9 cm",
        f"Plan of 2030-03-02 · 190 L of fresh water · aqualib {__version__}",
        "suit a tank of 90 L here, 4 turnovers an hour by the box one of 288 L; yours holds 190 L",
        "ammonia 0.95 mg/L, nitrite 0.10 mg/L",
    ):
        assert told in text
    for change in plan.changes[:6]:
        assert change.words in text
    for unknown in plan.unknowns:
        assert unknown.measure in text


@pytest.mark.parametrize("name", SYSTEMS)
def test_the_page_stands_alone(plans, name):
    page = as_plan_page(plans[name])
    reader = read(page)
    assert {"script", "link", "img", "iframe", "object"} & set(reader.tags) == set()
    places = [value for key, value in reader.attributes if key in {"href", "src"}]
    assert places
    assert all(re.fullmatch(r"\.\./\d\d-[a-z-]+\.ipynb", place) for place in places)
    assert [key for key, _ in reader.attributes if key.startswith("on")] == []
    assert "url(" not in page.replace("url(#aq-", "")
    assert "nan" not in text_of(page).lower().split()
    assert " inf" not in text_of(page)


def test_black_on_white(plan):
    colours = set(re.findall(r"#[0-9a-fA-F]{3,6}\b", as_plan_page(plan)))
    assert {colour for colour in colours if not colour.startswith("#39")} <= {"#000", "#fff"}


@pytest.mark.parametrize("typed", HOSTILE, ids=range(len(HOSTILE)))
def test_what_is_typed_stays_text(plan, typed):
    named = dataclasses.replace(
        plan, system=dataclasses.replace(plan.system, name=typed, currency=typed[:8])
    )
    reader, plain = read(as_plan_page(named)), read(as_plan_page(plan))
    assert reader.tags == plain.tags
    # A long name has a class of its own.
    assert {key for key, _ in reader.attributes} == {key for key, _ in plain.attributes}
    assert reader.names == [typed.strip()]
    assert typed[:8].strip() in "".join(reader.text)


def test_a_name_of_two_lines_is_refused():
    for typed in ("two\nlines", "a\u2028b", "half\ud800"):
        with pytest.raises(ValidityError, match="name"):
            System(name=typed)


@pytest.mark.parametrize("units", UNIT_SETS)
def test_the_unit_set_changes_words_and_no_plan(plan, units):
    set_units(units)
    again = make_plan(plan.system, plan.start, doubt=False)
    assert again.now == plan.now
    assert [c.name for c in again.changes] == [c.name for c in plan.changes]
    text = text_of(as_plan_page(again))
    assert f": {plan.verdict}." in text
    # The metric value stands beside the reader's own.
    assert "743 L/h" in text
    assert "1.80 kg" in text
    assert "3.97 lb" in text
    assert ("196 US gal/h (743 L/h)" in text) == (units == "us")


def test_a_change_that_gains_nothing_says_so(plan):
    text = text_of(as_plan_page(plan))
    assert "Rinse the pads twice as often 3.2 51 736 159 nothing gained" in text
    assert text.count("nothing gained") >= 3


def test_what_was_assumed_is_named_with_the_effect_of_the_biggest(plans):
    text = text_of(as_plan_page(plans["nothing told"]))
    assert "tank: water 190 L" in text
    assert "The biggest: food. Alone it moves what is carried" in text
    told = System(tank=plans["example"].system.tank).changed("stock", food=Q(2, "g/day"))
    assert "The biggest: food." not in text_of(as_plan_page(make_plan(told)))


def test_the_drawing_is_to_scale(plan):
    svg = as_plan_page(plan)
    blocks = re.findall(r'<rect x="[\d.]+" y="[\d.]+" width="([\d.]+)" height="([\d.]+)"', svg)
    wide = {float(width) for width, _ in blocks}
    scale = wide.pop() / plan.whole.width
    assert not wide
    for (_, height), place in zip(blocks, plan.whole.places, strict=True):
        assert float(height) == pytest.approx(place.height * scale, abs=0.06)


@pytest.mark.parametrize("name", SYSTEMS)
def test_names_of_layers_lie_apart_and_on_the_drawing(plans, name):
    svg = as_plan_page(plans[name])
    high = float(re.search(r'viewBox="0 0 340 ([\d.]+)"', svg)[1])
    levels = sorted(float(y) for y in re.findall(r'<text x="152" y="([\d.]+)" font-size="8"', svg))
    assert len(levels) == len(plans[name].whole.places)
    assert levels[0] > 8
    assert levels[-1] < high - 8
    assert all(b - a > 19.9 for a, b in itertools.pairwise(levels))


def test_each_plan_says_that_it_is_of_one_filter(plans):
    everything_told = dataclasses.replace(plans["example"], assumed=())
    for plan in (*plans.values(), everything_told):
        assert plan_words.ONE_FILTER in plan_words.assumed(plan).lines
