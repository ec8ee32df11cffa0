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
from aqualib.tank.plan.first_weeks import ANIMALS_IN, GO_IF, IF_NOT, THEN, pause_words
from aqualib.units import Q, from_si
from aqualib.water.ammonia import total_ammonia_limits


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


def test_its_start_is_as_safe_as_the_page(plan):
    """The plan's own sentences, found in both; and the line of ammonia by pH and warmth."""
    form = re.sub(r"<[^>]+>", "", as_paper_form())
    said = " ".join(step.words for step in plan.dated_start("1 g", "3 g"))
    for words in (pause_words(), ANIMALS_IN, GO_IF, THEN):
        assert words in form
        assert words in said
    assert IF_NOT[1:] in form
    assert "5 mg/L" in pause_words()
    assert "of the food that it carries" in form
    limit = total_ammonia_limits(8.0, Q(28, "degC"), 0.0).chronic.m_as("mg/L")
    assert limit - 0.01 < float(cells(as_paper_form(), "pH 8")[2]) <= limit


def test_nitrate_is_divided_by_a_percentage():
    """By hand: 15.8 mg/L a week, 10 % changed, are 158; by "÷ 10" they would be 1.6."""
    assert "× 100 ÷ % changed" in as_paper_form()
    assert "share changed" not in as_paper_form()
