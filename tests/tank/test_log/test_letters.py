"""A keeper's file is opened whatever it is called, and refused in words where it cannot be."""

import io
import os
import socket
from pathlib import Path

import pytest

from aqualib.tank.test_log.letters import LARGEST_FILE, in_quotes, letters_of, letters_of_file
from aqualib.tank.test_log.reader import parse_test_log, read_test_log
from aqualib.validity import ValidityError

TEXT = "date;pH;notes\n2026-03-02;7;Wäßer – 25 °C\n"


@pytest.fixture
def log_file(tmp_path):
    path = tmp_path / "log.csv"
    path.write_text(TEXT, encoding="utf-8")
    return path


@pytest.mark.parametrize("kind", [str, Path, os.fsencode])
def test_a_path_of_any_kind(log_file, kind):
    assert letters_of_file(kind(log_file)) == ("log.csv", TEXT, "")
    assert log_file.read_text(encoding="utf-8") == TEXT, "the file is only read"


def test_a_path_from_home(log_file, monkeypatch):
    monkeypatch.setenv("HOME", str(log_file.parent))
    monkeypatch.setenv("USERPROFILE", str(log_file.parent))
    assert letters_of_file("~/log.csv").text == TEXT


def test_a_file_that_is_open_already(log_file):
    with log_file.open(encoding="utf-8") as stream:
        assert letters_of_file(stream) == ("log.csv", TEXT, "")
    with log_file.open("rb") as stream:
        assert read_test_log(stream).name == "log.csv"
    with log_file.open(encoding="utf-8") as stream:
        assert len(parse_test_log(stream).readings) == 1
    assert letters_of(io.StringIO(TEXT)) == ("log", TEXT, "")
    assert letters_of_file(io.BytesIO(TEXT.encode("utf-16"))).text == TEXT
    assert letters_of(TEXT.encode()).text == TEXT


def test_letters_of_windows():
    letters = letters_of("2026;–;25 °C".encode("cp1252"))
    assert letters.text == "2026;–;25 °C"
    assert "not in UTF-8" in letters.remark


def test_letters_that_are_none_are_told():
    assert letters_of(b"a\x81b").text == "a\ufffdb"
    assert "control signs" in letters_of(b"a\x81b").remark
    assert "could not be read" in letters_of(b"\xff\xfea\x00\x00\xd8b\x00").remark


@pytest.mark.parametrize("data", [b"PK\x03\x04rest", b"\xd0\xcf\x11\xe0rest", b"a\x00b\x00"])
def test_what_is_no_text(tmp_path, data):
    path = tmp_path / "log.csv"
    path.write_bytes(data)
    with pytest.raises(ValidityError, match="CSV"):
        letters_of_file(path)


def test_what_is_too_large(tmp_path):
    path = tmp_path / "log.csv"
    path.write_bytes(b"x" * (LARGEST_FILE + 1))
    for given in (path, str(path)):
        with pytest.raises(ValidityError, match="too large"):
            letters_of_file(given)
    with path.open() as stream, pytest.raises(ValidityError, match="too large"):
        letters_of_file(stream)
    with pytest.raises(ValidityError, match="too large"):
        letters_of("x" * (LARGEST_FILE + 1))


@pytest.mark.parametrize(
    "path",
    [None, 5, 5.0, True, ["log.csv"], object(), "~nobody-of-this-name/log.csv", "a\0b.csv",
     "x" * 300 + ".csv", "\ud800.csv", b"\0", {"a": 1}],
    ids=lambda path: ascii(path)[:20],
)  # fmt: skip
def test_what_is_no_path_is_refused_in_words(path):
    with pytest.raises(ValidityError, match="path = ") as refused:
        letters_of_file(path)
    assert str(refused.value).isprintable()
    assert len(str(refused.value)) < 250


@pytest.mark.parametrize("text", [None, 5, ["date;pH"], Path("log.csv"), object()])
def test_what_is_no_text_is_refused_in_words(text):
    with pytest.raises(ValidityError, match=r"text = .* is no text"):
        letters_of(text)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system knows no pipes")
def test_what_is_no_file_is_called_what_it_is(tmp_path, monkeypatch):
    # A socket's path must be short.
    monkeypatch.chdir(tmp_path)
    (tmp_path / "folder.csv").mkdir()
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "link.csv").symlink_to("folder.csv")
    (tmp_path / "round.csv").symlink_to("round.csv")
    with socket.socket(socket.AF_UNIX) as server:
        server.bind("socket.csv")
    names = ("folder", "link", "pipe", "socket", "round")
    words = ("is a folder", "is a folder", "is a pipe", "is a socket", "cannot be opened: Too many")
    for name, word in zip(names, words, strict=True):
        with pytest.raises(ValidityError, match=f"path = '{name}.csv' {word}"):
            letters_of_file(tmp_path / f"{name}.csv")
    with pytest.raises(ValidityError, match="is a device"):
        letters_of_file("/dev/zero")


def test_a_file_that_is_not_there(tmp_path):
    (tmp_path / "mine\x1b[2J.csv").write_text("x", encoding="utf-8")
    with pytest.raises(FileNotFoundError, match=r"'my\.csv'.*mine\ufffd\[2J\.csv"):
        letters_of_file(tmp_path / "my.csv")
    for path in (tmp_path / "nowhere" / "my.csv", tmp_path / "mine\x1b[2J.csv" / "my.csv"):
        with pytest.raises(FileNotFoundError, match="no CSV file"):
            letters_of_file(path)
    (tmp_path / "dangling.csv").symlink_to("gone.csv")
    with pytest.raises(FileNotFoundError, match="no file 'dangling"):
        letters_of_file(tmp_path / "dangling.csv")


def test_a_file_that_may_not_be_read(log_file, monkeypatch):
    def refuses(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuses)
    with pytest.raises(ValidityError, match=r"'log\.csv' cannot be opened: Permission denied"):
        letters_of_file(log_file)


def test_an_open_file_that_cannot_be_read_says_why(tmp_path, log_file):
    stream = log_file.open(encoding="utf-8")
    stream.close()
    with pytest.raises(ValidityError, match="says: I/O operation on closed file"):
        letters_of_file(stream)
    with (tmp_path / "new.csv").open("w") as new, pytest.raises(ValidityError, match="readable"):
        letters_of_file(new)
    with log_file.open(encoding="ascii") as wrong, pytest.raises(ValidityError, match="path"):
        letters_of_file(wrong)


def test_a_cell_is_shown_short_and_plain():
    assert in_quotes("  7\x1b[31m ") == "“7\ufffd[31m”"
    assert in_quotes("x" * 50) == f"“{'x' * 40}…”"
