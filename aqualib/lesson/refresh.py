"""Run notebooks in a fresh kernel and write them back in one normal form.

`python -m aqualib.lesson.refresh lessons/02-the-nitrogen-cycle.ipynb` (no file: all lessons).
Two fresh runs give the same bytes, so a change in a notebook is a change a reader can see.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import nbformat
from nbclient import NotebookClient

LESSONS = Path(__file__).resolve().parents[2] / "lessons"
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
    for place, cell in enumerate(notebook.cells):
        cell.id = f"{name[:2]}-{place:02d}"
        cell.metadata = {}
        for output in cell.get("outputs", []):
            # The live view belongs to one kernel; the still picture and the sentence stay.
            data = output.get("data", {})
            data.pop("application/vnd.jupyter.widget-view+json", None)
    return notebook


def refresh(path: Path) -> bool:
    """Run and rewrite one notebook; return whether its text changed."""
    before = path.read_text(encoding="utf-8")
    after = str(nbformat.writes(normalise(run(path), path.name))) + "\n"
    path.write_text(after, encoding="utf-8")
    return after != before


def main(arguments: Sequence[str] | None = None) -> None:
    """Refresh the notebooks named, or every lesson."""
    parser = argparse.ArgumentParser(prog="python -m aqualib.lesson.refresh", description=__doc__)
    parser.add_argument("notebooks", nargs="*", type=Path, help="default: every lesson")
    chosen = parser.parse_args(arguments).notebooks or sorted(LESSONS.glob("*.ipynb"))
    for path in chosen:
        print(f"{path.name}: {'changed' if refresh(path) else 'unchanged'}")


if __name__ == "__main__":
    main()
