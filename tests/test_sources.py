"""The references: their shape, what was read of each, and that each is used and each use exists."""

from __future__ import annotations

import json
import re
from functools import cache

import pytest
from inventory import PACKAGE, ROOT, public_functions

from aqualib.checks import check_values
from aqualib.files import data_file
from aqualib.parameters import parameters
from aqualib.sources import bibliography, cite, full_citation, references, source, what_was_read
from aqualib.validity import ValidityError

ITEMS = json.loads(data_file("references.json").read_text(encoding="utf-8"))
READ = {
    "full text",
    "table",
    "abstract",
    "secondary copy",
    "code transcription",
    "documentation",
    "not read",
}
# The item types of CSL-JSON that the project uses.
TYPES = {
    "article",
    "article-journal",
    "article-magazine",
    "book",
    "chapter",
    "dataset",
    "legislation",
    "paper-conference",
    "report",
    "software",
    "standard",
    "thesis",
    "webpage",
}
TEXT_FIELDS = {
    "id",
    "type",
    "title",
    "title-short",
    "container-title",
    "volume",
    "issue",
    "page",
    "publisher",
    "publisher-place",
    "number",
    "DOI",
    "URL",
    "edition",
    "version",
    "collection-title",
    "genre",
    "ISBN",
    "section",
    "note",
}
OTHER_FIELDS = {"author", "editor", "issued", "accessed", "custom"}
# References that nothing uses, each with the reason why it is kept.
KEPT_UNUSED: dict[str, str] = {}
EACH = pytest.mark.parametrize("key", [item["id"] for item in ITEMS])


def test_keys_are_unique_and_sorted():
    keys = [item["id"] for item in ITEMS]
    assert len(set(keys)) == len(keys)
    assert keys == sorted(keys)


@EACH
def test_shape_is_csl_json(key):
    item = source(key)
    assert re.fullmatch(r"[A-Za-z][A-Za-z0-9-]*", key)
    assert item["type"] in TYPES
    assert set(item) <= TEXT_FIELDS | OTHER_FIELDS
    assert all(isinstance(item[name], str) and item[name].strip() for name in TEXT_FIELDS & {*item})
    for person in [*item.get("author", []), *item.get("editor", [])]:
        assert set(person) <= {"family", "given", "literal"}
        assert "family" in person or "literal" in person
        assert not any(part.startswith("=") for part in person.values())
    for date in (item[name] for name in ("issued", "accessed") if name in item):
        assert list(date) == ["date-parts"]
        assert all(isinstance(part, int) for part in date["date-parts"][0])
    assert item.get("author") or item.get("title") or item.get("publisher"), "who or what is it?"


@EACH
def test_says_what_was_read(key):
    custom = source(key)["custom"]
    assert custom["read"] in READ
    assert len(custom["read_note"]) > 20, "say in words what was read"
    assert what_was_read(key) in full_citation(key)
    if custom["read"] == "not read":
        assert "not read" in what_was_read(key)


@EACH
def test_can_be_cited(key):
    assert cite(key).strip()
    assert cite(key, "p. 7").endswith(", p. 7")
    assert "None" not in cite(key)
    assert ".." not in full_citation(key)
    assert "None" not in full_citation(key)


@EACH
def test_doi_has_the_form_of_one(key):
    if "DOI" in source(key):
        assert re.fullmatch(r"10\.\d{4,9}/\S+", source(key)["DOI"])


def test_every_key_used_in_code_or_data_exists():
    used: dict[str, str] = {}
    for path, function in public_functions().items():
        used |= dict.fromkeys(function.sources, path)
        origins = [rule.source for rule in function.rules.values()]
        # Origins in words ("assumed", a citation of a parameter) are not keys.
        used |= {o: path for o in origins if re.fullmatch(r"[A-Z][A-Za-z]*\d{2,4}[a-z]?", o)}
    used |= {row.source: row.id for row in check_values() if row.source}
    used |= {p.source: p.name for p in parameters().values() if p.source not in {"", "assumed"}}
    missing = {key: user for key, user in used.items() if key not in references()}
    assert missing == {}


@cache
def everything_that_may_cite() -> str:
    files = [*PACKAGE.rglob("*.py"), *(ROOT / "lessons").rglob("*.ipynb")]
    files += [*(ROOT / "lessons").rglob("*.md"), *ROOT.glob("*.md"), *(ROOT / "data").glob("*.csv")]
    return "\n".join(path.read_text(encoding="utf-8") for path in files)


def is_used(key: str) -> bool:
    return re.search(rf"\b{re.escape(key)}\b", everything_that_may_cite()) is not None


def test_no_reference_is_an_orphan():
    orphans = sorted(key for key in references() if not is_used(key))
    unexplained = [key for key in orphans if key not in KEPT_UNUSED]
    assert not unexplained, "used by no function, row, parameter or lesson: " + ", ".join(
        unexplained
    )
    assert set(KEPT_UNUSED) <= set(orphans), "take it off the list of unused references"
    assert all(reason.strip() for reason in KEPT_UNUSED.values())


def test_unknown_key_is_named():
    with pytest.raises(KeyError, match=r"'Nobody1900' is not in data/references\.json"):
        source("Nobody1900")
    with pytest.raises(KeyError, match="Nobody1900"):
        cite("Nobody1900")
    with pytest.raises(KeyError, match="Nobody1900"):
        bibliography(["EPA2013", "Nobody1900"])
    with pytest.raises(ValidityError, match=r"key = .* is none"):
        source(["EPA2013"])
    with pytest.raises(ValidityError, match="keys = 'EPA2013' is no list"):
        bibliography("EPA2013")


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("[{]", "its text"),
        ('{"id": 7}', "item 1"),
        ('[{"id": "A1900"}, 7]', "item 2"),
        ('[{"id": "A1900"}, {"id": "A1900"}]', "A1900"),
    ],
)
def test_references_that_cannot_be_read_are_refused_in_words(monkeypatch, tmp_path, text, place):
    broken = tmp_path / "references.json"
    broken.write_text(text, encoding="utf-8")
    monkeypatch.setattr("aqualib.sources.data_file", lambda _: broken)
    with pytest.raises(ValidityError, match=rf"data/references\.json, {place}"):
        references.__wrapped__()


def test_short_citations():
    assert cite("EmersonEtAl1975") == "Emerson et al. 1975"
    assert cite("CleggWhitfield1995", "eq. 18") == "Clegg & Whitfield 1995, eq. 18"
    assert cite("Dickson1990") == "Dickson 1990"


def test_bibliography_is_sorted_and_has_each_key_once():
    listed = bibliography(["EPA2013", "Dickson1990", "EPA2013"])
    assert listed.keys == ["Dickson1990", "EPA2013"]
    assert repr(listed) == f"- {full_citation('Dickson1990')}\n- {full_citation('EPA2013')}"


def test_a_file_saved_by_a_spreadsheet_on_windows_reads_the_same(monkeypatch, tmp_path):
    text = data_file("references.json").read_text(encoding="utf-8")
    saved = tmp_path / "references.json"
    saved.write_bytes(text.replace("\n", "\r\n").encode("utf-8-sig"))
    monkeypatch.setattr("aqualib.sources.data_file", lambda _: saved)
    assert references.__wrapped__() == references()
