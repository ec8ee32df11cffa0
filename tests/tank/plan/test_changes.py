"""Changes are ranked by running the system again, and say so where nothing is gained."""

from itertools import pairwise

import pytest
from plan_systems import as_it_was_bought, college, nano, tried

from aqualib.lesson.handout.ranked import worth
from aqualib.tank.plan import example_system, filled, gains, outcome
from aqualib.units import Q


@pytest.mark.parametrize("system", [example_system(), nano(), college(), as_it_was_bought()],
                         ids=lambda system: system.name)  # fmt: skip
def test_what_buys_most_stands_first_and_each_was_run(system):
    before, changes = tried(system)
    bought = [gains(before, change.after) for change in changes.values()]
    assert before.verdict != "comfortable" or system.name.startswith("Teaching")
    for first, second in pairwise(bought):
        assert first.steps >= second.steps
        if first.steps == second.steps and before.verdict != "comfortable":
            assert first.margin >= second.margin - 1e-9
    for change in changes.values():
        assert change.after == outcome(change.whole)


def test_where_there_is_enough_a_hair_more_of_it_is_not_first():
    """A filter that carries four times its food: what lasts longer or holds nitrate is first."""
    light = example_system().changed("stock", food=Q(0.7, "g/day"), solids=Q(0.2, "g/day"))
    before, changes = tried(light)
    assert before.verdict == "comfortable"
    bought = [gains(before, change.after) for change in changes.values()]
    assert all(first.days >= second.days for first, second in pairwise(bought))


def test_a_better_verdict_goes_before_more_food():
    """Food just above what is carried at best: a quarter less of it makes too much tight."""
    best = outcome(filled(example_system())[0]).carried.feed.high
    food = Q(1.1 * best, "kg/s").to("g/day")
    before, changes = tried(example_system().changed("stock", food=food, fish=None, solids=None))
    assert (before.verdict, next(iter(changes))) == ("too much", "feed a quarter less")
    less = changes["feed a quarter less"].after
    assert gains(before, less).steps == 1
    assert worth(before, less).startswith("too much → tight")
