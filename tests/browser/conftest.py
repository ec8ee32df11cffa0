"""The fixtures of the browser tests: one JupyterLab and one Chromium for all of them.

The tests need Chromium on the machine (Debian: `apt-get install chromium`). Where there is none
they are not collected and the run says so; with CI set, a missing browser is an error.
"""

import os

import harness
import pytest
from harness import CHROMIUM, LAPTOP, Lesson


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
    """The address of a JupyterLab that serves a copy of the lessons."""
    with harness.jupyterlab(tmp_path_factory.mktemp("lab")) as address:
        yield address


@pytest.fixture(scope="session")
def chromium():
    """One headless Chromium for the session."""
    from playwright.sync_api import expect

    expect.set_options(timeout=harness.PATIENCE)
    with harness.chromium() as browser:
        yield browser


@pytest.fixture(scope="session")
def window(chromium):
    """A laptop's window, kept, so that JupyterLab's own files are loaded once."""
    context = chromium.new_context(viewport=LAPTOP)
    yield context
    context.close()


@pytest.fixture(scope="session")
def desk(window, jupyter):
    """One page for the tests that open a lesson of their own: JupyterLab is loaded once."""
    desk = Lesson(window.new_page(), jupyter)
    yield desk
    desk.page.close()


@pytest.fixture
def lesson(desk):
    """A page with no lesson open; whatever happens on it, nothing may go wrong."""
    desk.errors.clear()
    yield desk
    errors = list(desk.errors)  # what JupyterLab says while it is taken away does not count
    desk.put_away()
    desk.end_kernels()
    assert errors == []
