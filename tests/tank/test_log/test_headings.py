"""What the columns of a log hold and in which basis: stated, never guessed, and told if unclear."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.test_log.reader import parse_test_log
from aqualib.validity import ValidityError


def said(log):
    return " | ".join(map(str, log.remarks))


def test_it_is_never_guessed():
    log = parse_test_log("date,ammonia,nitrate,pH\n2026-03-02,1,10,7\n")
    assert [r.what for r in log.readings] == ["ph"]
    (question,) = log.questions
    assert "“ammonia”, “nitrate” as nitrogen, or as the whole ion?" in question
    assert question in str(log)


def test_the_call_may_state_it():
    text = "date,ammonia,nitrate\n2026-03-02,1,10\n"
    assert parse_test_log(text, "N").of("nitrate")[0].value == 10.0
    mixed = parse_test_log(text, {"ammonia": "N", "nitrate": "ion"})
    assert mixed.of("nitrate")[0].value == pytest.approx(2.259, rel=1e-3)
    only = parse_test_log(text, {"nitrate": "ion"})
    assert only.of("ammonia") == ()
    assert "under “ammonia” as nitrogen" in only.questions[0]
    assert parse_test_log(text, "as N").readings == parse_test_log(text, "N").readings


def test_a_remark_on_top_may_state_it():
    log = parse_test_log("# basis: as N\ndate,nitrate\n2026-03-02,10\n")
    assert log.of("nitrate")[0].value == 10.0


@pytest.mark.parametrize(
    "comment",
    [
        "# basis: as N as ion",
        "# basis: as N, as ion",
        "# basis: nitrate as N, nitrate as NO3",
        "# basis: whatever the test says",
        "# basis " + "x" * 2000,
    ],
)
def test_a_remark_that_cannot_be_read_costs_nothing_else(comment):
    log = parse_test_log(f"{comment}\ndate;ammonia as N;nitrate;pH\n2026-03-02;1;10;7\n")
    assert [r.what for r in log.readings] == ["ammonia", "ph"]
    assert said(log).startswith("line 1: the comment")
    assert "“nitrate”" in log.questions[0]


WORDS = st.sampled_from(["basis", ":", "as N", "as ion", "as NO3", "NH3", ",", ";", '"', "nitrate"])


@given(st.lists(WORDS | st.text(max_size=8), max_size=12).map(" ".join), st.integers(0, 2))
def test_no_remark_ever_costs_a_reading(words, place):
    lines = ["date;ammonia as N;nitrate as NO3;pH", "2026-03-02;1;10;7", "2026-03-03;1;10;7"]
    alone = parse_test_log("\n".join(lines))
    lines.insert(place, "# " + "".join(sign for sign in words if sign not in "\r\n"))
    remarked = parse_test_log("\n".join(lines))
    assert [r.value for r in remarked.readings] == [r.value for r in alone.readings]


def test_a_remark_may_speak_of_each_kind():
    text = "date,ammonia,nitrite,nitrate\n2026-03-02,1,1,10\n"
    log = parse_test_log("# basis: as N, nitrate as NO3\n" + text)
    assert [c.basis for c in log.columns[1:]] == ["N", "N", "ion"]
    assert log.of("nitrate")[0].value == pytest.approx(2.259, rel=1e-3)
    assert log.remarks == ()
    only = parse_test_log("# basis: nitrate as NO3\n" + text)
    assert [r.what for r in only.readings] == ["nitrate"]


def test_a_remark_between_quotation_marks_is_a_remark():
    text = '"# basis: as N, tested at noon",,\ndate,nitrite,pH\n2026-03-02,1,7\n'
    log = parse_test_log(text + '"# moved, on this day",,\n')
    assert [r.what for r in log.readings] == ["nitrite", "ph"]
    assert log.remarks == ()


def test_remarks_that_contradict_each_other_or_a_heading_are_told():
    twice = "# basis: as N\n# basis: as ion\ndate,nitrite\n2026-03-02,1\n"
    assert parse_test_log(twice).of("nitrite")[0].value == 1.0
    assert "line 2: the comment contradicts an earlier one" in said(parse_test_log(twice))
    heading = "# basis: as ion\ndate,nitrite as N\n2026-03-02,1\n"
    assert parse_test_log(heading).of("nitrite")[0].value == 1.0
    assert 'read as "N", though a comment says "ion"' in said(parse_test_log(heading))
    late = "date,nitrite as N\n2026-03-02,1\n# basis: as ion\n"
    assert "line 3: a basis is read above the heading only" in said(parse_test_log(late))


def test_ammonia_may_be_written_as_nh3():
    for text, basis in (
        ("date;ammonia as NH3;pH\n2026-03-02;1;7\n", ""),
        ("# basis: as NH3\ndate;ammonia;pH\n2026-03-02;1;7\n", ""),
        ("date;ammonia;pH\n2026-03-02;1;7\n", {"ammonia": "NH3"}),
    ):
        log = parse_test_log(text, basis)
        assert log.of("ammonia")[0].value == pytest.approx(0.8224, abs=5e-5)
        assert log.remarks == ()


def test_nitrate_cannot_be_written_as_nh3():
    for text, basis in (
        ("# basis: as NH3\ndate;nitrate;pH\n2026-03-02;10;7\n", ""),
        ("date;nitrate;pH\n2026-03-02;10;7\n", "NH3"),
    ):
        log = parse_test_log(text, basis)
        assert [r.what for r in log.readings] == ["ph"]
        assert "under “nitrate” as nitrogen" in log.questions[0]


def test_a_basis_for_all_is_for_those_columns_that_do_not_say():
    log = parse_test_log("date,nitrate as ion,nitrite\n2026-03-02,10,1\n", "N")
    assert [column.basis for column in log.columns[1:]] == ["ion", "N"]
    assert said(log) == 'line 1, nitrate as ion: read as "ion", though the call says "N"'


def test_a_contradiction_about_one_column_is_refused():
    with pytest.raises(ValidityError, match="contradicts"):
        parse_test_log("date,nitrate as ion\n2026-03-02,10\n", {"nitrate": "N"})


def test_a_title_above_the_headings_is_told_and_left_out():
    log = parse_test_log("My tank, 2026\nby the window\n\ndate,nitrate as N\n2026-03-02,10\n")
    assert len(log.readings) == 1
    assert said(log).count("stands above the headings; the line is not used") == 2
    with pytest.raises(ValidityError, match="line 1 = “My tank” has no heading"):
        parse_test_log("My tank\n" + "more\n" * 10 + "date,nitrate as N\n2026-03-02,10\n")


def test_none_is_no_basis():
    assert parse_test_log("date,nitrate as N\n2026-03-02,10\n", None).readings


@pytest.mark.parametrize(
    "basis",
    [
        "n",
        "NO3",
        {"nitrate": "x"},
        {"ph": "N"},
        {"nitrate": "NH3"},
        {"nitrate": None},
        {1: "N"},
        ["N"],
        5,
        b"N",
        np.array(["N", "N", "N"]),
        {"nitrate": np.array(["N", "ion"])},
    ],
)
def test_other_words_are_refused(basis):
    with pytest.raises(ValidityError, match="basis"):
        parse_test_log("date,nitrate\n2026-03-02,10\n", basis)


def test_two_bases_in_a_heading():
    log = parse_test_log("date,nitrate as N as ion,pH\n2026-03-02,10,7\n")
    assert [r.what for r in log.readings] == ["ph"]
    assert "two bases" in said(log)


def test_a_second_column_of_the_same_thing():
    log = parse_test_log("date,nitrite as N,NO2-N\n2026-03-02,1,2\n")
    assert [r.value for r in log.readings] == [1.0]
    assert "second column" in said(log)


@pytest.mark.parametrize("text", ["a,b\n1,2\n", "2026-03-02,1\n", "date\n2026-03-02\n"])
def test_no_heading(text):
    with pytest.raises(ValidityError, match="heading"):
        parse_test_log(text)
