"""A keeper's file: read with care, every problem named by line and column, nothing lost."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.files import data_file
from aqualib.tank.test_log.cells import is_blank
from aqualib.tank.test_log.headings import LONGEST_LINE
from aqualib.tank.test_log.log import MOST_REMARKS
from aqualib.tank.test_log.reader import (
    LONGEST_GAP,
    MOST_LINES,
    parse_test_log,
    read_test_log,
)
from aqualib.validity import ValidityError

HEAD = "date;ammonia (mg/L as N);nitrite (mg/L as N);nitrate (mg/L as ion);pH;temperature\n"


def said(log):
    return " | ".join(map(str, log.remarks))


def read_bytes(tmp_path, data, **options):
    path = tmp_path / "log.csv"
    path.write_bytes(data)
    log = read_test_log(path, **options)
    assert path.read_bytes() == data, "the file is only read"
    return log


def test_a_plain_log():
    log = parse_test_log(HEAD + "2026-03-02;1,5;<0,05;10;7,6;24,5\n04.03.2026;2;0,1;;;\n")
    assert log.start == date(2026, 3, 2)
    assert [(r.day, r.value, r.sign) for r in log.of("nitrite")] == [(0, 0.05, "<"), (2, 0.1, "=")]
    assert log.of("nitrate")[0].value == pytest.approx(2.25905, rel=1e-4)
    assert log.remarks == ()
    assert (log.middle("ph"), log.middle("temperature"), log.last_day) == (7.6, 24.5, 2)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_separators(separator):
    cells = [["date", "nitrite as N", "pH"], ["2026-03-02", "0.5", "7.5"]]
    log = parse_test_log("\n".join(separator.join(row) for row in cells))
    assert [r.value for r in log.readings] == [0.5, 7.5]


def test_quotes_and_a_quote_left_open():
    text = 'date,nitrite as N,notes\n2026-03-02,"0,5","a, b"\n2026-03-03,"1,"c\n2026-03-04,2,\n'
    log = parse_test_log(text)
    assert [r.value for r in log.of("nitrite")][-1] == 2.0
    assert log.of("nitrite")[0].value == 0.5
    assert "line 3" in said(log)


@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16", "latin-1", "cp1252"])
def test_encodings(tmp_path, code):
    log = read_bytes(
        tmp_path, (HEAD.replace("ture", "ture (°C)") + "2026-03-02;1;;;;25\n").encode(code)
    )
    assert log.middle("temperature") == 25.0
    assert ("UTF-8" in said(log)) == (code in {"latin-1", "cp1252"})


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_line_ends(tmp_path, ends):
    log = read_bytes(tmp_path, (HEAD + "2026-03-02;1;1;1;7;25\n").replace("\n", ends).encode())
    assert len(log.readings) == 5


def test_every_line_is_kept_as_it_was():
    text = HEAD + "2026-03-02;1;1;1;7;25\n\nrubbish\n;;;\n# a remark\n"
    log = parse_test_log(text)
    assert "\n".join(log.lines) + "\n" == text
    assert said(log) == (
        "line 4, date: “rubbish” is no date; write 2026-03-25 or 25/03/2026; the line is not used"
    )


def test_a_bad_cell_costs_only_itself():
    log = parse_test_log(HEAD + "2026-03-02;nd;0,5-1;10;77;70\n")
    assert [r.what for r in log.readings] == ["nitrate"]
    assert [(p.line, p.column) for p in log.remarks] == [
        (2, "ammonia (mg/L as N)"),
        (2, "nitrite (mg/L as N)"),
        (2, "pH"),
        (2, "temperature"),
    ]


def test_too_many_cells_hint_at_decimal_commas():
    log = parse_test_log("date,nitrite as N\n2026-03-02,0,5\n2026-03-03,0.5\n")
    assert len(log.readings) == 1
    assert "decimal commas" in said(log)


def test_one_date_with_its_month_first_settles_it_and_is_told():
    log = parse_test_log("date,pH\n03/04/2026,7\n03/25/2026,7\n2026-03-06,7\n05/05/2026,7\n")
    assert [r.day for r in log.readings] == [0, 2, 21, 62]
    assert log.questions == ()
    assert said(log) == "line 3, date: “03/25/2026” has its month first, so all dates are read so"


def test_dates_that_can_be_read_in_two_ways_are_asked_about_and_not_used():
    text = "date,pH\n03/04/2026,7\n03/08/2026,7\n03/11/2026,7\n05/05/2026,7\n"
    log = parse_test_log(text)
    assert [r.line for r in log.readings] == [5]
    (question,) = log.questions
    assert "3 April 2026 to 3 November 2026 (214 days) with the day first" in question
    assert "4 March 2026 to 11 March 2026 (7 days) with the month first" in question
    for order, last in (("day first", 214), ("month first", 62)):
        assert f'dates="{order}"' in question
        answered = parse_test_log(text, dates=order)
        assert (answered.questions, answered.remarks, answered.last_day) == ((), (), last)


def test_everything_is_asked_at_once():
    log = parse_test_log("Date,Ammonia (ppm),NO2,NO3\n03/04/2026,0.5,1,10\n")
    assert log.readings == ()
    assert len(log.questions) == 2
    answered = parse_test_log("\n".join(log.lines), "ion", dates="day first")
    assert (len(answered.readings), answered.questions) == (3, ())


def test_lines_that_contradict_each_other_are_asked_about():
    text = "date,pH\n25/03/2026,7\n03/26/2026,7\n04/03/2026,7\n"
    log = parse_test_log(text)
    assert [r.line for r in log.readings] == [2, 3]
    assert "4 March 2026 with the day first" in log.questions[0]
    told = parse_test_log(text, dates="day first")
    assert [r.line for r in told.readings] == [4, 2]
    assert "line 3, date: “03/26/2026” is no date day first; the line is not used" in said(told)


def test_a_start_in_words_is_read_as_the_dates_are():
    text = "date,pH\n03/15/2026,7\n"
    assert parse_test_log(text, start="03/04/2026").start == date(2026, 3, 4)
    iso = "date,pH\n2026-05-15,7\n"
    (question,) = parse_test_log(iso, start="03/04/2026").questions
    assert "3 April 2026 with the day first, or 4 March 2026 with the month first" in question
    assert parse_test_log(iso, start="03/04/2026", dates="month first").last_day == 72


@pytest.mark.parametrize("dates", ["day", "DMY", 1, ["day first"], True, float("nan")])
def test_other_orders_of_dates_are_refused(dates):
    with pytest.raises(ValidityError, match=r"dates = .* is no order"):
        parse_test_log(HEAD + "2026-03-02;1;;;;\n", dates=dates)


def test_days_written_twice():
    rows = "2026-03-02;1;;;;\n2026-03-02;2;;;;\n2026-03-02;1;;;;\n"
    log = parse_test_log(HEAD + rows)
    assert [r.value for r in log.of("ammonia")] == [1.0, 2.0]
    assert "line 3, date: 2026-03-02 stands in line 2 too; both lines are used" in said(log)
    assert "line 4: the same as line 2; counted once" in said(log)


def test_many_days_with_several_lines_are_told_once():
    rows = [f"{date(2026, 3, 1) + timedelta(n // 3)};{n}" for n in range(300)]
    log = parse_test_log("date;ammonia as N\n" + "\n".join(rows))
    assert len(log.readings) == 300
    assert said(log) == (
        "line 2, date: 2026-03-01 and 99 days more stand in several lines; all are used"
    )


def test_a_log_of_years_is_read_whole():
    days = [date(2020, 1, 1) + timedelta(n // 4) for n in range(4 * 365 * 5)]
    rows = "".join(f"{day} {n % 4 * 6:02}:00;0,{n % 10};7,5\n" for n, day in enumerate(days))
    log = parse_test_log("date;nitrite as N;pH\n" + rows)
    assert len(log.of("nitrite")) == len(log.of("ph")) == len(days)
    assert (log.start, log.last_day) == (days[0], (days[-1] - days[0]).days)


def test_a_gap_longer_than_any_between_tests_parts_the_log():
    near, far = date(2026, 3, 1), date(2026, 3, 1) + timedelta(LONGEST_GAP)
    assert parse_test_log(f"date;pH\n{near};7\n{far};8\n").last_day == LONGEST_GAP
    log = parse_test_log(f"date;pH\n{near};7\n{far + timedelta(1)};8\n")
    assert [r.value for r in log.readings] == [7.0]
    assert "line 3, date" in said(log)
    three = f"date;pH\n{near};7\n{far + timedelta(1)};8\n{far + timedelta(2)};9\n"
    assert [r.value for r in parse_test_log(three).readings] == [8.0, 9.0]
    assert len(parse_test_log(three, start=near).readings) == 3


def test_dates_far_away_or_before_the_start():
    rows = "2062-03-02;1;;;;\n2026-03-01;1;;;;\n2026-03-04;1;;;;\n"
    log = parse_test_log(HEAD + rows, start="2026-03-02")
    assert [r.day for r in log.readings] == [2.0]
    assert "line 2" in said(log)
    assert "before the start" in said(log)
    assert parse_test_log(HEAD + "1926-03-02;1;;;;\n" + rows).start == date(2026, 3, 1)


def test_lines_out_of_order_are_put_in_order():
    log = parse_test_log(HEAD + "2026-03-06;1;;;;\n2026-03-02;2;;;;\n")
    assert [(r.day, r.value) for r in log.readings] == [(0.0, 2.0), (4.0, 1.0)]


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n"])
def test_an_empty_file(text):
    with pytest.raises(ValidityError, match="no readings"):
        parse_test_log(text)


def test_no_dated_line():
    with pytest.raises(ValidityError, match="no readings"):
        parse_test_log(HEAD)


def test_no_dated_line_says_what_was_there_instead():
    with pytest.raises(ValidityError, match="line 2, date: “yesterday” is no date"):
        parse_test_log(HEAD + "yesterday;1;;;;\n")
    log = parse_test_log(HEAD + "yesterday;1;;;;\n", start="2026-03-01")
    assert (log.readings, log.start) == ((), date(2026, 3, 1))
    assert "yesterday" in said(log)


@pytest.mark.parametrize(
    "start",
    [
        date(2026, 3, 1),
        "2026-03-01",
        " 01.03.2026 ",
        "2026-03-01 18:30",
        datetime(2026, 3, 1, 23, 59),
        datetime(2026, 3, 1, tzinfo=UTC),
        pd.Timestamp("2026-03-01 12:00"),
        pd.Timestamp("2026-03-01", tz="UTC"),
        np.datetime64("2026-03-01"),
        np.datetime64("2026-03-01T12:30"),
    ],
)
def test_a_start_is_a_day_or_a_moment_of_it(start):
    log = parse_test_log(HEAD + "2026-03-02;1;;;;\n", start=start)
    assert log.start == date(2026, 3, 1)
    assert type(log.start) is date
    assert [r.day for r in log.readings] == [1.0]


@pytest.mark.parametrize(
    "start",
    ["soon", "", "x" * 5000, 5, 5.0, True, [2026, 3, 1], b"2026-03-01", pd.NaT, float("nan"),
     np.datetime64("NaT"), np.datetime64(10**9, "Y"), timedelta(3), object()],
)  # fmt: skip
def test_a_start_that_is_no_date(start):
    with pytest.raises(ValidityError) as refused:
        parse_test_log(HEAD + "2026-03-02;1;;;;\n", start=start)
    assert refused.value.parameter == "start"
    assert len(str(refused.value)) < 300


def test_too_many_lines_are_refused_and_as_many_as_may_be_are_read():
    head = "date;pH\n"
    log = parse_test_log(head + "2026-03-02;7\n" * (MOST_LINES - 1))
    assert len(log.lines) == MOST_LINES
    with pytest.raises(ValidityError, match="too long for a test log"):
        parse_test_log(head + "2026-03-02;7\n" * MOST_LINES)


def test_a_line_that_is_too_long_costs_only_itself():
    long = "2026-03-03;8;" + "x" * LONGEST_LINE
    log = parse_test_log(f"date;pH;notes\n2026-03-02;7;\n{long}\n2026-03-04;7;\n")
    assert [r.line for r in log.readings] == [2, 4]
    assert "line 3: “2026-03-03;8;xxx" in said(log)
    assert f"longer than {LONGEST_LINE} letters" in said(log)
    with pytest.raises(ValidityError, match=r"line 1 = “date;pH;xxx.*heading"):
        parse_test_log("date;pH;" + "x" * LONGEST_LINE + "\n2026-03-02;7\n")


def test_of_very_many_remarks_the_first_are_kept_and_the_rest_counted():
    rows = "2026-03-02;7\n" + "soon;7\n" * (MOST_REMARKS + 5)
    log = parse_test_log("date;pH\n" + rows)
    assert len(log.remarks) == MOST_REMARKS + 1
    assert str(log.remarks[-1]).startswith(f"line {MOST_REMARKS + 7}: and 5 more up to here")


@pytest.mark.parametrize(
    "sign", ["\x1b[2J", "\x00", "\x07", "\u202e", "\x9b31m", "\ud800", "\x7f"],
    ids=ascii,
)  # fmt: skip
def test_no_sign_of_a_cell_speaks_to_the_terminal(sign):
    rows = f"2026-03-02;7{sign};{sign}\n{sign}2026-03-03;7;\n2026-03-04;7;\n2026-03-05;7;;{sign}\n"
    log = parse_test_log(
        f"# {sign}basis\ndate;pH{sign};notes{sign};nitrate{sign}\n" + rows, name=f"{sign}log\n"
    )
    shown = "".join((str(log), *log.lines, *(c.heading for c in log.columns), log.name))
    assert all(letter.isprintable() or letter == "\n" for letter in shown)
    assert shown.encode("utf-8")
    assert "line 1: control signs are shown as \ufffd" in said(log)
    assert [r.line for r in log.readings] == [5, 6]
    with pytest.raises(ValidityError) as refused:
        parse_test_log(f"{sign}, {sign}\n")
    assert str(refused.value).isprintable()


def test_a_break_within_a_cell_is_no_end_of_a_line():
    log = parse_test_log("date;notes;pH\n2026-03-02;one\x0btwo\u2028three;7\n2026-03-03;;x\n")
    assert len(log.readings) == 1
    assert "line 3, pH" in said(log), "as a text editor counts lines"


@given(st.lists(st.text(alphabet="0123456789<>.,;-/ 'ab°\t", max_size=25), max_size=8))
def test_any_line_is_used_or_named_or_blank(rows):
    log = parse_test_log(HEAD + "2026-03-02;1;1;1;7;25\n" + "\n".join(rows))
    assert len(log.of("ph")) >= 1
    used = {r.line for r in log.readings} | {p.line for p in log.remarks}
    for number, line in enumerate(log.lines[2:], 3):
        _date, *cells = line.split(";")
        assert number in used or all(is_blank(cell) for cell in cells)


def test_the_example_shows_its_slips():
    log = read_test_log(data_file("example_test_log.csv"), start="2026-03-02")
    assert "Invented" in log.lines[0]
    assert [p.line for p in log.remarks] == [15, 18, 19]
    assert "56 readings in 23 days" in str(log)
