"""A guess and an exercise in JupyterLab: typed, entered, and answered beside the box."""

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser

CELLS = (
    "from aqualib.lesson import asking\nfrom aqualib.units import Q",
    'mine = asking.guess("Water really there", "L")\nmine',
    'asking.compare(mine, Q(190, "L"), "Water")',
    'asking.exercises("01")',
)


def test_a_guess_is_entered_and_an_exercise_answered(lesson):
    lesson.write("asking.ipynb", *CELLS)
    lesson.start("asking.ipynb")
    page = lesson.page
    box = page.get_by_role("textbox", name="Water really there")
    box.wait_for()
    beside = page.locator(".aqualib-said", has_text="Water: ")
    expect(beside).to_have_text("Water: make your guess under Predict, and ours is shown here.")
    cell = page.evaluate("() => jupyterapp.shell.currentWidget.content.activeCellIndex")
    box.click()
    # Letters that are commands of the notebook, a b d m: they must go into the box.
    box.press_sequentially("abdm")
    box.press("Enter")
    expect(box).to_have_value("abdm")
    expect(box).to_have_attribute("aria-invalid", "true")
    said = page.locator(f"[id='{box.get_attribute('id')}-said']")
    expect(said).to_contain_text("Write one number")
    assert said.get_attribute("id") in box.get_attribute("aria-describedby")
    box.fill("50,2 gal")
    box.press("Enter")
    expect(said).to_contain_text("Kept: 190 L.")
    assert box.get_attribute("aria-invalid") is None
    expect(beside).to_have_text("Water: your guess 190 L, computed 190 L; the same.")
    cells = page.evaluate("() => jupyterapp.shell.currentWidget.content.model.cells.length")
    assert (cells, cell) == (len(CELLS), cell), "no key reached the notebook"

    first = page.get_by_role("region", name="Exercises").get_by_role("listitem").first
    first.get_by_role("button", name="Hint").click()
    expect(first.get_by_role("listitem")).to_have_count(1)
    first.get_by_role("textbox").fill("999")
    first.get_by_role("button", name="Check").click()
    expect(first.get_by_role("status")).to_contain_text("Read as 999. Not yet: that is too large.")
    assert first.get_by_role("textbox").get_attribute("aria-invalid") is None, "read, and wrong"


def test_the_form_of_ones_own_tank_by_the_keyboard_alone(lesson):
    """Tab, Enter, Space and typing: a tank is told, saved and said, and no key goes astray."""
    lesson.write("form.ipynb", "from aqualib.lesson import asking", "asking.TankForm()")
    lesson.start("form.ipynb")
    page, keys = lesson.page, lesson.page.keyboard
    name = page.get_by_role("textbox", name="What you call it")
    name.wait_for()
    cells = page.evaluate("() => jupyterapp.shell.currentWidget.content.model.cells.length")
    lesson.take_focus(name)
    keys.type("<b>Shelf</b> d d b a")
    keys.press("Tab")
    expect(page.get_by_role("textbox", name="Your money")).to_be_focused()
    keys.press("Tab")
    fold = page.locator(".aqualib-questions summary").first
    expect(fold).to_be_focused()
    keys.press("Enter")
    keys.press("Tab")
    expect(page.locator(".aqualib-questions details[open] input").first).to_be_focused()
    keys.type("16 gal")
    keys.press("Tab")
    keys.type("long")
    keys.press("Tab")
    said = page.locator(".aqualib-said")
    expect(said.filter(has_text="Kept: 60.6 L.")).to_have_count(1)
    expect(said.filter(has_text="Write one number")).to_have_count(1)
    odd = page.get_by_role("textbox", name="Length inside").first
    expect(odd).to_have_attribute("aria-invalid", "true")
    save = page.get_by_role("button", name="Save my tank")
    for _ in range(40):
        if save.evaluate("(button) => button === document.activeElement"):
            break
        keys.press("Tab")
    keys.press("Space")
    told = said.filter(has_text="Saved in mine/tank.json")
    expect(told).to_contain_text("Not read, and so left open: Length inside")
    assert page.locator(".aqualib-questions b").count() == 0, "what was typed is text"
    now = page.evaluate("() => jupyterapp.shell.currentWidget.content.model.cells.length")
    assert now == cells, "no key reached the notebook"
