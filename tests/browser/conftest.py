"""A real JupyterLab and a real Chromium for the browser tests.

The tests need Chromium on the machine (Debian: `apt-get install chromium`). Where there is none
they are not collected and the run says so; with CI set, a missing browser is an error.
"""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

LESSONS = Path(__file__).resolve().parents[2] / "lessons"
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
CHROMIUM = next((path for name in NAMES if (path := shutil.which(name))), None)
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--force-device-scale-factor=1",
]
START = 60.0


def pytest_report_header():
    """Say in the first lines whether the browser tests run."""
    return f"browser tests: {CHROMIUM or 'not run, no Chromium on this machine'}"


def pytest_ignore_collect(collection_path):
    """Leave the browser tests out where there is no browser, except in CI."""
    if collection_path.name.startswith("test_") and CHROMIUM is None:
        if os.environ.get("CI"):
            pytest.exit("no Chromium found, and CI is set: install it", returncode=3)
        return True
    return None


@pytest.fixture(scope="session")
def jupyter(tmp_path_factory):
    """Serve a copy of the lessons with JupyterLab; gives the address with its token."""
    root = tmp_path_factory.mktemp("lab")
    shutil.copytree(LESSONS, root / "lessons")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address = f"http://127.0.0.1:{port}"
    options = [
        "--no-browser",
        "--allow-root",
        f"--port={port}",
        "--ip=127.0.0.1",
        f"--ServerApp.root_dir={root / 'lessons'}",
        "--IdentityProvider.token=lesson",
        "--ServerApp.port_retries=0",
    ]
    homes = {
        "JUPYTER_CONFIG_DIR": str(root / "config"),
        "JUPYTERLAB_SETTINGS_DIR": str(root / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(root / "workspaces"),
    }
    with (root / "server.log").open("w") as log:
        server = subprocess.Popen(
            [sys.executable, "-m", "jupyterlab", *options],
            stdout=log,
            stderr=log,
            env={**os.environ, **homes},
        )
        try:
            _wait_for(f"{address}/api?token=lesson", server, root / "server.log")
            yield address
        finally:
            server.terminate()
            server.wait(timeout=20)


def _wait_for(address, server, log):
    end = time.monotonic() + START
    while time.monotonic() < end and server.poll() is None:
        try:
            with urllib.request.urlopen(address, timeout=2):
                return
        except OSError:
            time.sleep(0.2)
    pytest.fail(f"JupyterLab did not start:\n{log.read_text()[-2000:]}")


@pytest.fixture(scope="session")
def chromium():
    """One headless Chromium for the session."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield browser
        browser.close()


class Lesson:
    """A lesson open in JupyterLab, with what its page said on the console."""

    def __init__(self, page, address):
        self.page = page
        self.address = address
        self.errors = []
        page.on("pageerror", lambda error: self.errors.append(f"page error: {error}"))
        page.on("console", self._note)

    def _note(self, message):
        if message.type == "error":
            self.errors.append(f"console: {message.text} {message.location.get('url', '')}")

    def open(self, name):
        """Open a lesson, run it from the menu and wait for its first panel."""
        self.page.goto(f"{self.address}/lab/tree/{name}?token=lesson&reset")
        self.page.locator(".jp-Notebook .jp-Cell").first.wait_for(timeout=60_000)
        self.page.locator("[data-jupyter-kernel-status], .jp-Notebook-ExecutionIndicator").first.wait_for(
            state="attached", timeout=60_000
        )
        self.page.get_by_role("menuitem", name="Run", exact=True).click()
        self.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        self.panel().locator("img[src^='blob:']").wait_for(timeout=60_000)

    def panel(self, number=0):
        """The lesson's panels in order."""
        return self.page.locator(".aqualib-panel").nth(number)


@pytest.fixture
def lesson(chromium, jupyter):
    """A fresh page with a laptop's window."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    yield Lesson(page, jupyter)
    context.close()
