"""A new file is written whole, and one that is there is never touched."""

from pathlib import Path

import pytest

from aqualib.lesson.handout.saving import save
from aqualib.validity import ValidityError


@pytest.mark.parametrize("kind", [str, Path])
def test_text_is_kept_to_the_octet(tmp_path, kind):
    text = "BEGIN:VCALENDAR\r\nSUMMARY:Wäßer 🐟\r\n"
    path = save(text, kind(tmp_path / "care.ics"))
    assert path.read_bytes() == text.encode()
    assert [file.name for file in tmp_path.iterdir()] == ["care.ics"]


def test_a_file_that_is_there_is_never_touched(tmp_path):
    path = tmp_path / "care.ics"
    path.write_text("mine")
    with pytest.raises(ValidityError, match="is there already"):
        save("new", path)
    assert path.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [path]


def test_neither_a_folder_nor_a_dead_link_is_written_over(tmp_path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    for name in ("folder", "link"):
        with pytest.raises(ValidityError, match="is there already"):
            save("new", tmp_path / name)
    assert not (tmp_path / "nowhere").exists()


def no_second_names(*_):
    raise PermissionError


def test_a_disk_that_knows_no_second_names_works_too(tmp_path, monkeypatch):
    monkeypatch.setattr(Path, "hardlink_to", no_second_names)
    path = save("text", tmp_path / "care.html")
    assert path.read_text() == "text"
    with pytest.raises(ValidityError, match="is there already"):
        save("other", path)
    assert path.read_text() == "text"
    assert list(tmp_path.iterdir()) == [path]


def test_a_missing_folder_is_named(tmp_path):
    with pytest.raises(ValidityError, match="folder"):
        save("text", tmp_path / "nowhere" / "care.ics")


@pytest.mark.parametrize("text", ["", None, b"octets", 7, "half \ud800"])
def test_bad_text_is_refused_and_nothing_is_left(tmp_path, text):
    with pytest.raises(ValidityError, match="text"):
        save(text, tmp_path / "care.ics")
    assert list(tmp_path.iterdir()) == []
