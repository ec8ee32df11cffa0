"""A system's file: there and back, its schema, and 10 000 broken files."""

import json
import random
from contextlib import suppress

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from plan_systems import as_it_was_bought, college, nano

from aqualib.files import data_file
from aqualib.tank.plan import (
    as_json,
    as_table,
    example_system,
    from_json,
    from_table,
    system_schema,
    written,
)
from aqualib.tank.plan.system import System
from aqualib.validity import ValidityError

SYSTEMS = (example_system(), example_system(marine=True), nano(), college(), as_it_was_bought(),
           System())  # fmt: skip
SCHEMA = jsonschema.Draft202012Validator(system_schema())


@pytest.mark.parametrize("system", SYSTEMS, ids=lambda system: system.name)
def test_there_and_back(system):
    text = as_json(system)
    assert from_json(text) == system
    assert as_json(from_json(text)) == text
    SCHEMA.validate(json.loads(text))


def test_the_schema_is_the_published_one_and_is_a_schema():
    published = json.loads(data_file("system.schema.json").read_text("utf-8"))
    assert published == system_schema(), "run python -m aqualib.lesson.refresh"
    jsonschema.Draft202012Validator.check_schema(published)


def test_only_what_was_told_is_written():
    assert as_table(System()) == {"format": "aqualib system", "version": 1, "name": "My tank"}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "line 1"),
        ("[]", "curly brackets"),
        ('{"format": "aqualib system", "version": 2}', "newer aqualib"),
        ('{"format": "aqualib system", "version": 0}', "none that there was"),
        ('{"format": "aqualib system", "version": true}', "no version"),
        ('{"format": "a shopping list", "version": 1}', "format"),
        ('{"format": "aqualib system", "version": 1, "tank": {"water_gal": 9}}', "tank"),
        ('{"format": "aqualib system", "version": 1, "tank": {"water_L": "9"}}', "tank.water_L"),
        ('{"format": "aqualib system", "version": 1, "tank": {"water_L": NaN}}', "NaN"),
        ('{"format": "aqualib system", "version": 1, "tank": {"water_L": 1e999}}', "tank.water_L"),
        ('{"format": "aqualib system", "version": 1, "tank": {"water_L": -1}}', "1 to 100000 L"),
        ('{"format": "aqualib system", "version": 1, "name": "a", "name": "b"}', "twice"),
        ('{"format": "aqualib system", "version": 1, "filter": {}}', "filter.trays"),
        ('{"format": "aqualib system", "version": 1, "filter": {"trays": [{"holds": "carbon"}]}}',
         "height_mm"),
        ("[" * 100_000, "nested"),
        (b"x", "no text"),
        ("x" * 300_000, "too long"),
    ],
)  # fmt: skip
def test_what_is_no_system_is_refused_in_words(text, words):
    with pytest.raises(ValidityError) as refused:
        from_json(text)
    assert words in str(refused.value)


ODD = (None, True, -1, 0, 1e308, "", "x", [], {}, [[]], "1", {"a": 1}, 10**400, 0.5, "pumice")


def broken(table, chance):
    """Return a copy in which one thing, somewhere, was put out of order."""
    copy = json.loads(json.dumps(table))
    places = [copy]
    for place in places:
        inside = place.values() if isinstance(place, dict) else place
        places += [value for value in inside if isinstance(value, dict | list)]
    place = chance.choice([p for p in places if p])
    key = chance.choice(list(place) if isinstance(place, dict) else range(len(place)))
    match chance.randrange(4):
        case 0:
            place[key] = chance.choice(ODD)
        case 1:
            del place[key]
        case 2 if isinstance(place, dict):
            place[chance.choice(["volume", "water_L", "holds", str(key).upper()])] = place.pop(key)
        case _:
            is_number = isinstance(place[key], int | float)
            by = chance.choice([-1, 1000, 1e-6])
            place[key] = place[key] * by if is_number else chance.choice(ODD)
    return copy


MANY = [500, pytest.param(10_000, marks=pytest.mark.sweep)]


@pytest.mark.parametrize("count", MANY)
def test_a_broken_table_is_read_only_if_the_schema_allows_it(count):
    """Beyond the schema, a mass in a tray of no media and the like are refused too."""
    chance = random.Random(13)
    tables = [as_table(system) for system in SYSTEMS]
    refused, apart = 0, []
    for _ in range(count):
        table = broken(chance.choice(tables), chance)
        try:
            from_table(table)
        except ValidityError:
            refused += 1
        else:
            apart += [] if SCHEMA.is_valid(table) else [table]
    assert apart == []
    assert 0.4 * count < refused < 0.9 * count


@pytest.mark.parametrize("count", MANY)
def test_a_broken_text_ends_in_words_too(count):
    chance = random.Random(14)
    texts = [as_json(system) for system in SYSTEMS]
    read = 0
    for _ in range(count):
        text = chance.choice(texts)
        at = chance.randrange(len(text))
        other = chance.choice('"{}[]:,\\x\n\0é9-')
        ends = "", other + text[at + 1 :], text[at + chance.randrange(40) :]
        with suppress(ValidityError):
            from_json(text[:at] + chance.choice(ends))
            read += 1
    assert 0 < read < 0.8 * count


ODD_VALUES = st.none() | st.booleans() | st.floats() | st.text(max_size=9)
KEYS = st.sampled_from(["tank", "water", "filter", "trays", "format", "name"])


@given(st.recursive(ODD_VALUES, lambda some: st.lists(some) | st.dictionaries(KEYS, some)))
def test_any_table_at_all_is_read_or_refused(table):
    with suppress(ValidityError):
        from_table(table)


def test_an_older_version_is_upgraded_on_the_way(monkeypatch):
    monkeypatch.setattr(written, "VERSION", 2)
    monkeypatch.setitem(
        written.UPGRADES, 1, lambda old: {**old, "version": 2, "name": f"{old['name']} (was 1)"}
    )
    text = '{"format": "aqualib system", "version": 1, "name": "Pond"}'
    assert from_json(text).name == "Pond (was 1)"
