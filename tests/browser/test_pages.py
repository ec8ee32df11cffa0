"""Lessons as pages without code, by Voilà, in a real browser."""

import contextlib
import importlib.util
import json
import os
import re
import shutil
import time

import psutil
import pytest
from access import faults
from harness import LAPTOP
from inventory import PACKAGE, ROOT
from playwright.sync_api import expect
from served import served

from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
from aqualib.lesson.serving.shipped import CODE_ONLY, FIRST, shipped_lessons

CYCLE = "02-the-nitrogen-cycle.ipynb"
ODD = "03-odd.ipynb"
FIRST_PICTURE = 90_000
# What axe-core found at fault in Voilà's own page: text outside <main>, links told by hue alone.
OUTSIDE_MAIN = """() => {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const outside = [];
    while (walker.nextNode()) {
        const holder = walker.currentNode.parentElement;
        if (walker.currentNode.textContent.trim() && holder.checkVisibility()
            && !holder.closest('main, script, style')) outside.push(walker.currentNode.textContent);
    }
    return outside;
}"""
NOT_UNDERLINED = """() => [...document.querySelectorAll('main a')].filter((a) =>
    a.checkVisibility() && getComputedStyle(a).textDecorationLine !== 'underline'
).map((a) => a.outerHTML)"""
FILLS_THE_WINDOW = """(panel) => {
    const [controls, result, picture] = ['.aqualib-controls', '.aqualib-result', 'img']
        .map((part) => panel.querySelector(part).getBoundingClientRect());
    return controls.right <= result.left && result.height <= innerHeight
        && picture.width > 0.45 * innerWidth;
}"""

if importlib.util.find_spec("voila") is None:
    if os.environ.get("CI"):
        pytest.exit("Voilà is not installed, and CI is set: install aqualib[test]", returncode=3)
    pytest.skip("pages need Voilà: aqualib[pages]", allow_module_level=True)


