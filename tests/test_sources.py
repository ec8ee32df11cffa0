"""The references: their shape, what was read of each, and that each is used and each use exists."""

from __future__ import annotations

import json
import re

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
# In general words, what kind of page a reprint or a quotation stood on.
PAGE_KINDS = {
    "a book",
    "a copy of the paper",
    "a mailing list of hobbyists",
    "a maker or a seller",
    "a museum",
    "a newspaper",
    "a public code repository",
    "a public office",
    "a school or university",
    "a site of general interest",
    "a study site",
    "a thesis",
    "a trade magazine",
    "another paper",
    "code of a public office",
    "documentation of a public package",
    "not recorded",
    "the paper itself",
}
# References that nothing uses, each with the reason why it is kept.
KEPT_UNUSED: dict[str, str] = {}
KEYS = [item["id"] for item in ITEMS]


def test_keys_are_unique_and_sorted():
    assert len(set(KEYS)) == len(KEYS) > 0
    assert sorted(KEYS) == KEYS


def shape_faults(key: str) -> list[str]:
    """Where an item departs from the part of CSL-JSON that the project uses."""
    item = source(key)
    people = [*item.get("author", []), *item.get("editor", [])]
    dates = [item[name] for name in ("issued", "accessed") if name in item]
    texts = [item[name] for name in TEXT_FIELDS & {*item}]
    wanted = [
        (re.fullmatch(r"[A-Za-z][A-Za-z0-9]*", key), "key"),
        (item.get("type") in TYPES, f"type {item.get('type')}"),
        (not set(item) - TEXT_FIELDS - OTHER_FIELDS, "a field the project does not use"),
        (all(isinstance(text, str) and text.strip() for text in texts), "text"),
        (all(set(person) <= {"family", "given", "literal"} for person in people), "person"),
        (all({"family", "literal"} & set(person) for person in people), "person without a name"),
        (not any(part.startswith("=") for p in people for part in p.values()), "name"),
        (all(list(date) == ["date-parts"] for date in dates), "date"),
        (all(isinstance(n, int) for date in dates for n in date["date-parts"][0]), "date's parts"),
        (item.get("author") or item.get("title") or item.get("publisher"), "who or what is it?"),
        ("DOI" not in item or re.fullmatch(r"10\.\d{4,9}/\S+", item["DOI"]), "DOI"),
    ]
    return [fault for holds, fault in wanted if not holds]


def test_items_are_csl_json():
    assert [f"{key}: {fault}" for key in KEYS for fault in shape_faults(key)] == []


def reading_faults(key: str) -> list[str]:
    """Whether an item says what was read of it, and says so where it is cited in full."""
    custom, in_words = source(key)["custom"], what_was_read(key)
    wanted = [
        (custom["read"] in READ, f"no such way of reading: {custom['read']}"),
        (len(custom["read_note"]) > 20, "say in words what was read"),
        (in_words and in_words in full_citation(key), "what was read is not in the full citation"),
        (
            custom["read"] not in {"table", "secondary copy"} or custom["page_kind"] in PAGE_KINDS,
            "on what kind of page was it read?",
        ),
        (custom["read"] != "not read" or "not read" in in_words, "does not say it was not read"),
    ]
    return [fault for holds, fault in wanted if not holds]


def test_items_say_what_was_read():
    assert [f"{key}: {fault}" for key in KEYS for fault in reading_faults(key)] == []


def test_no_check_value_rests_on_a_maker_or_a_seller():
    sold = {key for key in KEYS if source(key)["custom"].get("page_kind") == "a maker or a seller"}
    assert sold, "if none is left, this test and the kind may go"
    assert [row.id for row in check_values() if row.source in sold] == []


def test_every_item_has_a_title():
    assert [key for key in KEYS if not source(key).get("title")] == []


def can_be_cited(key: str) -> bool:
    short, full = cite(key), full_citation(key)
    return (
        bool(short.strip())
        and cite(key, "p. 7") == f"{short}, p. 7"
        and "None" not in short + full
        and ".." not in full
    )


def test_items_can_be_cited():
    assert [key for key in KEYS if not can_be_cited(key)] == []


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


def words_of_all_that_may_cite() -> set[str]:
    files = [*PACKAGE.rglob("*.py"), *(ROOT / "lessons").rglob("*.ipynb")]
    files += [*(ROOT / "lessons").rglob("*.md"), *ROOT.glob("*.md"), *(ROOT / "data").glob("*.csv")]
    files += [ROOT / "data" / "symptoms.json"]
    return {word for path in files for word in re.findall(r"\w+", path.read_text("utf-8"))}


def test_no_reference_is_an_orphan():
    words = words_of_all_that_may_cite()
    orphans = [key for key in KEYS if key not in words]
    unexplained = [key for key in orphans if key not in KEPT_UNUSED]
    assert unexplained == [], "used by no function, row, parameter or lesson"
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
