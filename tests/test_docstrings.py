"""Each public docstring says what the signature cannot, in one order, and its example runs."""

from __future__ import annotations

import doctest
import importlib
import inspect
import re

import pytest
from inventory import module_names, public_functions

from aqualib.docstrings import NOTES, composed, parts_of
from aqualib.sources import references
from aqualib.units import Q, set_units

FUNCTIONS = public_functions()
SECTIONS = ["Parameters", "Returns", "Raises", "Notes", "Examples"]
PARTS = {path: parts_of(f.bare.__doc__ or "", f.rules) for path, f in FUNCTIONS.items()}


@pytest.fixture(autouse=True)
def metric_units():
    set_units("metric")
    yield
    set_units("metric")


def offenders(says_wrong) -> dict[str, str]:
    """What is wrong with each function of which something is."""
    found = {path: says_wrong(path, *PARTS[path]) for path in FUNCTIONS}
    return {path: problem for path, problem in found.items() if problem}


def test_openings():
    """One line that begins with Return, a sentence for a keeper, and the equation."""

    def wrong(path, opening, said, example):
        paragraphs = re.split(r"\n\s*\n", opening)
        if len(paragraphs) != 3:
            return f"{len(paragraphs)} paragraphs"
        summary, meaning, equation = paragraphs
        if not re.match(r"Return [^\n]+\.$", summary):
            return summary
        if not (meaning[0].isupper() or meaning[0].isdigit()) or not meaning.endswith("."):
            return meaning
        return "" if equation.startswith("Equation: ") else equation

    assert offenders(wrong) == {}


def test_labels_stand_in_order_and_end_as_sentences():
    def wrong(path, opening, said, example):
        labels = list(said)
        order = [*FUNCTIONS[path].rules, "Returns", "Raises", *NOTES]
        if labels != [label for label in order if label in said]:
            return f"order {labels}"
        if not {"Source", "Validity"} <= set(labels):
            return "no Source or no Validity"
        if said.get("Departures") == "none.":
            return "needless: Departures: none."
        return [label for label, words in said.items() if not words.rstrip("`").endswith(".")]

    assert offenders(wrong) == {}


def test_what_goes_together_is_told():
    """A rule over several arguments stands in no signature, so the docstring tells it."""

    def wrong(path, opening, said, example):
        return FUNCTIONS[path].together is not None and "Raises" not in said

    assert offenders(wrong) == {}


def test_fields_named_are_those_returned():
    def wrong(path, opening, said, example):
        returns, words = FUNCTIONS[path].returns, said.get("Returns", "")
        if isinstance(returns, str):
            return ""
        return set(re.findall(r"(\w+) \([^)]*\)", words)) - set(returns)

    assert offenders(wrong) == {}


def test_sources_named_are_those_declared():
    def wrong(path, opening, said, example):
        words = set(re.findall(r"[\w-]+", said["Source"]))
        named = words & set(references())
        like_a_key = {w for w in words if re.fullmatch(r"[A-Z]\w*[a-z]\w*\d{4}\w?", w)}
        return named ^ set(FUNCTIONS[path].sources) or like_a_key - named

    assert offenders(wrong) == {}


def test_sources_exist():
    # A range may also name a row of parameters.csv or another origin in words, with a space.
    def wrong(path, opening, said, example):
        function = FUNCTIONS[path]
        used = {*function.sources, *(r.source for r in function.rules.values() if r.source)}
        return {key for key in used - set(references()) if " " not in key}

    assert offenders(wrong) == {}


def test_examples_call_the_function_and_show_what_comes():
    def wrong(path, opening, said, example):
        examples = doctest.DocTestParser().get_examples(example)
        called = any(f"{FUNCTIONS[path].name}(" in each.source for each in examples)
        return not called or not any(each.want for each in examples)

    assert offenders(wrong) == {}


def test_a_reader_sees_all_sections_in_order():
    def wrong(path, opening, said, example):
        text = inspect.getdoc(FUNCTIONS[path])
        heads = re.findall(r"^(\w+)\n-+$", text, flags=re.MULTILINE)
        lost = [
            words for words in said.values() if "(" not in words and words.split()[0] not in text
        ]
        return heads != SECTIONS or lost

    assert offenders(wrong) == {}


def example(length, loud=False, colour=None):
    """Return a length, in m.

    It is long.

    Equation: L = L.

    length: From end to end.
    Returns: As given.
    Raises: it is the longest.
    Source: Someone2000.
    Validity: here.

    >>> example(1)
    1
    """


def test_what_is_composed_says_what_the_rules_say():
    from aqualib.validity import Range, YesNo

    rules = {"length": Range(0, 5, "m", "Someone2000"), "loud": YesNo(), "colour": Range(1, 2)}
    text = composed(example.__doc__, inspect.signature(example), rules, "m")
    assert "length : quantity, 0 to 5 m (range: Someone2000)\n    From end to end." in text
    assert "loud : True or False, False if left out\n" in text
    assert "colour : plain number, 1 to 2, may be left out\n" in text
    assert "quantity in m\n    As given." in text
    assert "If a value is out of range or has the wrong unit, or it is the longest." in text
    assert text.index("Raises") < text.index("Source: Someone2000.") < text.index(">>> example(1)")


def test_defaults_are_told_in_the_unit_of_the_range():
    text = FUNCTIONS["water.oxygen.saturation"].__doc__
    assert "pressure : quantity, 0.5 to 1.1 atm, 1 atm if left out" in text


def test_a_label_stands_once():
    with pytest.raises(ValueError, match="stands twice"):
        parts_of("Return.\n\nSource: a.\nSource: b.\n", {})


@pytest.mark.parametrize("module_name", ["aqualib", *module_names()])
def test_examples_run(module_name):
    module = importlib.import_module(module_name)
    tests = doctest.DocTestFinder().find(module, extraglobs={"Q": Q})
    names = {test.name.rpartition(".")[2] for test in tests if test.examples}
    public = {f.name for f in FUNCTIONS.values() if f.__module__ == module_name}
    assert public <= names, "an example was not found"
    runner = doctest.DocTestRunner(verbose=False)
    report: list[str] = []
    for test in tests:
        runner.run(test, out=report.append)
    assert runner.summarize(verbose=False).failed == 0, "".join(report)
