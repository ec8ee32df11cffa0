"""The evidence table is made only if all agree, and says what it must."""

from __future__ import annotations

import csv
import math
import sys

import pytest

from aqualib import checks
from aqualib.checks import (
    COLUMNS,
    KINDS,
    ROOMS,
    CheckFailedError,
    CheckValue,
    Evidence,
    Outcome,
    check_values,
    counts_by_kind,
    evaluate,
    evidence,
    evidence_by_id,
    find_function,
    read_input,
    rows_by_id,
    rows_for,
)
from aqualib.files import data_file
from aqualib.units import Q
from aqualib.validity import ValidityError

FUNCTION = "water.ammonia.unionised_fraction"


def row(**changes) -> CheckValue:
    values = {
        "id": "some-row",
        "function": FUNCTION,
        "inputs": {"ph": 8.0, "temperature": "25 degC"},
        "output": "",
        "expected": 0.0537,
        "unit": "",
        "tolerance": "0.00005",
        "kind": "arithmetic",
        "source": "EmersonEtAl1975",
        "locator": "formula",
        "note": "some case; some arithmetic",
    }
    return CheckValue(**{**values, **changes})


@pytest.mark.parametrize(
    ("tolerance", "expected", "allowed"),
    [
        ("0.05", 10.0, 0.05),
        ("1e-6", 10.0, 1e-6),
        ("0.5 %", 10.0, 0.05),
        ("0.5%", 10.0, 0.05),
        ("1 %", -20.0, 0.2),
        ("1 %", 0.0, 0.0),
    ],
)
def test_allowed(tolerance, expected, allowed):
    assert row(tolerance=tolerance, expected=expected).allowed == pytest.approx(allowed)


def test_agreement_includes_the_exact_edge():
    edge = row(expected=1.2, tolerance="0.05")
    assert Outcome(edge, 1.25).agrees
    assert Outcome(edge, 1.15).agrees
    assert not Outcome(edge, 1.2501).agrees
    assert not Outcome(edge, 1.1499).agrees


def test_a_row_that_disagrees_agrees_with_its_gap_and_with_nothing_else():
    off = row(kind="disagrees", expected=10.0, tolerance="+50 % ± 1 %")
    assert off.gap == 50.0
    assert off.allowed == pytest.approx(0.1)
    assert Outcome(off, 15.0).agrees
    assert Outcome(off, 14.9).agrees
    assert not Outcome(off, 14.89).agrees
    assert not Outcome(off, 10.0).agrees
    below = row(kind="disagrees", expected=10.0, tolerance="-2.5 % ± 1 %")
    assert Outcome(below, 9.75).agrees
    assert row().gap == 0.0


def test_the_caption_does_not_claim_that_what_disagrees_agrees():
    met = Outcome(row(kind="published"), 0.0537)
    off = Outcome(row(kind="disagrees", tolerance="+10 % ± 1 %"), 0.05907)
    table = Evidence([met, off])
    assert table.caption == (
        "2 check values, 1 within tolerance, 1 off by the gap it tells; 1 from outside this project"
    )
    assert table.cells()[1][3] == "+10 % ± 1 %"


def test_nan_and_infinity_never_agree():
    for wide in ("0.05", "100 %", "1e300"):
        assert not Outcome(row(tolerance=wide), math.nan).agrees
    assert not Outcome(row(), math.inf).agrees
    assert not Outcome(row(expected=math.nan), 0.0537).agrees


def test_evaluate_gives_our_number_in_the_rows_unit():
    ours = evaluate(row()).ours
    assert type(ours) is float
    assert ours == pytest.approx(0.053662, abs=1e-6)


def test_evaluate_with_another_function_in_its_place():
    def stand_in(ph, temperature):
        assert ph == 8.0
        assert temperature == Q(25, "degC")
        return Q(2.0, "mg/L")

    outcome = evaluate(row(unit="g/L", expected=0.002), stand_in)
    assert outcome.ours == pytest.approx(0.002)
    assert outcome.agrees


def test_evaluate_reads_words_flags_and_numbers_as_they_are():
    seen = {}

    def stand_in(**inputs):
        seen.update(inputs)
        return 1.0

    inputs = {"flag": True, "word": "total", "words": "two words", "count": 3, "size": "2 cm"}
    evaluate(row(inputs=inputs), stand_in)
    assert seen["size"] == Q(2, "cm")
    assert {k: seen[k] for k in inputs if k != "size"} == {
        k: v for k, v in inputs.items() if k != "size"
    }


@pytest.mark.parametrize(
    "words", ["2 log", "2 ((", "3 m**m", "1 m/0", "2 m-3", "many litres", "2 °C'x"]
)
def test_words_that_begin_with_a_number_stay_words(words):
    assert read_input(words) is words


def test_the_registry_is_not_asked_to_work_out_a_sum(monkeypatch):
    """It would: 9**9**9 has hundreds of millions of digits."""
    monkeypatch.setattr(checks, "Q", lambda *_: pytest.fail("asked"))
    assert read_input("2 9**9**9") == "2 9**9**9"


