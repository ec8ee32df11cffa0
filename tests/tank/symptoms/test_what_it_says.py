"""The words of the trees: complete, plain, honest on every leaf; refused where they are not."""

import copy
import json
import re

import pytest

from aqualib.files import data_file
from aqualib.tank.symptoms import symptoms
from aqualib.tank.symptoms.what_it_says import NO_SOURCE, PARTS, SURE, Caution
from aqualib.validity import ValidityError

WORDS = json.loads(data_file("symptoms.json").read_text(encoding="utf-8"))
LEAVES = [leaf for tree in symptoms().values() for leaf in tree.leaves]
LONGEST = {"tonight": 21, "likely": 21, "question": 9, "sum": 36, "week": 27, "call": 16}
"""Words; what is done tonight must fit on one line of a panel's head."""
LONGEST_SENTENCE = 24
LONGEST_WORD = 15
LONGEST_NAME = 20
"""Letters that fit into a box of the drawn tree."""
ACTS = (
    "act", "add", "air", "boil", "carry", "change", "clean", "count", "dissolve", "do", "draw",
    "feed", "feel", "find", "leave", "let", "lift", "lights", "look", "measure", "more", "move",
    "no", "nothing", "open", "read", "rinse", "see", "start", "stir", "suck", "switch", "take",
    "tip", "top", "unplug",
)  # fmt: skip
"""How an action begins; "nothing tonight" is one too."""


def test_every_leaf_is_complete_plain_and_says_how_sure_it_is():
    wrong = []
    for leaf in LEAVES:
        for part in (*PARTS, "question"):
            said = getattr(leaf, part)
            words = re.findall(r"[\w’'-]+", said)
            if len(words) > LONGEST.get(part, 30):
                wrong.append(f"{leaf.code}, {part}: {len(words)} words")
            sentences = re.split(r"[.;:?!] ", said)
            if any(len(one.split()) > LONGEST_SENTENCE for one in sentences):
                wrong.append(f"{leaf.code}, {part}: a long sentence")
            if any(len(word) > LONGEST_WORD for word in words):
                wrong.append(f"{leaf.code}, {part}: a long word")
            if said and said.strip()[-1] not in ".?":
                wrong.append(f"{leaf.code}, {part}: no end")
        if leaf.tonight.split()[0].rstrip(",:.").lower() not in ACTS:
            wrong.append(f"{leaf.code}, tonight: begins with no action")
        if len(leaf.name) > LONGEST_NAME:
            wrong.append(f"{leaf.code}: a long name")
        if leaf.question and not leaf.question.endswith("?"):
            wrong.append(f"{leaf.code}: no question")
        if leaf.sure.partition(":")[0] not in SURE:
            wrong.append(f"{leaf.code}: how sure?")
        if not leaf.origin:
            wrong.append(f"{leaf.code}: from where?")
    assert wrong == []


def test_cautions_go_with_what_the_hands_do():
    """Who opens a filter, doses a powder or changes water is told what to mind."""
    told = {name: Caution(**said) for name, said in WORDS["cautions"].items()}
    missing = []
    for leaf in LEAVES:
        does = f"{leaf.tonight} {leaf.week}".lower()
        for sign, caution in (
            (r"baking soda", "chemicals"),
            (r"baking soda", "ph"),
            (r"change \{\w+\}", "change"),
            (r"impeller|\bpads?\b|o-ring|strainer|the filter out", "electricity"),
            (r"sleeve|change the lamp", "lamp"),
            (r"sulph|foul|pour (its|the) water away", "foul"),
        ):
            if re.search(sign, does) and told[caution] not in leaf.cautions:
                missing.append(f"{leaf.code}: {caution}")
        if told["animals"] not in leaf.cautions:
            missing.append(f"{leaf.code}: animals")
    assert missing == []


def test_what_changes_water_or_lifts_the_ph_waits_for_ammonia_and_ph():
    """The words in sight tell: soda, or new water tonight beyond the keeper's own."""
    acts = re.compile(r"change \{\w+\}|dissolve \{soda\}|stir the surface: lift")
    early = [
        x.code
        for x in LEAVES
        if acts.search(f"{x.tonight} {x.week}".lower()) and not x.tested_first
    ]
    assert early == []
    # A tree that asks for both anyway has no other words.
    trees = [tree for tree in symptoms().values() if tree.wants_tests]
    for leaf in (leaf for tree in trees for leaf in tree.leaves if leaf.tested_first):
        said = " ".join(leaf.untested.get(part, getattr(leaf, part)) for part in PARTS)
        assert not re.search(r"chang\w+ \{|\{soda", said.lower()), leaf.code
    # So many words in the same trees that one leaf stands for all of them.
    assert sum(leaf.code.endswith("-trap") for leaf in LEAVES) == 8


