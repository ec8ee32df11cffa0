"""The plan in a real browser: one sheet of A4 and of Letter, and nothing typed comes to life."""

import re
from dataclasses import replace

import pytest
from plans_to_print import HOSTILE, START, SYSTEMS

from aqualib.lesson.handout import OnPage, as_paper_form, as_plan_page
from aqualib.lesson.on_page import HERE
from aqualib.tank.plan import make_plan
from aqualib.units import Q, set_units

SHEETS = ("A4", "Letter")


@pytest.fixture
def paper(chromium, tmp_path):
    """Open a text as a page of a file; whatever it tries on the way is remembered."""
    page, alive = chromium.new_page(), []
    page.on("dialog", lambda dialog: (alive.append(dialog.message), dialog.dismiss()))
    page.on("request", lambda request: alive.append(request.url))
    page.on("pageerror", lambda error: alive.append(str(error)))

    def opened(text):
        file = tmp_path / "page.html"
        file.write_text(text, encoding="utf-8")
        page.goto(file.as_uri())
        assert alive.pop(0) == file.as_uri()
        return page

    yield opened
    assert alive == []
    page.close()


def sheets(page, size):
    """How many sheets a page takes."""
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=size)))


def test_every_plan_is_one_sheet(paper):
    """In US units, which take the most room; the example in metric ones too, in larger letters."""
    read = SYSTEMS["example"].changed("readings", ammonia=Q(5, "mg/L"), nitrite=Q(3, "mg/L"))
    systems = {**SYSTEMS, "alarmed": read.changed("readings", nitrate=Q(300, "mg/L"))}
    beyond = {"ph": 5.5, "temperature": Q(33.5, "degC"), "alkalinity": Q(20, "mg/L")}
    systems["sour and hot"] = read.changed("water", **beyond)
    systems["sour, hot and full"] = SYSTEMS["twelve trays"].changed("water", **beyond)
    plans = {name: make_plan(one, START) for name, one in systems.items()}
    texts = {"metric": as_plan_page(plans["example"])}
    set_units("us")
    try:
        texts |= {name: as_plan_page(plan) for name, plan in plans.items()}
    finally:
        set_units("metric")
    roomy = {name for name, text in texts.items() if " roomy" in text}
    assert "metric" in roomy
    assert "example" not in roomy
    texts["paper form"] = as_paper_form()
    taken = {
        (name, size): sheets(paper(text), size) for name, text in texts.items() for size in SHEETS
    }
    assert {where: count for where, count in taken.items() if count != 1} == {}


def test_large_text_is_the_plans_too_but_not_on_paper(paper):
    plan = make_plan(SYSTEMS["example"], START, doubt=False, changes=False)
    style = f"<style>{(HERE / 'panel.css').read_text(encoding='utf-8')}</style>"
    page = paper(f'{style}<div class="aqualib-large-page">{OnPage(plan)._repr_html_()}</div>')
    size = "(part) => parseFloat(getComputedStyle(part).fontSize)"
    words = page.locator(".aqualib-plan :is(li, td)").evaluate_all(f"(all) => all.map({size})")
    assert min(words) == 20
    page.emulate_media(media="print")
    assert page.locator(".aqualib-plan li").first.evaluate(size) < 11


def test_a_long_page_is_more_than_one_sheet(paper):
    assert sheets(paper("<p>line</p>" * 400), "A4") > 1


def test_what_is_typed_runs_nothing(paper):
    plan = make_plan(SYSTEMS["example"], START, doubt=False)
    for typed in HOSTILE:
        named = replace(plan, system=replace(plan.system, name=typed, currency=typed[:8]))
        page = paper(as_plan_page(named))
        assert page.locator("h1").inner_text() == typed.strip()
        assert page.locator("script, img, iframe").count() == 0
        assert page.locator("svg").count() == 1
