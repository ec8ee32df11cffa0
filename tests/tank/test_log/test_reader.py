"""A keeper's file: read with care, every problem named by line and column, nothing lost."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.files import data_file
from aqualib.tank.test_log.cells import is_blank
from aqualib.tank.test_log.reader import parse_test_log, read_test_log
from aqualib.validity import ValidityError

HEAD = "date;ammonia (mg/L as N);nitrite (mg/L as N);nitrate (mg/L as ion);pH;temperature\n"


def said(log):
    return " | ".join(map(str, log.problems))


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
    assert log.problems == ()
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
    assert said(log) == "line 4, date: “rubbish” is no date; write 2026-03-25 or 25/03/2026; " + (
        "the line is not used"
    )


def test_a_bad_cell_costs_only_itself():
    log = parse_test_log(HEAD + "2026-03-02;nd;0,5-1;10;77;70\n")
    assert [r.what for r in log.readings] == ["nitrate"]
    assert [(p.line, p.column) for p in log.problems] == [
        (2, "ammonia (mg/L as N)"),
        (2, "nitrite (mg/L as N)"),
        (2, "pH"),
        (2, "temperature"),
    ]


def test_too_many_cells_hint_at_decimal_commas():
    log = parse_test_log("date,nitrite as N\n2026-03-02,0,5\n2026-03-03,0.5\n")
    assert len(log.readings) == 1
    assert "decimal commas" in said(log)


def test_one_date_with_the_month_first_makes_the_others_doubtful():
    log = parse_test_log("date,pH\n03/04/2026,7\n03/25/2026,7\n2026-03-06,7\n05/05/2026,7\n")
    assert len(log.readings) == 2
    assert "line 2, date: “03/04/2026” may have its month first" in said(log)
    assert "line 3" in said(log)


def test_days_written_twice():
    rows = "2026-03-02;1;;;;\n2026-03-02;2;;;;\n2026-03-02;1;;;;\n"
    log = parse_test_log(HEAD + rows)
    assert [r.value for r in log.of("ammonia")] == [1.0, 2.0]
    assert "line 3, date: 2026-03-02 stands in line 2 too; both lines are used" in said(log)
    assert "line 4: the same as line 2; counted once" in said(log)


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


class TestBasis:
    def test_it_is_never_guessed(self):
        log = parse_test_log("date,ammonia,nitrate,pH\n2026-03-02,1,10,7\n")
        assert [r.what for r in log.readings] == ["ph"]
        assert [p.column for p in log.problems] == ["ammonia", "nitrate"]
        assert "no basis stated" in said(log)

    def test_the_call_may_state_it(self):
        text = "date,ammonia,nitrate\n2026-03-02,1,10\n"
        assert parse_test_log(text, "N").of("nitrate")[0].value == 10.0
        mixed = parse_test_log(text, {"ammonia": "N", "nitrate": "ion"})
        assert mixed.of("nitrate")[0].value == pytest.approx(2.259, rel=1e-3)
        assert parse_test_log(text, {"nitrate": "ion"}).of("ammonia") == ()

    def test_a_remark_on_top_may_state_it(self):
        log = parse_test_log("# basis: as N\ndate,nitrate\n2026-03-02,10\n")
        assert log.of("nitrate")[0].value == 10.0

    def test_a_contradiction_is_refused(self):
        with pytest.raises(ValidityError, match="contradicts"):
            parse_test_log("date,nitrate as ion\n2026-03-02,10\n", "N")

    @pytest.mark.parametrize("basis", ["n", "NO3", {"nitrate": "x"}, {"ph": "N"}])
    def test_other_words_are_refused(self, basis):
        with pytest.raises(ValidityError, match="basis"):
            parse_test_log("date,nitrate\n2026-03-02,10\n", basis)

    def test_two_bases_in_a_heading(self):
        log = parse_test_log("date,nitrate as N as ion,pH\n2026-03-02,10,7\n")
        assert [r.what for r in log.readings] == ["ph"]
        assert "two bases" in said(log)


def test_a_second_column_of_the_same_thing():
    log = parse_test_log("date,nitrite as N,NO2-N\n2026-03-02,1,2\n")
    assert [r.value for r in log.readings] == [1.0]
    assert "second column" in said(log)


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n"])
def test_an_empty_file(text):
    with pytest.raises(ValidityError, match="no readings"):
        parse_test_log(text)


@pytest.mark.parametrize("text", ["a,b\n1,2\n", "2026-03-02,1\n", "date\n2026-03-02\n"])
def test_no_heading(text):
    with pytest.raises(ValidityError, match="heading"):
        parse_test_log(text)


def test_no_dated_line():
    with pytest.raises(ValidityError, match="no readings"):
        parse_test_log(HEAD)


def test_a_start_that_is_no_date():
    with pytest.raises(ValidityError, match="start"):
        parse_test_log(HEAD + "2026-03-02;1;;;;\n", start="soon")


def test_a_file_that_is_not_there(tmp_path):
    (tmp_path / "mine.csv").write_text("x", encoding="utf-8")
    with pytest.raises(FileNotFoundError, match=r"'my.csv'.*mine\.csv"):
        read_test_log(tmp_path / "my.csv")
    with pytest.raises(FileNotFoundError, match="no CSV file"):
        read_test_log(tmp_path / "nowhere" / "my.csv")
    with pytest.raises(FileNotFoundError):
        read_test_log(tmp_path)


@pytest.mark.parametrize("data", [b"PK\x03\x04rest", b"\xd0\xcf\x11\xe0rest", b"a\x00b\x00"])
def test_what_is_no_text(tmp_path, data):
    path = tmp_path / "log.csv"
    path.write_bytes(data)
    with pytest.raises(ValidityError, match="CSV"):
        read_test_log(path)


def test_a_file_that_is_too_large(tmp_path):
    path = tmp_path / "log.csv"
    path.write_bytes(b"x" * 5_000_001)
    with pytest.raises(ValidityError, match="too large"):
        read_test_log(path)


@given(st.lists(st.text(alphabet="0123456789<>.,;-/ 'ab°\t", max_size=25), max_size=8))
def test_any_line_is_used_or_named_or_blank(rows):
    log = parse_test_log(HEAD + "2026-03-02;1;1;1;7;25\n" + "\n".join(rows))
    assert len(log.of("ph")) >= 1
    used = {r.line for r in log.readings} | {p.line for p in log.problems}
    for number, line in enumerate(log.lines[2:], 3):
        _date, *cells = line.split(";")
        assert number in used or all(is_blank(cell) for cell in cells)


def test_the_example_shows_its_slips():
    log = read_test_log(data_file("example_test_log.csv"), start="2026-03-02")
    assert "Invented" in log.lines[0]
    assert [p.line for p in log.problems] == [11, 14, 15]
    assert "56 readings in 23 days" in str(log)
