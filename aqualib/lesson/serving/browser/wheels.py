"""What the site has to bring along: the package itself, and what its page cannot get elsewhere.

In a page, Python is Pyodide, which has compiled packages of its own. Everything else must be pure
Python and lies beside the lessons, in the versions that are installed here: those were tested.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tomllib
from importlib.metadata import PackageNotFoundError, requires, version
from pathlib import Path

from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from aqualib.files import PACKAGE, PROJECT, is_checkout

IN_PYODIDE: dict[str, str] = json.loads(
    Path(__file__).with_name("in_pyodide.json").read_text(encoding="utf-8")
)["packages"]
BY_THE_KERNEL = ("widgetsnbextension",)
"""The kernel brings an empty one of its own; the real one is for pages other than JupyterLab."""
PYTHON = "3.14"


def brought_along() -> dict[str, str]:
    """Return the packages that a page needs and Pyodide has not, with the versions here."""
    found: dict[str, str] = {}
    todo = [PROJECT]
    while todo:
        for name in needed_by(todo.pop()):
            if name not in found and name not in IN_PYODIDE and name not in BY_THE_KERNEL:
                found[name] = _version_here(name)
                todo.append(name)
    return dict(sorted(found.items()))


def needed_by(package: str) -> list[str]:
    """Return what a package needs when it runs in a page: this one, or one that is installed."""
    page = {
        **{key: str(value) for key, value in default_environment().items()},
        "sys_platform": "emscripten",
        "platform_system": "Emscripten",
        "platform_machine": "wasm32",
        "os_name": "posix",
        "python_version": PYTHON,
        "python_full_version": f"{PYTHON}.0",
        "extra": "",
    }
    texts = own_requirements() if package == PROJECT else requires(package) or []
    wanted = [Requirement(text) for text in texts]
    kept = [one for one in wanted if one.marker is None or one.marker.evaluate(page)]
    return [canonicalize_name(one.name) for one in kept]


def own_requirements() -> list[str]:
    """Return what this checkout asks for; what is installed may be of an older day."""
    if not is_checkout(PACKAGE.parent):
        message = "the browser edition is built from a checkout, for it needs the package's source"
        raise RuntimeError(message)
    text = (PACKAGE.parent / "pyproject.toml").read_text(encoding="utf-8")
    return list(tomllib.loads(text)["project"]["dependencies"])


def _version_here(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        message = f"{name} is not installed here: install aqualib with its extra [browser]"
        raise RuntimeError(message) from None


def fetch(wanted: dict[str, str], folder: Path, found_in: Path | None) -> None:
    """Fetch wheels of pure Python from the registry, or take them from a folder that has them."""
    offline = ["--no-index", f"--find-links={found_in}"] if found_in else []
    pure = ["--only-binary=:all:", "--implementation=py", "--abi=none", "--platform=any"]
    names = [f"{name}=={number}" for name, number in wanted.items()]
    run_module(
        [
            *("pip", "download", "--quiet", "--no-deps", *offline, *pure),
            *(f"--python-version={PYTHON}", f"--dest={folder}", *names),
        ],
        "the packages that the site brings along were not found",
    )


def build_own(folder: Path) -> None:
    """Build the wheel of this checkout, its lessons and data inside."""
    command = ["hatchling", "build", "--target=wheel", f"--directory={folder}"]
    run_module(command, "the package was not built", PACKAGE.parent)


def run_module(module: list[str], failed: str, where: Path | None = None) -> None:
    """Run a module of this Python to its end; raise with its last words where it fails."""
    done = subprocess.run(
        [sys.executable, "-m", *module], capture_output=True, text=True, check=False, cwd=where
    )
    if done.returncode:
        message = f"{failed}:\n{(done.stdout + done.stderr)[-3000:]}"
        raise RuntimeError(message)
