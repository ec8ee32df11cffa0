"""How long a learner waits at the start, and what one learner's kernel weighs.

    python tests/benchmarks/start_up.py

Imports are timed in fresh interpreters, after one that is not counted. The cold
start runs from the command that starts JupyterLab to the first picture of lesson 02, with the
browser already open. Budgets: 0.05 s, 0.9 s, 6 s and 150 MB.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

import psutil
from measure import late, machine, median

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "browser"))

import harness  # noqa: E402 - found by the line above

INTERPRETERS = 21
STARTS = 3
LESSON = "02-the-nitrogen-cycle.ipynb"
MEGABYTE = 1e6

IMPORT = "import aqualib"
FIRST_FIGURE = """
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
panel = nitrogen_flow_panel()
panel._repr_mimebundle_()
"""
TIMED = "import time; start = time.perf_counter()\n{}\nprint(time.perf_counter() - start)"


def seconds(program):
    """Return how long lines take in fresh interpreters, the interpreter's own start left out."""
    command = [sys.executable, "-c", TIMED.format(program)]
    runs = [
        subprocess.run(command, capture_output=True, text=True, check=True)
        for _ in range(INTERPRETERS + 1)
    ]
    return [float(run.stdout) for run in runs[1:]]


def kernel_memory():
    """Return the resident memory, in MB, of the one kernel that runs under this process."""
    children = psutil.Process().children(recursive=True)
    (kernel,) = [child for child in children if "ipykernel_launcher" in " ".join(child.cmdline())]
    return kernel.memory_info().rss / MEGABYTE


def run_again(lesson):
    """Run every cell once more, as a learner does."""
    lesson.page.evaluate("() => jupyterapp.commands.execute('notebook:run-all-cells')")
    lesson.page.wait_for_function(harness.FINISHED)


def cold_start(browser):
    """Start JupyterLab and run lesson 02; return seconds to the first picture, and memory."""
    start = time.perf_counter()
    with (
        tempfile.TemporaryDirectory() as folder,
        harness.jupyterlab(Path(folder)) as address,
        browser.new_page(viewport=harness.LAPTOP) as page,
    ):
        lesson = harness.Lesson(page, address)
        lesson.start(LESSON)
        lesson.panel().locator("img[src^='blob:']").wait_for()
        waited = time.perf_counter() - start
        page.wait_for_function(harness.FINISHED)
        once = kernel_memory()
        for _ in range(5):
            run_again(lesson)
        return waited, once, kernel_memory()


def main():
    """Print the figures."""
    print(machine())
    for name, program in (("import aqualib", IMPORT), ("imports to first figure", FIRST_FIGURE)):
        runs = seconds(program)
        print(f"{name:40} median {median(runs):.3f} s, 95 % {late(runs):.3f} s of {len(runs)}")
    with harness.chromium() as browser:
        starts = [cold_start(browser) for _ in range(STARTS)]
    waits, once, often = zip(*starts, strict=True)
    print(
        f"{'cold start of JupyterLab to first figure':40} median {median(waits):.1f} s of {STARTS}"
    )
    print(f"{'kernel after lesson 02':40} {median(once):.0f} MB, run five times more", end=" ")
    print(f"{median(often):.0f} MB")


if __name__ == "__main__":
    main()
