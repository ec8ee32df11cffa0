"""Settings that hold for all tests, and the order of the files."""

from __future__ import annotations

from pathlib import Path

from hypothesis import settings

TESTS = Path(__file__).parent
# By the clock, from the longest: started last, they would keep one worker busy and leave the other
# with nothing to do.
LONGEST_FIRST = (
    "browser/",
    "test_lessons",
    "lesson/test_panel",
    "lesson/panels",
    "tank/test_log/",
    "test_mutation",
)

# The first call of a function fills caches; on a busy machine that is no failure.
# The same examples on every run, so that a red test is a changed program, not a new example;
# `--hypothesis-profile=explore` looks for new ones.
settings.register_profile("house", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None, max_examples=2000)
settings.load_profile("house")


def pytest_configure(config):
    # `--dist loadfile` would begin with the files of most tests, which are not the longest.
    config.option.loadscopereorder = False


def pytest_collection_modifyitems(items):
    def place(item):
        name = item.path.as_posix().removeprefix(f"{TESTS.as_posix()}/")
        return next((n for n, long in enumerate(LONGEST_FIRST) if name.startswith(long)), 99)

    items.sort(key=place)
