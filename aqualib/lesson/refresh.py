"""Run notebooks in a fresh kernel and write them back in one normal form.

`python -m aqualib.lesson.refresh lessons/02-the-nitrogen-cycle.ipynb` (no file: all lessons).
Two fresh runs give the same bytes, so a change in a notebook is a change a reader can see.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import nbformat
from nbclient import NotebookClient

from aqualib.checks import counts_table
from aqualib.lesson.code_in_sight import FOLDED, hide_all, teaches_no_code
from aqualib.lesson.glossary import with_links
from aqualib.lesson.serving.shipped import CODE_ONLY, WORKSHOP
from aqualib.measured import all_measured, scoreboard
from aqualib.parameters import BASES, parameters
from aqualib.tank.plan import system_schema

LESSONS = Path(__file__).resolve().parents[2] / "lessons"
README = LESSONS.parent / "README.md"
SCHEMA = LESSONS.parent / "data" / "system.schema.json"
COUNTS_BEGIN = "do not edit by hand -->"
COUNTS_END = "<!-- end of counts -->"
METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def run(path: Path) -> Any:
    """Return the notebook at `path`, executed from top to bottom in a fresh kernel."""
    notebook = nbformat.read(path, as_version=4)
    folder = {"metadata": {"path": str(path.parent)}}
    NotebookClient(notebook, kernel_name="python3", resources=folder).execute()
    return notebook


def normalise(notebook: Any, name: str) -> Any:
    """Return the notebook with nothing in it that differs from run to run."""
    notebook.metadata = nbformat.from_dict(METADATA)
    notebook.nbformat, notebook.nbformat_minor = 4, 5
    workshop = name == Path(WORKSHOP).name
    texts = [cell for cell in notebook.cells if cell.cell_type == "markdown" and not workshop]
    for cell, text in zip(texts, with_links([cell.source for cell in texts]), strict=True):
        cell.source = text
    for place, cell in enumerate(notebook.cells):
        cell.id = f"{name[:2]}-{place:02d}"
        tagged = CODE_ONLY in cell.metadata.get("tags", [])
        cell.metadata = nbformat.from_dict(marks_of(cell, tagged=tagged))
        if cell.cell_type == "code":
            cell.outputs = _joined(cell.outputs)
        for output in cell.get("outputs", []):
            # The live view belongs to one kernel; the still picture and the sentence stay.
            data = output.get("data", {})
            data.pop("application/vnd.jupyter.widget-view+json", None)
    if workshop:
        hide_all(notebook)
    return notebook


def marks_of(cell: Any, *, tagged: bool) -> dict[str, Any]:
    """Return the metadata of a cell: what pages leave out, and whose source is folded."""
    folded = cell.cell_type == "code" and teaches_no_code(cell.source)
    return {**({"tags": [CODE_ONLY]} if tagged else {}), **(FOLDED if folded else {})}


def _joined(outputs: list[Any]) -> list[Any]:
    """Return the outputs with printed text that arrived in pieces put together."""
    joined: list[Any] = []
    for output in outputs:
        before = joined[-1] if joined else None
        if before and output.output_type == "stream" and output.get("name") == before.get("name"):
            before.text += output.text
        else:
            joined.append(output)
    return joined


def refresh(path: Path) -> bool:
    """Run and rewrite one notebook; return whether its text changed."""
    before = path.read_text(encoding="utf-8")
    after = str(nbformat.writes(normalise(run(path), path.name))) + "\n"
    path.write_text(after, encoding="utf-8")
    return after != before


def trust() -> str:
    """Return what the README counts: check values, measurements met, and what is assumed."""
    rooms = sorted({row.room for row in all_measured()})
    by_room = "; ".join(f"{room}: {_met(room)}" for room in rooms if scoreboard(room).tests)
    bases = Counter(parameter.basis for parameter in parameters().values())
    listed = ", ".join(f"{bases[basis]} {basis}" for basis in BASES if bases[basis])
    met = (
        "Measured in tanks and filters by others, and used to choose no number of ours: "
        f"{_met()} lie in the band that we compute ({by_room})."
    )
    behind = (
        f"Behind the models stand {sum(bases.values())} parameters, each a row with its range: "
        f"{listed}."
    )
    return f"{counts_table()}\n\n{met}\n\n{behind}"


def _met(*rooms: str) -> str:
    tests = scoreboard(*rooms).tests
    return f"{sum(row.inside for row in tests)} of {len(tests)}"


def refresh_readme(path: Path = README) -> bool:
    """Write what is counted into the README; return whether its text changed."""
    before = path.read_text(encoding="utf-8")
    head, begin, rest = before.partition(COUNTS_BEGIN)
    _, end, tail = rest.partition(COUNTS_END)
    after = f"{head}{begin}\n\n{trust()}\n\n{end}{tail}"
    path.write_text(after, encoding="utf-8")
    return after != before


def refresh_schema(path: Path = SCHEMA) -> bool:
    """Write the schema of a system's file; return whether it changed."""
    before = path.read_text(encoding="utf-8") if path.exists() else ""
    after = json.dumps(system_schema(), indent=1) + "\n"
    path.write_text(after, encoding="utf-8")
    return after != before


def main(arguments: Sequence[str] | None = None) -> None:
    """Refresh the notebooks named, or every lesson."""
    parser = argparse.ArgumentParser(prog="python -m aqualib.lesson.refresh", description=__doc__)
    parser.add_argument("notebooks", nargs="*", type=Path, help="default: every lesson")
    every = [*sorted(LESSONS.glob("*.ipynb")), LESSONS / WORKSHOP]
    chosen = parser.parse_args(arguments).notebooks or every
    from aqualib.lesson.serving.still import refresh_still  # loads the drawing library

    print(f"README.md: {'changed' if refresh_readme() else 'unchanged'}")
    print(f"its still: {'changed' if refresh_still() else 'unchanged'}")
    print(f"system.schema.json: {'changed' if refresh_schema() else 'unchanged'}")
    for path in chosen:
        print(f"{path.name}: {'changed' if refresh(path) else 'unchanged'}")


if __name__ == "__main__":
    main()
