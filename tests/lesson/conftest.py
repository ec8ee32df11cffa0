"""One panel of each kind for all the tests of a file, put back as it was made before each."""

import pytest
from panels_of_lessons import PANELS, as_a_lesson_starts, start_anew


@pytest.fixture(scope="module", params=list(PANELS))
def made_once(request):
    """The panel of each lesson in turn: pytest runs all tests of one before it makes the next."""
    as_a_lesson_starts()
    panel = PANELS[request.param]()
    yield panel
    panel.close()


@pytest.fixture
def panel(made_once):
    """A lesson's panel as the lesson starts."""
    start_anew(made_once)
    yield made_once
    as_a_lesson_starts()


@pytest.fixture
def lesson_start():
    """Units and text size as every lesson starts, before and after."""
    as_a_lesson_starts()
    yield
    as_a_lesson_starts()
