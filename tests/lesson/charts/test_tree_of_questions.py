"""The drawn tree: one leaf is chosen, the path ends at it, and the numbers are the diagnosis's."""

import math

import pytest
from leaves_of_symptoms import CASES, found

from aqualib.lesson.charts.tree_of_questions import LEAF, TOP, Reached, TreeOfQuestions


@pytest.mark.parametrize("code", ["nitrite-low", "nitrite-cold", "nitrite-young", "leak-joint"])
def test_the_path_ends_at_the_leaf_that_was_reached(draw, code):
    result = Reached(found(CASES[code]))
    chart = draw(TreeOfQuestions(), result)
    leaves = result.diagnosis.symptom.leaves
    seen = [name for name in chart.chosen if name.get_visible()]
    assert [name.get_text() for name in seen] == [result.diagnosis.leaf.name]
    assert sum(name.get_visible() for name in chart.others) == len(leaves) - 1
    x, y = chart.path.get_data()
    assert (y[0], y[-1]) == (TOP, chart.middles[result.place])
    assert chart.tip.get_xy()[:, 0].max() == pytest.approx(LEAF[0])
    # The path leaves a gap for the question; at the last leaf there is none.
    assert any(math.isnan(one) for one in x) == (result.place < len(leaves) - 1)
    assert seen[0].get_position()[1] == chart.middles[result.place]


def test_questions_bear_their_numbers_and_the_asked_ones_their_answer(draw):
    result = Reached(found(CASES["nitrite-cold"]))
    chart = draw(TreeOfQuestions(), result)
    assert [words.get_text() for words in chart.told] == result.numbers
    assert [words.get_text() for words in chart.said] == [
        "no",
        "no",
        "no",
        "no",
        "yes",
        "",
        "",
        "",
        "",
    ]
    assert [words.get_visible() for words in chart.asked] == [True] * 5 + [False] * 4
    assert [words.get_visible() for words in chart.idle] == [False] * 5 + [True] * 4


@pytest.mark.parametrize("code", ["ph-spent", "leak-unseen", "eggs-stood", "air-left"])
def test_what_to_mind_is_read_before_what_to_do_and_then_what_else_it_could_be(draw, code):
    diagnosis = found(CASES[code])
    chart = draw(TreeOfQuestions(), Reached(diagnosis))
    said = diagnosis.words
    wanted = [diagnosis.minds, said["tonight"], said["week"], said["call"], said["otherwise"]]
    for words, part in zip(chart.to_do, wanted, strict=True):
        assert words.get_text().replace("\n", " ").endswith(part)
    assert [words.get_text().split(":")[0] for words in chart.to_do] == [
        "Mind", "Tonight", "This week", "Call", "It could also be",
    ]  # fmt: skip
    heights = [words.get_position()[1] for words in chart.to_do]
    assert heights == sorted(heights, reverse=True)
    for caution in diagnosis.leaf.cautions:
        assert caution.first in chart.to_do[0].get_text().replace("\n", " ")


def test_another_symptom_draws_another_tree(draw):
    first, second = (Reached(found(CASES[code])) for code in ("leak-none", "ph-own"))
    chart = draw(TreeOfQuestions(), first, second)
    assert len(chart.told) == len(second.diagnosis.worked.steps)
