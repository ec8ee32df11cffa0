"""A plugin for nbval: leaves each notebook with the outputs that its cells gave in this run."""

from __future__ import annotations

import nbformat


def pytest_runtest_teardown(item, nextitem):
    item.cell.outputs = item.test_outputs or []
    for output in item.cell.outputs:
        # nbval has the kernel keep no history, so the kernel counts no cells.
        if output.output_type == "execute_result":
            output.execution_count = item.cell.execution_count
    if nextitem is None or nextitem.parent is not item.parent:
        item.path.write_text(nbformat.v4.writes(item.parent.nb), encoding="utf-8")
