"""A real JupyterLab and a real Chromium, for the browser tests and the benchmarks."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

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
LAPTOP = {"width": 1280, "height": 900}
TOKEN = "lesson"
START = 60.0
# What a test waits for in the page, in ms: two workers of a busy machine share its cores.
PATIENCE = 20_000

# What would make one run differ from another: a box with news over the page, and lessons that
# change on the disk while they are open.
SETTINGS = {
    "apputils-extension/notification": {"fetchNews": "false", "checkForUpdates": False},
    "docmanager-extension/plugin": {"autosave": False},
}

CONNECTED = """() => {
    const kernel = window.jupyterapp?.shell?.currentWidget?.sessionContext?.session?.kernel;
    return kernel?.connectionStatus === 'connected' && kernel.status === 'idle';
}"""
PROMPTS = "[...document.querySelectorAll('.jp-Notebook .jp-InputArea-prompt')]"
# Short cells may be done before anyone looks: a number is as good a sign of a start as a star.
STARTED = f"() => {PROMPTS}.some((prompt) => /[*\\d]/.test(prompt.textContent))"
OPEN = """async (path) => {
    await jupyterapp.commands.execute('docmanager:open', { path, factory: 'Notebook' });
}"""
# The numbers of the last runs, such as [3]:, and whether each has become another number.
RUNS = f"() => {PROMPTS}.map((prompt) => prompt.textContent).filter((text) => /\\d/.test(text))"
DONE_ANEW = f"""(before) => {{
    const now = ({RUNS})();
    return now.length === before.length && now.every((text) => !before.includes(text));
}}"""
FINISHED = f"() => !{PROMPTS}.some((prompt) => prompt.textContent.includes('*'))"


@contextlib.contextmanager
def jupyterlab(root, lessons=LESSONS):
    """Serve a copy of the lessons with JupyterLab out of folder `root`; gives the address."""
    shutil.copytree(lessons, root / "lessons")
    for plugin, chosen in SETTINGS.items():
        settings = root / "settings" / "@jupyterlab" / f"{plugin}.jupyterlab-settings"
        settings.parent.mkdir(parents=True)
        settings.write_text(json.dumps(chosen))
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
        f"--IdentityProvider.token={TOKEN}",
        "--ServerApp.port_retries=0",
        # Lets a test ask whether the kernel is ready; the page is otherwise the same.
        "--LabApp.expose_app_in_browser=True",
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
            _wait_for(f"{address}/api?token={TOKEN}", server, root / "server.log")
            yield address
        finally:
            server.terminate()
            try:
                server.wait(timeout=20)
            except subprocess.TimeoutExpired:  # seen once, on a busy machine
                server.kill()
                server.wait()


def _wait_for(address, server, log):
    end = time.monotonic() + START
    while time.monotonic() < end and server.poll() is None:
        try:
            with urllib.request.urlopen(address, timeout=2):
                return
        except OSError:
            time.sleep(0.05)
    message = f"JupyterLab did not start:\n{log.read_text()[-2000:]}"
    raise RuntimeError(message)


@contextlib.contextmanager
def chromium():
    """Give one headless Chromium."""
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
        self._in_jupyterlab = False
        page.on("pageerror", lambda error: self.errors.append(f"page error: {error}"))
        page.on("console", self._note)

    def _note(self, message):
        if message.type == "error":
            self.errors.append(f"console: {message.text} {message.location.get('url', '')}")

    def write(self, name, *cells):
        """Put a notebook with these code cells among the lessons."""
        import nbformat  # takes two seconds to load: not where tests are only collected

        from aqualib.lesson.refresh import METADATA

        code = [nbformat.v4.new_code_cell(cell) for cell in cells]
        notebook = nbformat.v4.new_notebook(cells=code, metadata=METADATA)
        answer = self.page.request.put(
            f"{self.address}/api/contents/{name}?token={TOKEN}",
            data={"type": "notebook", "format": "json", "content": notebook},
        )
        assert answer.ok, answer.text()

    def look(self, name):
        """Open a lesson as it was saved, and run nothing."""
        if self._in_jupyterlab:
            self.page.evaluate(OPEN, name)
        else:
            self.page.goto(f"{self.address}/lab/tree/{name}?token={TOKEN}&reset")
            self._in_jupyterlab = True
        self.page.locator(".jp-Notebook .jp-Cell").first.wait_for(timeout=60_000)

    def choose(self, menu, entry):
        """Choose an entry of one of JupyterLab's menus."""
        self.page.get_by_role("menuitem", name=menu, exact=True).click()
        self.page.get_by_role("menuitem", name=entry, exact=True).click()

    def start(self, name):
        """Open a lesson and let it run from the menu."""
        self.look(name)
        self.page.wait_for_function(CONNECTED, timeout=60_000)
        self.choose("Run", "Run All Cells")
        self.page.wait_for_function(STARTED)

    def run_again(self):
        """Run all cells of the open lesson once more and wait until they are done."""
        before = self.page.evaluate(RUNS)
        self.choose("Run", "Run All Cells")
        self.page.wait_for_function(DONE_ANEW, arg=before, timeout=60_000)

    def open(self, name):
        """Open a lesson, run it from the menu and wait until every cell is done."""
        self.start(name)
        self.page.wait_for_function(FINISHED, timeout=60_000)
        self.panel().locator("img[src^='blob:']").wait_for()

    def put_away(self):
        """Close the lesson, without the question whether to save it."""
        self.page.evaluate("() => jupyterapp.shell.currentWidget.dispose()")
        self.page.locator(".jp-Notebook").wait_for(state="detached")

    def end_kernels(self):
        """Shut down every kernel, so that the next lesson starts with a fresh one."""
        sessions = f"{self.address}/api/sessions"
        for session in self.page.request.get(f"{sessions}?token={TOKEN}").json():
            self.page.request.delete(f"{sessions}/{session['id']}?token={TOKEN}")

    def take_focus(self, control):
        """Give a control the focus just after a run, and wait until it is left there.

        JupyterLab may take it to itself once more then, between focus and key.
        """
        self.page.wait_for_function(FINISHED, timeout=60_000)
        for _ in range(20):
            control.focus()
            self.page.wait_for_timeout(300)
            if control.evaluate("(element) => element === document.activeElement"):
                return
        message = f"the focus does not stay on {control}"
        raise AssertionError(message)

    def panel(self, number=0):
        """The lesson's panels in order."""
        return self.page.locator(".aqualib-panel").nth(number)