def test_what_is_minded_first_is_short_and_no_leaf_is_without_it():
    for name, said in WORDS["cautions"].items():
        assert len(f"{said['first']} Tonight:") <= 65, name
    assert all(leaf.cautions for leaf in LEAVES)
    # Water on the floor: the current before the hands.
    assert [leaf.cautions[0].first for leaf in LEAVES if leaf.code == "leak-unseen"] == [
        "Touch no plug; power off first."
    ]


def test_no_source_is_said_where_there_is_none():
    assert {key for leaf in LEAVES for key in leaf.sources} >= set(NO_SOURCE)
    common = [leaf for leaf in LEAVES if leaf.sources == (NO_SOURCE[0],)]
    assert all(leaf.origin == "common practice, no source" for leaf in common)
    # What is sure needs more than habit, unless the eye itself proves it.
    sure = {leaf.sure for leaf in LEAVES if leaf.sure.startswith("Sure")}
    assert len(sure) < len({leaf.sure for leaf in LEAVES}) / 6


def broken(change):
    words = copy.deepcopy(WORDS)
    change(words)
    return json.dumps(words)


def leaf_of(words):
    return words["trees"]["leak"]["leaves"][0]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("no json", "its letters"),
        ("[]", "its parts"),
        ('{"cautions": {}, "trees": {}}', "its parts"),
        (broken(lambda w: w["trees"]["leak"].pop("asks")), "tree leak = without asks"),
        (broken(lambda w: w["trees"].update(leak=3)), "tree leak"),
        (broken(lambda w: w["trees"]["leak"].update(asks=["drops"])), "leak, asks"),
        (broken(lambda w: w["trees"]["leak"].update(also=["drops"])), "leak, asks"),
        (broken(lambda w: w["trees"]["leak"].update(also="feed")), "leak, also"),
        (broken(lambda w: w["trees"]["leak"].update(leaves=[])), "leak, leaves"),
        (broken(lambda w: leaf_of(w).pop("question")), "leak, question"),
        (broken(lambda w: leaf_of(w).pop("week")), "tree leak = without week"),
        (broken(lambda w: leaf_of(w).update(code="Leak 1")), "leaf Leak 1"),
        (broken(lambda w: leaf_of(w).update(code="leak-none")), "each code once"),
        (broken(lambda w: leaf_of(w).update(tonight="")), "leak-unseen, tonight"),
        (broken(lambda w: leaf_of(w).update(sum="{gone.bare} L")), "leak-unseen, sum"),
        (broken(lambda w: leaf_of(w).update(sum="{gone")), "leak-unseen, sum"),
        (broken(lambda w: leaf_of(w).update(sure="Quite: so.")), "leak-unseen, sure"),
        (broken(lambda w: leaf_of(w).update(sure="Sure:")), "leak-unseen, sure"),
        (broken(lambda w: leaf_of(w).update(cautions=["fire"])), "leak-unseen, cautions"),
        (broken(lambda w: leaf_of(w).update(cautions=[])), "leak-unseen, cautions"),
        (broken(lambda w: w["cautions"]["gas"].pop("first")), "cautions, gas"),
        (broken(lambda w: w.pop("untested")), "its parts"),
        (broken(lambda w: w["untested"].update(tomorrow="Rest.")), "untested"),
        (broken(lambda w: leaf_of(w).update(like="nothing")), "tree leak, like"),
        (broken(lambda w: leaf_of(w).update(sources=[])), "leak-unseen, sources"),
        (broken(lambda w: leaf_of(w).update(sources=["Nobody1900"])), "leak-unseen, sources"),
    ],
)
def test_words_that_are_not_right_are_refused_by_their_place(monkeypatch, tmp_path, text, place):
    file = tmp_path / "symptoms.json"
    file.write_text(text, encoding="utf-8")
    monkeypatch.setattr("aqualib.tank.symptoms.what_it_says.data_file", lambda _: file)
    with pytest.raises(ValidityError, match=re.escape(place)):
        symptoms.__wrapped__()
