"""`python -m aqualib browser OUT`: the lessons as a folder that any web server can offer."""

from __future__ import annotations

import argparse
import json
import shutil
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from aqualib.lesson.serving.browser.pages import for_the_browser, front_page
from aqualib.lesson.serving.browser.wheels import brought_along, build_own, fetch, run_module
from aqualib.lesson.serving.calm import OVERRIDES
from aqualib.lesson.serving.shipped import shipped_lessons
from aqualib.validity import ValidityError, quoted

EXTENSIONS = ("@jupyterlite/pyodide-kernel-extension", "@jupyter-widgets/jupyterlab-manager")
PANEL_SIDE = ("anywidget",)
KERNEL_PLUGIN = "@jupyterlite/pyodide-kernel-extension:kernel"


def main(arguments: Sequence[str] | None = None) -> None:
    """Build the site, and say how large it is and how to look at it."""
    parser = argparse.ArgumentParser(
        prog="python -m aqualib browser",
        description="Build the lessons into a folder of plain files for any web server.",
    )
    parser.add_argument("out", type=Path, help="a folder that is new or empty")
    parser.add_argument(
        "--wheels", type=Path, help="take the pure wheels from this folder, not from the registry"
    )
    parser.add_argument(
        "--pyodide", type=Path, help="a Pyodide distribution to offer from the same site"
    )
    chosen = parser.parse_args(arguments)
    build(chosen.out, chosen.wheels, chosen.pyodide)
    files = [path for path in chosen.out.rglob("*") if path.is_file()]
    size = sum(path.stat().st_size for path in files) / 1e6
    print(f"Built: {chosen.out}, {len(files)} files, {size:.0f} MB. To look at it here:")
    print(f"  python -m http.server --bind 127.0.0.1 --directory {chosen.out} 8001")


def build(out: Path, wheels: Path | None = None, pyodide: Path | None = None) -> None:
    """Build the site; it appears whole or not at all."""
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise ValidityError("out", quoted(str(out)), "a folder that is new or empty", "", "is not")
    extensions = page_sides()
    out.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=out.parent, prefix=".aqualib-site-") as folder:
        work = Path(folder).absolute()  # what is run here runs in other folders
        prepare(work, wheels.absolute() if wheels else None)
        run_jupyterlite(work, extensions, pyodide)
        (work / "site" / "index.html").write_text(front_page(shipped_lessons()), encoding="utf-8")
        if out.exists():
            out.rmdir()
        (work / "site").rename(out)


def page_sides() -> list[Path]:
    """Return the page sides of the kernel, of widgets and of our panels."""
    top = Path(sys.prefix) / "share" / "jupyter" / "labextensions"
    found = [top / name for name in (*EXTENSIONS, *PANEL_SIDE)]
    missing = [path.name for path in found if not (path / "package.json").is_file()]
    if missing:
        message = f"not installed here: {', '.join(missing)}. Install aqualib with [browser]"
        raise RuntimeError(message)
    return found


def prepare(work: Path, wheels: Path | None) -> None:
    """Lay out what JupyterLite builds from: pages, wheels and settings."""
    for name in ("pages", "pypi"):
        (work / name).mkdir()
    for name, path in shipped_lessons().items():
        text = for_the_browser(path.read_text(encoding="utf-8"))
        (work / "pages" / name).write_text(text, encoding="utf-8")
    build_own(work / "pypi")
    fetch(brought_along(), work / "pypi", wheels)
    (work / "overrides.json").write_text(json.dumps(OVERRIDES, indent=1), encoding="utf-8")
    # Readers' pages ask no registry: what is not here and not in Pyodide is an error in words.
    config = {"litePluginSettings": {KERNEL_PLUGIN: {"disablePyPIFallback": True}}}
    lite = {"jupyter-lite-schema-version": 0, "jupyter-config-data": config}
    (work / "jupyter-lite.json").write_text(json.dumps(lite, indent=1), encoding="utf-8")


def run_jupyterlite(work: Path, extensions: list[Path], pyodide: Path | None) -> None:
    """Run JupyterLite's own build, with our parts of JupyterLab and no others."""
    settings: dict[str, object] = {
        "contents": ["pages"],
        "output_dir": "site",
        "apps": ["lab"],
        "no_sourcemaps": True,
        "no_unused_shared_packages": True,
        "ignore_sys_prefix": True,
        "federated_extensions": [str(path) for path in extensions],
    }
    config = {"LiteBuildConfig": settings}
    if pyodide:
        shutil.copytree(pyodide, work / "static" / "pyodide")
    (work / "jupyter_lite_config.json").write_text(json.dumps(config), encoding="utf-8")
    run_module(["jupyterlite_core", "build"], "JupyterLite did not build the site", work)


if __name__ == "__main__":
    main()
