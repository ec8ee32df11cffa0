"""Measured elsewhere: what counts as a test, what lies inside, and that our bands are fresh."""

from dataclasses import replace
from math import inf, isnan

import pytest
from measured_roads import ROADS, ends_of

from aqualib.measured import Scoreboard, all_measured, scoreboard
from aqualib.parameters import parameters
from aqualib.sources import references
from aqualib.validity import ValidityError

ROWS = {row.id: row for row in all_measured()}
COMPUTED = [row for row in ROWS.values() if not row.left_out]
QUICK = [row.id for row in COMPUTED if row.room == "filtration.biofilm"] + ["ammonium-unseeded"]
ONE = ROWS["contactor"]


def test_every_row_says_where_it_is_from_and_has_one_road_or_a_reason():
    faults = [
        row.id
        for row in ROWS.values()
        if row.source not in references() or not row.locator or not row.what or row.high < row.low
    ]
    assert faults == []
    assert {row.id for row in COMPUTED} == set(ROADS)
    assert [row.id for row in COMPUTED if not row.asked] == []
    assert [row.id for row in ROWS.values() if row.left_out and not isnan(row.ours_low)] == []


def test_what_chose_a_number_names_it_and_is_no_test():
    chose = [row for row in ROWS.values() if row.chose]
    assert len(chose) >= 5
    assert [row.id for row in chose if row.chose not in parameters() or row.counts] == []
    assert {row.source for row in ROWS.values() if row.counts} >= {"MnyoroEtAl2022", "Hall1999"}


@pytest.mark.parametrize(
    ("low", "high", "ours", "inside"),
    [
        (5, 5, (4, 6), True),
        (5, 5, (4, 5), True),
        (5, 5, (5.1, 6), False),
        (5, 5, (3, inf), True),
        (20, 40, (30, 90), True),  # half of what was measured
        (20, 40, (31, 90), False),
        (20, 40, (25, 35), True),  # all of our own, which is narrower
        (20, 40, (41, inf), False),
    ],
)
def test_inside_means_half_of_the_narrower_range(low, high, ours, inside):
    row = replace(ONE, low=low, high=high, ours_low=ours[0], ours_high=ours[1])
    assert row.inside is inside


def test_the_score_counts_tests_only():
    out = replace(ONE, id="a", low=9.0, high=9.0)
    chose = replace(ONE, id="b", chose="nitrifying_share")
    left = replace(ONE, id="c", left_out="the load is not told", ours_low=float("nan"))
    board = Scoreboard((left, chose, out, ONE))
    assert board.score == "1 of 2 measured values that chose no number lie inside"
    assert [cells[3] for cells in board.cells()] == [
        "out", "in", "in; chose nitrifying_share: no test", "the load is not told",
    ]  # fmt: skip
    assert board.score in board._repr_html_()


def test_an_unknown_room_is_refused():
    with pytest.raises(ValidityError, match=r"tank\.maturation"):
        scoreboard("tank.pond")


def agrees(row):
    """Whether the road gives what the table holds, to its four digits."""
    now = ends_of(ROADS[row.id]())
    return now == pytest.approx([row.ours_low, row.ours_middle, row.ours_high], rel=2e-3)


@pytest.mark.parametrize("row_id", QUICK)
def test_our_bands_are_fresh(row_id):
    assert agrees(ROWS[row_id]), "run: python tests/benchmarks/scoreboard.py --write"


@pytest.mark.sweep
def test_all_our_bands_are_fresh():
    assert [row.id for row in COMPUTED if not agrees(row)] == []
