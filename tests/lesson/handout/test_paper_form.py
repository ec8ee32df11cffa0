"""The blank form: whoever follows it with the lessons' tank comes near to what the plan says."""

import re

import pytest

from aqualib.lesson.handout.paper_form import (
    ammonia_per_gram,
    as_paper_form,
    film_rate,
    pad_area_per_litre,
)
from aqualib.lesson.handout.whys import CAUTIONS
from aqualib.units import from_si


def cells(form, row):
    found = re.search(rf'<th scope="row">{row}</th>(.*?)</tr>', form)[1]
    return [float(cell) for cell in re.findall("<td>([^<]*)</td>", found)]


def test_followed_by_hand_it_comes_near_the_plan(plan):
    """Within what the flow takes from the film, which the form leaves out."""
    form = as_paper_form()
    per_kilogram, per_litre = cells(form, "porous rings")
    cool, warm = cells(form, "fresh")[1:]
    media = [place for place in plan.whole.places if place.media]
    pads = 3 * 4.5 * 452.4 / 1000
    surface = 1.8 * per_kilogram + pads * 0.44
    food = surface * (cool + (warm - cool) / 8) / 0.43 / 92
    assert food == pytest.approx(plan.carried.best.m, rel=0.1)
    assert 1.8 / per_litre == pytest.approx(1000 * plan.whole.floor * media[0].height, rel=0.05)


def test_its_tables_are_the_sums(plan):
    form = as_paper_form()
    assert cells(form, "4 g") == [129, 166, 202]
    assert ammonia_per_gram() == pytest.approx(92)
    assert pad_area_per_litre() == pytest.approx(
        plan.now.pad_area / from_si(3 * 0.045 * plan.whole.floor, "L")
    )
    assert film_rate(24, 35) == pytest.approx(cells(form, "sea")[1], rel=0.05)


def test_it_stands_alone_and_has_room_to_write():
    form = as_paper_form()
    for word in ("<script", "http", "src=", "url("):
        assert word not in form
    assert form.count('class="fill"') > 25
    assert "1 US gal = 3.785 L" in form
    assert all(caution.split(":")[0] in form for caution in CAUTIONS)
