"""The keeper's own log: from the page or from code, what it leaves open, and odd files."""

import base64
import io

import pytest

from aqualib.lesson import asking
from aqualib.lesson.whose_tank import use_tank
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.plan import Stock, System, Tank, Water, save_system
from aqualib.tank.test_log import own_log, own_tank
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


def test_the_tank_is_the_one_in_use_unless_code_tells_another(tmp_path):
    """Told once, in the form of lesson 00: nobody has to write it again as code."""
    own = System(tank=Tank(water=Q(120, "L")), stock=Stock(food=Q(2, "g/day")), water=Water(ph=7.4))
    box, told = asking.chosen_log(), asking.chosen_log(own_tank(volume=Q(80, "L")))
    save_system(own, tmp_path / "tank.json")
    use_tank("mine", tmp_path / "tank.json")
    try:
        assert "the invented tank" in str(box), "without a file it is the invented log"
        box.choose(_named(CSV))
        scenario = box.log.tank.scenario
        assert scenario.volume.m_as("L") == pytest.approx(120)
        assert scenario.load.m_as("g/day") == pytest.approx(
            ammonia_production(Q(2, "g/day"), parameter("food_protein").bare).m_as("g/day")
        )
        assert "Tank: yours (120 L of water" in str(box)
        assert "pH 7.4" in str(box)
        assert "taken from the invented one: 5 m² of media surface" in str(box)
        assert told.log.tank.scenario.volume.m_as("L") == pytest.approx(80)
    finally:
        use_tank("example")
    assert "the invented tank" in str(box)
