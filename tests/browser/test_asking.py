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
