"""The lessons as the site shows them, and the plain page in front of them."""

from __future__ import annotations

import html
import json
from collections.abc import Mapping
from pathlib import Path
from urllib.parse import quote

from aqualib.lesson.serving.shipped import title_of

FETCH = (
    "# In the browser only: fetch the package, once for each opened page.\n"
    "# The first time takes a minute or more; later your browser has most of it.\n"
    "%pip install -q aqualib"
)
KERNEL = {"display_name": "Python (Pyodide)", "language": "python", "name": "python"}
FRONT = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>aqualib: the lessons in your browser</title>
<style>
body {{ font: 1.125rem/1.5 system-ui, sans-serif; color: #222; background: #fff; margin: 0 }}
main {{ max-width: 42rem; margin: 2rem auto; padding: 0 1rem }}
a {{ color: #0b5394 }}
ul {{ list-style: none; padding: 0 }}
li {{ margin: 0.4rem 0 }}
</style>
<!-- JupyterLite's own pages read this of the front page; without it they stay empty. -->
<script id="jupyter-config-data" type="application/json" data-jupyter-lite-root=".">{{}}</script>
</head>
<body>
<main>
<h1>Aquarium filters, worked out in the open</h1>
<p>These lessons run in your browser; nothing is installed. Open one and choose
<strong>Run → Run All Cells</strong>. The first time it fetches Python itself, which takes a
minute or more. What you type is kept in this browser, on this computer, and nowhere else.</p>
<ul>
{lessons}
</ul>
</main>
</body>
</html>
"""


def for_the_browser(text: str) -> str:
    """Return a notebook's text with the browser's kernel, and a first cell that fetches us."""
    notebook = json.loads(text)
    notebook["metadata"]["kernelspec"] = KERNEL
    cell = {"cell_type": "code", "id": "browser-fetch", "metadata": {}, "source": FETCH}
    notebook["cells"].insert(0, {**cell, "execution_count": None, "outputs": []})
    return json.dumps(notebook, ensure_ascii=False, indent=1) + "\n"


def front_page(lessons: Mapping[str, Path]) -> str:
    """Return the page that lists the lessons by number, each with its question."""
    entries = []
    for name, path in lessons.items():
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        shown = html.escape(title_of(cells) or name)
        address = f"lab/index.html?path={quote(name)}"
        entries.append(f'<li><a href="{address}">{shown}</a></li>')
    return FRONT.format(lessons="\n".join(entries))
