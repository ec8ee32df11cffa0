"""JupyterLab set calm for a reader: one page in sight, no news, nothing of the user's own touched.

All settings are defaults: what a learner chooses in JupyterLab's own menus stands above them, and
is kept in the learner's folder too. The user's own Jupyter, if there is one, is neither read nor
written.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Mapping
from pathlib import Path
from urllib.parse import quote

from aqualib.files import PACKAGE, is_checkout, replace_file
from aqualib.lesson.own_folder import HIDDEN
from aqualib.lesson.serving.server import LOOPBACK
from aqualib.lesson.serving.what_is_saved import leave_out_live

OVERRIDES = {
    "@jupyterlab/apputils-extension:notification": {
        "fetchNews": "false",  # a word, as JupyterLab has it
        "checkForUpdates": False,
        "doNotDisturbMode": True,
    },
    "@jupyterlab/docmanager-extension:plugin": {
        "autosave": True,
        "autosaveInterval": 10,
        "renameUntitledFileOnSave": False,
    },
    "@jupyterlab/application-extension:shell": {"startMode": "single"},
    "@jupyterlab/notebook-extension:tracker": {
        "autoStartDefaultKernel": True,
        "windowingMode": "defer",  # all cells stay in the page, for its search and for print
    },
    "@jupyterlab/filebrowser-extension:browser": {
        "showLastModifiedColumn": False,
        "singleClickNavigation": True,
    },
}
QUIET = {
    "LabApp.extension_manager": "readonly",
    "LabApp.check_for_updates_class": "jupyterlab.NeverCheckForUpdate",
    "LabApp.news_url": "",
    # Else it asks npm for checkers of other languages, which writes into the user's home.
    "LanguageServerManager.autodetect": False,
}
"""Options with which JupyterLab asks nothing of the world outside."""
ON_SAVING = {
    "FileContentsManager.pre_save_hook": f"{leave_out_live.__module__}.{leave_out_live.__name__}"
}
"""What a saved lesson shows when it is opened again, before anything has run."""
HOMES = {
    "JUPYTER_CONFIG_DIR": "config",
    "JUPYTER_DATA_DIR": "data",
    "JUPYTER_RUNTIME_DIR": "runtime",
    "IPYTHONDIR": "ipython",
}


def write_overrides(folder: Path) -> None:
    """Put our defaults where JupyterLab will look for them: in the learner's folder."""
    settings = folder / HIDDEN / "settings"
    settings.mkdir(parents=True, exist_ok=True)
    replace_file(settings / "overrides.json", json.dumps(OVERRIDES, indent=1))


def page_address(page: str) -> str:
    """Return where JupyterLab shows one page alone, its list of files closed."""
    return f"/doc/tree/{quote(page)}"


def jupyterlab_command(folder: Path, page: str, port: int) -> list[str]:
    """Return the command that serves the learner's folder on this computer only."""
    hidden = folder / HIDDEN
    options = {
        "ServerApp.ip": LOOPBACK,
        "ServerApp.port": port,
        "ServerApp.port_retries": 0,
        "ServerApp.open_browser": False,
        "ServerApp.answer_yes": True,  # Ctrl + C once is enough
        "ServerApp.root_dir": folder,
        "LabApp.app_settings_dir": hidden / "settings",
        "LabApp.user_settings_dir": hidden / "user",
        "LabApp.workspaces_dir": hidden / "workspaces",
        "LabApp.default_url": page_address(page),
        **QUIET,
        **ON_SAVING,
    }
    # In a container there is often no other user; loopback and token guard that one as well.
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    allowed = ["--allow-root"] if root else []
    return [sys.executable, "-m", "jupyterlab", *written(options), *allowed]


def written(options: Mapping[str, object]) -> list[str]:
    """Return options as they stand on a command line of Jupyter's programs."""
    return [f"--{name}={value}" for name, value in options.items()]


def own_homes(hidden: Path) -> dict[str, str]:
    """Return the environment that keeps Jupyter and IPython inside one folder of ours."""
    return {**package_first(), **{name: str(hidden / home) for name, home in HOMES.items()}}


def package_first() -> dict[str, str]:
    """Return the environment in which kernels import this very package, installed or not."""
    top = PACKAGE.parent
    if not is_checkout(top):
        return {}
    others = os.environ.get("PYTHONPATH")
    return {"PYTHONPATH": os.pathsep.join([str(top), *([others] if others else [])])}
