"""One look for one thing, and text that grows for a projector."""

import pytest

from aqualib.lesson.drawing import style

THINGS = (style.AMMONIA, style.NITRITE, style.NITRATE, style.OXYGEN, style.SOLIDS, style.FOOD)
OKABE_ITO = {
    "#000000", "#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7",
}  # fmt: skip


@pytest.fixture(autouse=True)
def _page_after():
    yield
    style.set_text_size("page")


def test_no_two_things_look_the_same_without_colour():
    assert len({(look.dash, look.marker) for look in THINGS}) == len(THINGS)
    assert all(look.marker for look in THINGS)
    assert len({look.hatch for look, _ in style.ZONES}) == len(style.ZONES)


def test_colours_are_of_one_set_but_for_the_grey_of_dirt():
    assert {look.colour for look in THINGS} - {style.SOLIDS.colour} <= OKABE_ITO


def test_text_grows_for_a_projector():
    assert (style.points(0.9), style.text_scale()) == pytest.approx((9.9, 1.0))
    style.set_text_size("projector")
    assert style.get_text_size() == "projector"
    assert style.points(0.9) == pytest.approx(9.9 * style.text_scale())
    assert style.text_scale() > 1.1
