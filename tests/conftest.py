"""Settings that hold for all tests."""

from __future__ import annotations

from hypothesis import settings

# The first call of a function fills caches; on a busy machine that is no failure.
# The same examples on every run, so that a red test is a changed program, not a new example;
# `--hypothesis-profile=explore` looks for new ones.
settings.register_profile("house", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None, max_examples=2000)
settings.load_profile("house")
