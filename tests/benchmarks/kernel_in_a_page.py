"""The browser edition's kernel in Chromium, as far as the registries hold it.

    BROWSER/bin/python tests/benchmarks/kernel_in_a_page.py CORE

Run it with an environment that has `aqualib[browser]` and playwright. CORE is the folder of the
npm package `pyodide` in the version that `in_pyodide.json` names. That package holds Python
itself; pure packages are taken from PyPI in the versions of its list. They are packed anew there,
so the list gets the digests of these. Compiled ones (numpy, scipy, matplotlib, pandas) are in no
registry, so no lesson and no panel can run here. What runs: the kernel starts, our wheel and what
it brings along install from the site, the ground modules import and read data, and a widget goes
from the page to Python and back.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from measure import late, machine, median
from packaging.utils import canonicalize_name

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "browser"))

import harness
from plain_site import fenced, served

from aqualib.lesson.serving.browser.site import build
from aqualib.lesson.serving.browser.wheels import (
    BY_THE_KERNEL,
    PYTHON,
    brought_along,
)

LESSON = "02-the-nitrogen-cycle.ipynb"
WITH_THE_KERNEL = ("micropip", "ipython")
PURE_OF_PYODIDE = ("typing-extensions", "platformdirs")
MOVES = 50
GROUND = """
import piplite
await piplite.install({names!r}, deps=False)
import sys
from aqualib import running_tank, setting, sources, tables, validity
from aqualib.files import data_file, rows_of
print(sys.platform, sys.version.split()[0], len(rows_of(data_file("check_values.csv"))), "rows")
"""
WIDGET = '''
import anywidget, traitlets
class There(anywidget.AnyWidget):
    _esm = """export default { render({ model, el }) {
        const hand = document.createElement("input"), back = document.createElement("output");
        hand.type = "range"; hand.className = "hand"; back.className = "back";
        hand.oninput = () => { model.set("there", +hand.value); model.save_changes(); };
        model.on("change:back", () => { back.textContent = model.get("back"); });
        el.append(hand, back); } }"""
    there = traitlets.Int(0).tag(sync=True)
    back = traitlets.Int(0).tag(sync=True)
widget = There()
widget.observe(lambda change: setattr(widget, "back", 2 * change.new), "there")
widget
'''
MOVE = """async () => {
    const hand = document.querySelector("input.hand"), back = document.querySelector("output.back");
    const begin = performance.now();
    hand.value = +hand.value + 1;
    hand.dispatchEvent(new Event("input"));
    while (back.textContent !== String(2 * hand.value)) {
        if (performance.now() - begin > 5000) throw new Error("no answer");
        await new Promise((done) => setTimeout(done, 1));
    }
    return performance.now() - begin;
}"""


def distribution(core, folder):
    """Lay out Python and the pure packages that the kernel starts with."""
    shutil.copytree(core, folder)
    lock = json.loads((folder / "pyodide-lock.json").read_text())
    packages, todo, done = lock["packages"], [*WITH_THE_KERNEL, *PURE_OF_PYODIDE], set()
    while todo:
        name = canonicalize_name(todo.pop())
        if name in done or not packages[name]["file_name"].endswith("none-any.whl"):
            continue
        done.add(name)
        todo += packages[name]["depends"]
        fetch(f"{packages[name]['name']}=={packages[name]['version']}", folder)
        wheel = folder / packages[name]["file_name"]
        packages[name]["sha256"] = hashlib.sha256(wheel.read_bytes()).hexdigest()
    (folder / "pyodide-lock.json").write_text(json.dumps(lock))


def fetch(what, folder):
    """Fetch one pure wheel."""
    pure = ["--only-binary=:all:", "--implementation=py", "--abi=none", "--platform=any"]
    command = ["pip", "download", "--quiet", "--no-deps", *pure, f"--python-version={PYTHON}"]
    subprocess.run(
        [sys.executable, "-m", *command, f"--dest={folder}", what], check=True, capture_output=True
    )


def put_cells(site, *cells):
    """Put these cells in the place of a lesson's."""
    path = site / "files" / LESSON
    notebook = json.loads(path.read_text())
    empty = {"cell_type": "code", "metadata": {}, "execution_count": None, "outputs": []}
    notebook["cells"] = [
        {**empty, "id": f"cell-{place}", "source": cell} for place, cell in enumerate(cells)
    ]
    path.write_text(json.dumps(notebook))


def run(site):
    """Run the cells in Chromium; print what they say and how long it takes."""
    with served(site) as address, harness.chromium() as browser:
        context = browser.new_context(viewport=harness.LAPTOP)
        elsewhere = fenced(context, address)
        page = context.new_page()
        begin = time.monotonic()
        page.goto(f"{address}lab/index.html?path={LESSON}")
        page.locator(".jp-Notebook .jp-Cell").first.wait_for(timeout=60_000)
        print(f"lesson's page: {time.monotonic() - begin:.1f} s")
        begin = time.monotonic()
        page.get_by_role("menuitem", name="Run", exact=True).click()
        page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        page.locator(".jp-OutputArea-output", has_text="rows").wait_for(timeout=180_000)
        print(f"kernel, packages, first sentence: {time.monotonic() - begin:.1f} s")
        print(page.locator(".jp-OutputArea-output", has_text="rows").inner_text().strip())
        page.locator("input.hand").wait_for(timeout=60_000)
        page.evaluate(MOVE)
        moves = [page.evaluate(MOVE) for _ in range(MOVES)]
        print(f"page → Python → page: median {median(moves):.0f} ms, 95 % {late(moves):.0f} ms")
        print(f"asked elsewhere: {elsewhere or 'nothing'}")
        context.close()


def main():
    """Build the site with what there is, and run it."""
    parser = argparse.ArgumentParser(description="The browser edition's kernel in Chromium.")
    parser.add_argument("core", type=Path, help="node_modules/pyodide")
    core = parser.parse_args().core
    print(machine())
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        distribution(core, work / "pyodide")
        build(work / "site", pyodide=work / "pyodide")
        names = ["aqualib", *brought_along(), *BY_THE_KERNEL, *PURE_OF_PYODIDE]
        for compiled in ("fluids", "pyco2sys", "autograd"):  # of no use without numpy
            names.remove(compiled)
        put_cells(work / "site", GROUND.format(names=names), WIDGET)
        run(work / "site")


if __name__ == "__main__":
    main()
