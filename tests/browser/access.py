"""What a page owes those who do not see it, do not point at it, or need it larger."""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe

WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
GRAVE = {"serious", "critical"}
OURS = [".aqualib-panel", ".aqualib-questions", ".jp-RenderedMarkdown", ".jp-RenderedHTML"]
"""In JupyterLab: what is around these is JupyterLab's own."""


def faults(page, *parts):
    """Name what axe-core finds gravely wrong by WCAG 2.2 AA, in some parts of a page or in all."""
    options = {"runOnly": WCAG, "resultTypes": ["violations"]}
    within = {"include": [[part] for part in parts]} if parts else None
    found = Axe().run(page, within, options).response["violations"]
    return {
        f"{fault['id']}: {node['html'][:120]}"
        for fault in found
        if fault["impact"] in GRAVE
        for node in fault["nodes"]
    }


STOPS = """(panel) => {
    window.stops = [...panel.querySelectorAll('input, select, button, summary')]
        .filter((stop) => stop.checkVisibility());
    return window.stops.length;
}"""
AT = "() => window.stops.indexOf(document.activeElement)"
# What the hand or the eye would miss at the control that has the focus.
MISSED = """() => {
    const stop = document.activeElement;
    const look = getComputedStyle(stop);
    const target = (stop.closest('.aqualib-tick') ?? stop).getBoundingClientRect();
    const box = stop.getBoundingClientRect();
    const there = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    return [
        look.outlineStyle === 'none' || parseFloat(look.outlineWidth) < 2 ? 'no ring' : '',
        target.width < 24 || target.height < 24 ? `small: ${target.width} × ${target.height}` : '',
        there === stop || stop.contains(there) ? '' : 'something lies over it',
    ].filter(Boolean).map((what) => `${what}: ${stop.outerHTML.slice(0, 90)}`);
}"""
# Whether a slider and the picture are in sight together where one scrolls to the slider.
TOGETHER = """([panel, slider, window_]) => {
    panel.scrollIntoView();
    slider.scrollIntoView({ block: 'nearest' });
    const view = window_.getBoundingClientRect();
    return [slider, panel.querySelector('img')].every((part) => {
        const box = part.getBoundingClientRect();
        return box.top >= view.top - 1 && box.bottom <= view.bottom + 1;
    });
}"""
