"""Which cells teach no code: their source is folded in JupyterLab, and what they show stays."""

from __future__ import annotations

import ast
from typing import Any

FOLDED = {"jupyter": {"source_hidden": True}}
"""JupyterLab's own mark for a cell whose source is folded behind a bar."""
OUT_OF_SIGHT = "hide-input"
"""The tag by which other ways to show a notebook leave out a cell's source, too."""
NO_LESSON = {
    *("set_units", "guess", "ask", "compare", "exercises", "panel_of"),
    *("hand_out", "hand_out_care"),
    *("evidence", "evidence_by_id", "scoreboard", "bibliography", "tank_sheet"),
}
"""Calls that put something on the page and that nobody needs to read."""


def teaches_no_code(source: str) -> bool:
    """Return whether a cell only imports, asks, or shows a panel, a table or a list."""
    statements = ast.parse(source).body
    return bool(statements) and all(_is_plain(statement) for statement in statements)


def hide_all(notebook: Any) -> None:
    """Put the source of every code cell out of sight, for a room that reads no code."""
    for cell in notebook.cells:
        if cell.cell_type == "code":
            tags = [*cell.metadata.get("tags", []), OUT_OF_SIGHT]
            cell.metadata.update({**FOLDED, "tags": tags})


def _is_plain(statement: ast.stmt) -> bool:
    match statement:
        case ast.Import() | ast.ImportFrom() | ast.Expr(value=ast.Name()):
            return True
        case ast.Assign(value=ast.Call() as call) | ast.Expr(value=ast.Call() as call):
            name = _name(call.func)
            return name in NO_LESSON or name.endswith("_panel")
    return False


def _name(called: ast.expr) -> str:
    """Return the last word of what is called."""
    if isinstance(called, ast.Attribute):
        return called.attr
    return called.id if isinstance(called, ast.Name) else ""
