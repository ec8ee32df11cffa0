"""A page of HTML that needs nothing else: no script, no network, one landmark."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape


def html_page(title: str, style: str, body: Iterable[str]) -> str:
    """Return a whole page; the title is text, style and body are taken as they are."""
    lines = [
        "<!DOCTYPE html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width">',
        f"<title>{escape(title)}</title>",
        f"<style>\n{style}\n</style>",
        "</head>",
        "<body>",
        "<main>",
        *body,
        "</main>",
        "</body>",
        "</html>",
    ]
    return "\n".join(lines) + "\n"
