"""What a lesson keeps on the disk: its pictures and words, and nothing that needs a running Python.

JupyterLab writes beside each still picture which live panel stood there. When the lesson is opened
again that panel is gone, and an error would stand in the picture's place. Our server therefore
leaves it out of the file, and says which menu entry brings it back. The open page keeps all.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

LIVE = "application/vnd.jupyter.widget-view+json"
STILL_HERE = "What can be moved or typed here comes back with the menu: **Run → Run All Cells**."
"""Stands under each still picture and question of a saved lesson."""


def leave_out_live(model: dict[str, Any], **_: object) -> None:
    """Take the live views out of a notebook that is about to be saved: a hook of Jupyter's server.

    The new content is whole before it takes the old one's place. Whatever goes wrong before,
    Jupyter writes it into its log and saves what the learner has.
    """
    content = model.get("content")
    if model.get("type") == "notebook" and isinstance(content, dict):
        model["content"] = without_live_views(content)


def without_live_views(notebook: Mapping[str, Any]) -> dict[str, Any]:
    """Return a notebook with still pictures and words alone; what was given stays as it is."""
    metadata = {name: value for name, value in notebook["metadata"].items() if name != "widgets"}
    cells = [_still_cell(cell) for cell in notebook["cells"]]
    return {**notebook, "metadata": metadata, "cells": cells}


def _still_cell(cell: Mapping[str, Any]) -> Mapping[str, Any]:
    if not cell.get("outputs"):
        return cell
    return {**cell, "outputs": [still for output in cell["outputs"] for still in _still(output)]}


def _still(output: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    """Give what stays of an output, and after a live one the words that name the menu entry."""
    data = output.get("data", {})
    if LIVE not in data:
        yield output
        return
    left = {kind: shown for kind, shown in data.items() if kind != LIVE}
    if left:
        yield {**output, "data": left}
    note = {"text/markdown": STILL_HERE, "text/plain": STILL_HERE.replace("*", "")}
    yield {"output_type": "display_data", "metadata": {}, "data": note}
