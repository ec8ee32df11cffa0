"""Accessibility in a real page: axe-core, keys alone, zoom. See the test file."""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe

WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
GRAVE = {"serious", "critical"}
OURS = [".aqualib-panel", ".jp-RenderedMarkdown", ".jp-RenderedHTML"]
"""In JupyterLab: what is around these is JupyterLab's own."""


def faults(page, *parts):
    """Name what axe-core finds seriously wrong by WCAG 2.2 AA in parts of a page, or in all."""
    options = {"runOnly": WCAG, "resultTypes": ["violations"]}
    within = {"include": [[part] for part in parts]} if parts else None
    found = Axe().run(page, within, options).response["violations"]
    return {
        f"{fault['id']}: {node['html'][:120]}"
        for fault in found
        if fault["impact"] in GRAVE
        for node in fault["nodes"]
    }
