"""`python -m aqualib` in a real browser: a calm first page, and work kept in the learner's copy."""

import time

from harness import LAPTOP
from playwright.sync_api import expect
from served import served

from aqualib.lesson.serving.copies import bring
from aqualib.lesson.serving.shipped import FIRST, shipped_lessons
from aqualib.lesson.serving.what_is_saved import STILL_HERE

MENU = STILL_HERE.replace("*", "")
SAVED_WITHIN = 60.0
"""Seconds; it is told to save every ten."""


def test_first_page_is_calm_and_what_is_typed_is_saved_in_the_copy(chromium, tmp_path):
    originals = {path: path.read_bytes() for path in shipped_lessons().values()}
    folder = tmp_path / "mine"
    with served("--folder", folder, home=tmp_path) as command:
        context = chromium.new_context(viewport=LAPTOP)
        page = context.new_page()
        page.goto(command.address)
        first = page.locator(".jp-Notebook .jp-CodeCell .cm-content").first
        first.wait_for(timeout=60_000)
        expect(page.locator(".jp-Notebook .jp-Cell h1")).to_contain_text("00")
        expect(page.locator("[data-shell-mode=single-document]")).to_have_count(1)
        # A question or a message would come with the kernel, or a few seconds after the page.
        expect(page.locator(".jp-Notebook-ExecutionIndicator[data-status=idle]")).to_be_attached(
            timeout=60_000
        )
        page.wait_for_timeout(2000)
        expect(page.locator("#filebrowser")).to_be_hidden()
        expect(page.locator(".jp-Dialog, .Toastify__toast")).to_have_count(0)

        first.click()
        page.keyboard.press("Control+Home")
        page.keyboard.type("# my own note")
        page.keyboard.press("Enter")
        wait_until_saved(folder / FIRST, "# my own note")
        run_save_and_open_again_without_its_kernel(page, command, folder / FIRST)
        context.close()
    assert {path: path.read_bytes() for path in originals} == originals

    newer = tmp_path / "newer.ipynb"
    newer.write_text(originals_text(originals).replace("## Predict", "## Guess"), encoding="utf-8")
    brought = bring({FIRST: newer}, folder)
    assert brought.beside == ["00-start-here (new).ipynb"]
    assert "# my own note" in (folder / FIRST).read_text(encoding="utf-8")


def wait_until_saved(file, words):
    end = time.monotonic() + SAVED_WITHIN
    while words not in file.read_text(encoding="utf-8"):
        assert time.monotonic() < end, "it was not saved"
        time.sleep(0.2)


def run_save_and_open_again_without_its_kernel(page, command, file):
    """The open page keeps its live panel; opened again, pictures and words stand in its place."""
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    page.locator(".aqualib-panel img[src^='blob:']").wait_for(timeout=60_000)
    wait_until_saved(file, STILL_HERE)
    expect(page.locator(".aqualib-panel")).to_have_count(1)
    expect(page.locator(".jp-Notebook", has_text=MENU)).to_have_count(0)

    sessions = f"{command.root}/api/sessions"
    for session in page.request.get(f"{sessions}?token={command.token}").json():
        page.request.delete(f"{sessions}/{session['id']}?token={command.token}")
    page.goto(command.address)
    # All cells are in the page after a while; the last output of the lesson says so.
    page.locator(".jp-OutputArea-output", has_text="Our invented tank, so far").wait_for()
    expect(page.locator(".jp-OutputArea-output img")).to_have_count(1)
    expect(page.get_by_text("Error displaying widget")).to_have_count(0)
    assert page.locator(".jp-OutputArea-output", has_text=MENU).count() >= 4


def originals_text(originals):
    return next(text for path, text in originals.items() if path.name == FIRST).decode()