def odd_lesson():
    """A lesson with a cell for readers of code, and a step that fails."""

    def cell(kind, source, *tags):
        more = {"outputs": [], "execution_count": None} if kind == "code" else {}
        return {"cell_type": kind, "source": source, "metadata": {"tags": list(tags)}, **more}

    cells = [
        cell("markdown", "# What may go wrong?"),
        cell("markdown", "Write a number in place of None.", CODE_ONLY),
        cell("code", "my_guess = 3\nprint('for readers of code')", CODE_ONLY),
        cell("code", "print('three is', my_guess)"),
        cell("code", "raise RuntimeError('secret of the house')"),
        cell("markdown", "The end of the lesson."),
    ]
    for place, each in enumerate(cells):
        each["id"] = f"odd-{place}"
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    return json.dumps({"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The command, serving two lessons and the odd one out of a checkout of their own."""
    top = tmp_path_factory.mktemp("checkout")
    (top / "lessons").mkdir()
    for name in (FIRST, CYCLE):
        text = shipped_lessons()[name].read_text(encoding="utf-8")
        (top / "lessons" / name).write_text(text, encoding="utf-8")
    (top / "lessons" / ODD).write_text(odd_lesson(), encoding="utf-8")
    shutil.copytree(PACKAGE, top / "aqualib", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "data", top / "data")
    shutil.copy(ROOT / "pyproject.toml", top)
    home = tmp_path_factory.mktemp("home")
    with served("pages", "02", "00", "03", "--idle", "5", home=home, package=top) as command:
        yield command


@pytest.fixture
def page(chromium, pages):
    context = chromium.new_context(viewport=LAPTOP)
    page = context.new_page()
    page.wrong = []
    page.on("pageerror", lambda error: page.wrong.append(str(error)))
    page.on("request", lambda r: page.wrong.append(r.url) if away(r.url, pages) else None)
    page.on("response", lambda r: page.wrong.append(r.url) if r.status >= 400 else None)
    yield page
    assert page.wrong == []
    context.close()


def away(url, pages):
    """Whether something is fetched from elsewhere: a page must be whole without a network."""
    own = pages.root, pages.root.replace("http", "ws", 1), "data:", "blob:"
    return not url.startswith(own)


def kernels(pages):
    """The processes that compute for pages."""
    found = []
    for process in psutil.Process(pages.process.pid).children(recursive=True):
        with contextlib.suppress(psutil.NoSuchProcess):  # it ended between the two looks
            found += [process] if "ipykernel" in " ".join(process.cmdline()) else []
    return found


def none_left(pages):
    end = time.monotonic() + 30
    while kernels(pages) and time.monotonic() < end:
        time.sleep(0.1)
    return kernels(pages) == []


def test_a_page_shows_no_code_and_follows_the_hand(page, pages):
    start = time.monotonic()
    page.goto(pages.address, wait_until="commit")
    panel = page.locator(".aqualib-panel").first
    panel.locator("img[src^='blob:']").wait_for(timeout=FIRST_PICTURE)
    print(f"first picture after {time.monotonic() - start:.1f} s")

    expect(page).to_have_title(re.compile("Where does the food go"))
    expect(page.locator("main")).to_have_count(1)
    expect(page.locator(".jp-InputArea-editor")).to_have_count(0)
    assert not re.search(r"set_units\(|import ", page.locator("body").inner_text())
    assert page.evaluate(OUTSIDE_MAIN) == []
    assert page.locator("main a:visible").count() > 0
    assert page.evaluate(NOT_UNDERLINED) == []
    assert faults(page) == set()
    assert page.evaluate("document.scrollingElement.scrollHeight") > 2 * LAPTOP["height"]

    same = nitrogen_flow_panel()
    sentence = panel.locator("figcaption")
    expect(sentence).to_have_text(same.sentence)
    panel.get_by_role("slider", name="Food", exact=True).press("End")
    same.set(feed=20)
    expect(sentence).to_have_text(same.sentence)
    same.close()

    fits_a_wall(page, panel)
    fits_a_telephone(page)
    is_fit_to_print(page, panel)

    # The browser leaves, and the Python of the page ends at once.
    assert len(kernels(pages)) == 1
    page.goto("about:blank")
    assert none_left(pages)


def fits_a_wall(page, panel):
    """Large text is the page's too; beside its sliders the picture is whole in the window."""
    words = page.locator("main p").first
    size = "(element) => parseFloat(getComputedStyle(element).fontSize)"
    before = words.evaluate(size)
    for width, height in ((1366, 768), (1920, 1080)):
        page.set_viewport_size({"width": width, "height": height})
        panel.get_by_label("Large text").check()
        page.wait_for_function(FILLS_THE_WINDOW, arg=panel.element_handle(), timeout=10_000)
    assert words.evaluate(size) > 1.3 * before
    panel.get_by_label("Large text").uncheck()


def fits_a_telephone(page):
    """Nothing but a wide table or formula scrolls sideways on 320 pixels (400 %)."""
    page.set_viewport_size({"width": 320, "height": 640})
    page.wait_for_timeout(300)
    assert page.evaluate("document.scrollingElement.scrollWidth") == 320
    assert faults(page) == set()


def is_fit_to_print(page, panel):
    """On paper stand the picture, its sentence and what was set: no box, no slider, no button."""
    page.emulate_media(media="print")
    for part in ("figcaption", "img", ".aqualib-answer"):
        expect(panel.locator(part)).to_be_visible()
    for control in panel.locator("input, select, button, summary").all():
        expect(control).to_be_hidden()
    values = panel.locator(".aqualib-values")
    expect(values).to_contain_text("Food: 20 g/day · Protein in the food: 43 %")
    expect(values).to_contain_text("Time without a filter: 24 h")
    page.emulate_media(media="screen")
    expect(values).to_be_hidden()


def test_a_link_to_the_glossary_ends_at_the_glossary(page, pages):
    page.goto(pages.address.replace(CYCLE, FIRST) + "#Glossary", wait_until="commit")
    page.locator(".aqualib-panel img[src^='blob:']").first.wait_for(timeout=FIRST_PICTURE)
    heading = page.get_by_role("heading", name="Glossary")
    expect(heading).to_be_in_viewport()
    # It stays there while the rest of the page is still being drawn.
    page.wait_for_timeout(1000)
    assert abs(heading.bounding_box()["y"]) < 60
    # And it is let go as soon as the reader moves.
    page.mouse.wheel(0, -2000)
    page.wait_for_timeout(300)
    expect(heading).not_to_be_in_viewport()


def test_cells_for_readers_of_code_are_run_but_not_seen_and_errors_are_in_words(page, pages):
    page.goto(pages.address.replace(CYCLE, ODD), wait_until="commit")
    failed = page.get_by_role("alert")
    expect(failed).to_contain_text("This step did not work", timeout=FIRST_PICTURE)
    expect(failed).to_contain_text("odd-4")
    expect(page.get_by_text("three is 3")).to_be_visible(timeout=30_000)
    for hidden in ("in place of None", "for readers of code"):
        for found in page.get_by_text(hidden).all():
            expect(found).to_be_hidden()
    said = page.content()
    assert "secret of the house" not in said
    assert "Traceback" not in page.locator("body").inner_text()


def test_the_list_of_lessons_and_a_wrong_address_are_pages_too(page, pages):
    page.goto(f"{pages.root}/?token={pages.token}")
    listed = page.get_by_role("link")
    assert listed.all_inner_texts() == ["00 start here", "02 the nitrogen cycle", "03 odd"]
    assert page.locator("main a:visible").count() > 0
    assert page.evaluate(NOT_UNDERLINED) == []
    page.goto(f"{pages.root}/voila/render/99-nothing.ipynb")
    expect(page.get_by_role("heading")).to_have_text("There is no such page")
    page.wrong.clear()


def test_no_one_gets_in_without_the_key(page, pages):
    assert none_left(pages), "of the pages before"
    page.goto(f"{pages.root}/voila/render/{FIRST}")
    assert "/login" in page.url
    assert kernels(pages) == []


def test_a_page_that_could_not_say_goodbye_loses_its_python_too(chromium, pages):
    context = chromium.new_context(viewport=LAPTOP, offline=False)
    page = context.new_page()
    page.route("**/shutdown/**", lambda route: route.abort())
    page.goto(pages.address, wait_until="commit")
    page.locator(".aqualib-panel img[src^='blob:']").first.wait_for(timeout=FIRST_PICTURE)
    assert len(kernels(pages)) == 1
    context.close()
    assert none_left(pages), "it was told to end what is idle for five seconds"


def test_a_page_whose_python_has_gone_says_what_helps_here(page, pages):
    page.goto(pages.address, wait_until="commit")
    panel = page.locator(".aqualib-panel").first
    panel.locator("img[src^='blob:']").wait_for(timeout=FIRST_PICTURE)
    for kernel in kernels(pages):
        kernel.kill()
    page.wait_for_timeout(4000)  # until it is known to be gone
    panel.get_by_role("slider", name="Food", exact=True).press("End")
    expect(panel.get_by_role("status")).to_contain_text("load this page again.", timeout=20_000)
    expect(panel.get_by_role("status")).not_to_contain_text("menu")