@pytest.mark.parametrize(
    "path",
    [
        "tank.maturation.influence.import_module",
        "tank.maturation.influence.optional",
        "lesson.handout.save",
        "lesson.handout.saving.save",
        "files.data_file",
        "os.system",
        "builtins.eval",
        "water.oxygen.registry",
        "water.oxygen.density",
        "water.oxygen.saturation.bare",
        "water.nowhere.saturation",
        "filtration.media.media_kind",
        "filtration.media.weighing.immersion_porosity",
        "tank.load.__doc__",
        "saturation",
        "",
        None,
    ],
)
def test_a_row_runs_nothing_but_public_functions_behind_their_door(path, tmp_path):
    """A row that writes a file or loads a module would be code in the clothes of data."""
    kept = tmp_path / "kept"
    inputs = {"text": "text", "path": str(kept), "name": "this", "module": "this"}
    with pytest.raises(ValidityError, match=r"function = .* is none") as refused:
        evaluate(row(function=path, inputs=inputs))
    assert "some-row" in refused.value.__notes__[0]
    assert not kept.exists()
    assert "this" not in sys.modules


def test_every_row_names_a_function_behind_its_door():
    for path in {r.function for r in check_values()}:
        room, door, name = path.split(".")
        assert find_function(path).name == name
        assert find_function(path).__module__.split(".")[:3] == ["aqualib", room, door]


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("inputs", "{"),
        ("inputs", "[1]"),
        pytest.param("inputs", "[" * 100_000, id="deep"),
        ("expected", "about 7"),
        ("tolerance", "half"),
        ("kind", "sure"),
        ("kind", "disagrees"),
        ("tolerance", "+12 % ± 1 %"),
    ],
)
def test_a_row_that_cannot_be_read_is_named(monkeypatch, tmp_path, column, text):
    lines = data_file("check_values.csv").read_text(encoding="utf-8").splitlines()
    cells = dict(zip(COLUMNS, next(csv.reader([lines[1]])), strict=True)) | {column: text}
    broken = tmp_path / "check_values.csv"
    with broken.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([COLUMNS, cells.values()])
    monkeypatch.setattr("aqualib.checks.data_file", lambda _: broken)
    named = "tolerance" if text == "disagrees" else column
    with pytest.raises(ValidityError, match=f"{cells['id']}, {named}"):
        check_values.__wrapped__()


def test_evidence_raises_on_any_disagreement():
    good, bad = Outcome(row(), 0.0537), Outcome(row(id="bad-row"), 0.0600)
    assert Evidence([good])
    with pytest.raises(CheckFailedError, match=r"bad-row: ours 0.06, expected 0.0537"):
        Evidence([good, bad])
    with pytest.raises(CheckFailedError, match="nan"):
        Evidence([Outcome(row(), math.nan)])
    assert issubclass(CheckFailedError, AssertionError)


def test_evidence_of_a_broken_function_raises(monkeypatch):
    real = find_function(FUNCTION)
    monkeypatch.setattr(checks, "find_function", lambda _: lambda **k: 1.01 * real(**k))
    with pytest.raises(CheckFailedError):
        evidence(FUNCTION)


def test_evidence_shows_every_row_once():
    table = evidence(FUNCTION)
    assert len(table.outcomes) == len(rows_for(FUNCTION)) == len(table.cells())
    lines = repr(table).splitlines()
    assert len(lines) == len(table.outcomes) + 1
    assert lines[0].split("  ")[0] == "case"
    assert all(line == line.rstrip() for line in lines)


def test_evidence_cells():
    table = Evidence([Outcome(row(), 0.053662)])
    assert table.cells() == [
        (
            "some case",
            "0.053662",
            "0.0537",
            "±0.00005",
            "arithmetic",
            "our arithmetic, constants of Emerson et al. 1975, formula",
        )
    ]
    assert table.HEADINGS[2] == "expected"


def test_evidence_html_is_escaped_and_captioned():
    page = Evidence([Outcome(row(note="a < b & c"), 0.0537)])._repr_html_()
    assert "a &lt; b &amp; c" in page
    caption = "1 check values, all within tolerance; 0 from outside this project"
    assert f"<caption>{caption}</caption>" in page
    assert page.count("<tr>") == 2


def test_origin_without_a_source_is_the_kind_in_words():
    assert row(source="", kind="identity").origin == KINDS["identity"]
    assert row(source="", kind="memory").origin == KINDS["memory"]
    assert row(source="").origin == "our arithmetic"
    assert row(kind="published").origin == "Emerson et al. 1975, formula"


def test_rows_by_id_in_the_order_asked_for():
    ids = [r.id for r in check_values()][:3]
    assert [r.id for r in rows_by_id(*reversed(ids))] == ids[::-1]
    assert [o.row.id for o in evidence_by_id(*ids).outcomes] == ids
    with pytest.raises(KeyError, match=r"no check value has the id .*no-such-row"):
        rows_by_id("no-such-row")


def test_unknown_function_is_named():
    with pytest.raises(KeyError, match=r"water\.magic"):
        rows_for(FUNCTION, "water.magic")
    with pytest.raises(KeyError):
        evidence("water.magic")


def test_counts():
    counts = counts_by_kind()
    assert list(counts) == list(KINDS)
    assert sum(counts.values()) == len(check_values())
    assert counts["published"] == sum(r.kind == "published" for r in check_values())
    assert counts["published"] > 0
    rooms = [counts_by_kind(room) for room in ROOMS]
    assert {kind: sum(room[kind] for room in rooms) for kind in KINDS} == counts


def test_columns_are_the_fields_of_a_row():
    assert set(COLUMNS) == set(CheckValue.__dataclass_fields__)


def test_a_file_saved_by_a_spreadsheet_on_windows_reads_the_same(monkeypatch, tmp_path):
    text = data_file("check_values.csv").read_text(encoding="utf-8")
    saved = tmp_path / "check_values.csv"
    saved.write_bytes(text.replace("\n", "\r\n").encode("utf-8-sig"))
    monkeypatch.setattr("aqualib.checks.data_file", lambda _: saved)
    assert check_values.__wrapped__() == check_values()
