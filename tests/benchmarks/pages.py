"""How long a reader of pages without code waits, and what one more reader weighs.

    python tests/benchmarks/pages.py

Needs the extra `pages`. The server stands and the browser is open; each reader opens a page of
their own and leaves it open. The memory is what a reader's Python has for itself (unique) and with
its share of what all have in common (proportional). Budget on an idle machine: first picture 6 s.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

import psutil
from measure import machine, median

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "browser"))

import harness  # noqa: E402 - found by the line above
from served import served  # noqa: E402

LESSONS = ("02", "04", "07")
READERS = 3
MEGABYTE = 1e6
MOVES = 20
PRESS = """async (slider) => {
    const image = slider.closest('.aqualib-panel').querySelector('img');
    const start = performance.now();
    const drawn = new Promise((done) => image.addEventListener('load', done, { once: true }));
    slider.value = Number(slider.value) + Number(slider.step) * (slider.dataset.back ? -1 : 1);
    slider.dataset.back = slider.dataset.back ? '' : 'yes';
    slider.dispatchEvent(new Event('input', { bubbles: true }));
    await drawn;
    return performance.now() - start;
}"""


def wait_for_picture(page, address):
    """Open a page; return seconds to its first picture."""
    start = time.perf_counter()
    page.goto(address, wait_until="commit")
    page.locator(".aqualib-panel img[src^='blob:']").first.wait_for(timeout=120_000)
    return time.perf_counter() - start


def moves(page):
    """Return milliseconds from a move of the first slider to its picture."""
    slider = page.get_by_role("slider").first
    slider.scroll_into_view_if_needed()
    return [slider.evaluate(PRESS) for _ in range(MOVES)]


def memory(process):
    """Return unique, proportional and resident memory in MB."""
    used = process.memory_full_info()
    return [part / MEGABYTE for part in (used.uss, used.pss, used.rss)]


def kernels(command):
    """Return the processes that compute for pages."""
    family = psutil.Process(command.process.pid).children(recursive=True)
    return [child for child in family if "ipykernel_launcher" in " ".join(child.cmdline())]


def measure(browser, lesson):
    """Let readers open one lesson one after another; print what they waited and weigh."""
    with (
        tempfile.TemporaryDirectory() as home,
        served("pages", lesson, home=Path(home)) as command,
        browser.new_context(viewport=harness.LAPTOP) as context,
    ):
        pages = [context.new_page() for _ in range(READERS)]
        waits = [wait_for_picture(page, command.address) for page in pages]
        moved = moves(pages[-1])
        weights = zip(*[memory(kernel) for kernel in kernels(command)], strict=True)
        unique, proportional, resident = (median(weight) for weight in weights)
        (server,) = psutil.Process(command.process.pid).children()
        print(
            f"lesson {lesson}: first picture {', '.join(f'{wait:.1f}' for wait in waits)} s;"
            f" slider to picture {median(moved):.0f} ms;"
            f" a reader {proportional:.0f} MB (unique {unique:.0f}, resident {resident:.0f});"
            f" the server {memory(server)[1]:.0f} MB"
        )


def main():
    """Print the figures."""
    print(machine())
    with harness.chromium() as browser:
        for lesson in LESSONS:
            measure(browser, lesson)


if __name__ == "__main__":
    main()
