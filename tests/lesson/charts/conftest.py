"""What the tests of charts share: a result drawn on its chart, and the units as they were."""

import pytest

from aqualib.lesson.drawing.picture import Picture
from aqualib.units import set_units


@pytest.fixture(autouse=True)
def _metric_after():
    yield
    set_units("metric")


@pytest.fixture
def draw():
    """Give a function that draws a result on a chart as the page sees it, and returns the chart."""

    def drawn(chart, *results):
        picture = Picture(chart)
        for result in results:
            picture.png(result)
        return chart

    return drawn
