"""`python -m aqualib` in a real browser: a calm first page, and work kept in the learner's copy."""

import time

from harness import LAPTOP
from playwright.sync_api import expect
from served import served

from aqualib.lesson.serving.copies import bring
from aqualib.lesson.serving.shipped import FIRST, shipped_lessons

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
        end = time.monotonic() + SAVED_WITHIN
        while "# my own note" not in (folder / FIRST).read_text(encoding="utf-8"):
            assert time.monotonic() < end, "it was not saved"
            time.sleep(0.2)
        context.close()
    assert {path: path.read_bytes() for path in originals} == originals

    newer = tmp_path / "newer.ipynb"
    newer.write_text(originals_text(originals).replace("## Predict", "## Guess"), encoding="utf-8")
    brought = bring({FIRST: newer}, folder)
    assert brought.beside == ["00-start-here (new).ipynb"]
    assert "# my own note" in (folder / FIRST).read_text(encoding="utf-8")


def originals_text(originals):
    return next(text for path, text in originals.items() if path.name == FIRST).decode()
