"""What a change is worth, in words: each gain and each loss, or nothing."""

import math

import pytest

from aqualib.draws import Span
from aqualib.lesson.handout.ranked import headings, ranked, worth
from aqualib.units import set_units


@pytest.fixture
def after(plan):
    """A function that gives what the example comes to with some numbers changed."""

    def changed(food=1.0, due=1.0, nitrate=1.0, flow=1.0):
        now = plan.now
        feed = Span(*(food * end for end in now.carried.feed))
        return now._replace(
            carried=now.carried._replace(feed=feed),
            due=due * now.due,
            nitrate_peak=nitrate * now.nitrate_peak,
            flow_due=flow * now.flow_due,
        )

    return changed


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({}, "nothing gained"),
        ({"food": 1.004}, "nothing gained"),
        ({"food": 2}, "100 % more food"),
        ({"nitrate": 0.5}, "50 % less nitrate"),
        ({"nitrate": 2}, "nothing gained; 100 % more nitrate"),
        ({"flow": 1.1}, "nothing gained but flow"),
        ({"food": 1.5, "due": 0.5}, "50 % more food; 50 % fewer days between cleanings"),
        ({"due": math.inf}, "more days between cleanings"),
    ],
)
def test_worth(plan, after, change, words):
    assert worth(plan.now, after(**change)) == words


def test_before_and_after_in_the_readers_units_and_in_metric(plan):
    hose = next(one for one in ranked(plan) if "hose" in one.words)
    assert hose.moves[2] == "736 → 793"
    set_units("us")
    hose = next(one for one in ranked(plan) if "hose" in one.words)
    assert hose.moves[2] == "194 → 209 (736 → 793)"
    assert headings()[3] == "Flow when due, US gal/h (L/h)"
