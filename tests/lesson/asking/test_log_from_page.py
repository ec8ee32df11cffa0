"""The keeper's own log: from the page or from code, what it leaves open, and odd files."""

import base64
import io

import pytest

from aqualib.lesson import asking
from aqualib.lesson.whose_tank import own_file, use_tank
from aqualib.tank.plan import Stock, System, Tank, Water, save_system
from aqualib.tank.test_log import own_log
from aqualib.units import Q
from aqualib.validity import ValidityError

CSV = (
    "date,ammonia (mg/L as N),nitrite (mg/L as N)\n2026-03-02,1.0,0\n2026-03-05,3,0.1\n"
    "2026-03-09,2,1\n2026-03-12,0.5,3\n"
)


@pytest.fixture(scope="module")
def text_of_csv():
    return str(own_log(_named(CSV)))


def _named(text):
    file = io.BytesIO(text.encode())
    file.name = "my.csv"
    return file


def send(box, name, what, value):
    box._repr_mimebundle_()
    box._on_message(box.view, {"do": what, "name": name, "value": value, "turn": 1}, [])
    return {item["name"]: item for item in box.view.items}


@pytest.fixture(scope="module")
def invented():
    return asking.chosen_log()


def test_without_a_file_it_is_the_invented_log(invented):
    assert str(invented).startswith("No file named yet: this is the invented log.")
    assert invented.log.can_be_drawn


def test_odd_files_are_answered_in_words_and_odd_messages_change_nothing(invented):
    before = str(invented)
    for odd in (None, "x", [], ["a"], ["a", 3], ["a", "not base64!"], [3, "QQ=="]):
        assert send(invented, "file", "file", odd)["says"]["said"] == before
    for name, what, value in (
        ("basis", "answer", "x"), ("basis", "file", "as N"), ("x", "answer", "3")
    ):  # fmt: skip
        send(invented, name, what, value)
    assert str(invented) == before
    for data in (b"", b"\x00\xff" * 50, b"PK\x03\x04", "🐟,1\n".encode()):
        said = send(invented, "file", "file", ["a", base64.b64encode(data).decode()])
        assert "Not read" in said["says"]["said"] or "No reading" in said["says"]["said"]
    with pytest.raises(ValidityError):
        invented.choose(None, colour="red")


def test_page_and_code_read_the_same(tmp_path, text_of_csv, invented):
    box = invented
    items = send(box, "file", "file", ["my.csv", base64.b64encode(CSV.encode()).decode()])
    assert items["says"]["said"] == text_of_csv
    assert items["file"]["given"] == "my.csv"
    path = tmp_path / "my.csv"
    path.write_text(CSV, encoding="utf-8")
    assert box.choose(path) == text_of_csv
    assert box.choose(_named(CSV)) == text_of_csv
    assert path.read_text(encoding="utf-8") == CSV, "only read"


def test_what_the_file_leaves_open_is_said_beside_it(invented):
    unclear = CSV.replace(" (mg/L as N)", "")
    box = invented
    assert "Please say" in box.choose(_named(unclear))
    items = send(box, "basis", "answer", "as N")
    assert items["basis"]["given"] == "as N"
    assert "Please say" not in items["says"]["said"]
    assert box.log.can_be_drawn
    assert "Day 12" in items["says"]["said"] or "Day 10" in items["says"]["said"]
    later = send(box, "start", "answer", " 2026-02-20 ")["says"]["said"]
    assert later != items["says"]["said"]
    assert "Not read" in send(box, "start", "answer", "🐟")["says"]["said"]


def test_the_tank_of_the_form_is_taken_when_it_is_in_use(tmp_path, monkeypatch):
    """What was told there and no more; the invented log stays with the invented tank."""
    monkeypatch.chdir(tmp_path)
    told = System(
        tank=Tank(water=Q(60, "L")),
        stock=Stock(food=Q(1, "g/day"), protein=Q(50, "percent")),
        water=Water(ph=7.2),
    )
    own_file().parent.mkdir()
    save_system(told, own_file())
    box = asking.chosen_log()
    try:
        use_tank("mine")
        assert "Tank: the invented tank" in str(box)
        assert "form of lesson 00" in str(box)
        box.choose(_named(CSV))
        # 0.092 times a gram of food times a half of protein
        assert "Tank: yours (60 L of water, 0.046" in str(box)
        assert "pH 7.2" in str(box)
        assert "Not told, so taken from the invented one: 5 m² of media surface" in str(box)
        use_tank("example")
        assert "Tank: the invented tank" in str(box)
    finally:
        use_tank("example")
