"""Settings that hold for all tests."""

from __future__ import annotations

from hypothesis import settings

# The first call of a function fills caches; on a busy machine that is no failure.
settings.register_profile("house", deadline=None)
settings.load_profile("house")
