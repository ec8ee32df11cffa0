"""Each public docstring keeps the contract, says the ranges the code uses, and its example runs."""

from __future__ import annotations

import doctest
import importlib
import inspect
import re

import pytest
from inventory import module_names, public_functions

from aqualib.edge import SAME
from aqualib.sources import references
from aqualib.units import label, set_units
from aqualib.validity import AnyAmount, OneOf, Range, YesNo

FUNCTIONS = public_functions()
SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "Examples")
NOTES = ("Source:", "Validity:", "Departures:")
EACH = pytest.mark.parametrize("path", FUNCTIONS)


@pytest.fixture(autouse=True)
def metric_units():
    set_units("metric")
    yield
    set_units("metric")


def sections_of(path: str) -> dict[str, str]:
    """The docstring cut at its numpydoc headings; what comes before them is under ""."""
    text = inspect.getdoc(FUNCTIONS[path]) or ""
    parts = re.split(r"^(\w+)\n-+\n", text, flags=re.MULTILINE)
    found = dict(zip(parts[1::2], (part.strip() for part in parts[2::2]), strict=True))
    assert len(found) == len(parts) // 2, "a heading stands twice"
    return {"": parts[0].strip(), **found}


def note_parts(path: str) -> dict[str, str]:
    text = sections_of(path)["Notes"]
    parts = re.split(r"^(Source:|Validity:|Departures:)", text, flags=re.MULTILINE)
    assert parts[0].strip() == "", "Notes begin with Source:"
    assert parts[1::2] == list(NOTES), "Notes are Source:, Validity:, Departures:, in this order"
    return dict(zip(parts[1::2], (part.strip() for part in parts[2::2]), strict=True))


@EACH
def test_order_of_sections(path):
    assert list(sections_of(path)) == ["", *SECTIONS]
    assert all(sections_of(path).values())


@EACH
def test_opening(path):
    paragraphs = re.split(r"\n\s*\n", sections_of(path)[""])
    assert len(paragraphs) == 3, "what it returns, what that means to a keeper, the equation"
    summary, meaning, equation = paragraphs
    assert re.match(r"Return [^\n]+\.$", summary), "one line: Return ..., in which unit."
    assert meaning[0].isupper() or meaning[0].isdigit()
    assert meaning.endswith(".")
    assert equation.startswith("Equation: ")


def wanted_text(rule: Range | AnyAmount | OneOf | YesNo) -> str:
    """How the docstring must give a parameter's range, as a pattern."""
    if isinstance(rule, AnyAmount):
        return rf"quantity, {re.escape(rule.text)}($| \(|,)"
    if isinstance(rule, Range):
        kind = "quantity" if rule.unit else r"plain number( \([^)]+\))?"
        return rf"{kind}, {re.escape(rule.text)}($| \(|,)"
    return rf"{re.escape(rule.text)}($| \(|,)"


@EACH
def test_parameters_are_those_of_the_function_with_its_ranges(path):
    listed = re.findall(r"^(\w+) : (.+)$", sections_of(path)["Parameters"], flags=re.MULTILINE)
    rules = FUNCTIONS[path].rules
    assert [name for name, _ in listed] == list(rules)
    for name, text in listed:
        assert re.match(wanted_text(rules[name]), text), (
            f"{name} : {text!r} does not give the range {rules[name].text!r}"
        )


@EACH
def test_returns_names_unit_and_fields(path):
    text = sections_of(path)["Returns"]
    returns = FUNCTIONS[path].returns
    for name, unit in ({"": returns} if isinstance(returns, str) else returns).items():
        assert name in text
        wanted = {unit, label(unit)} if unit else {"plain number"}
        if unit == SAME:
            wanted = {"same unit", "unit given", "unit of"}
        assert any(word in text for word in wanted), f"Returns does not say {wanted}"


@EACH
def test_raises_validity_error(path):
    assert sections_of(path)["Raises"].startswith("ValidityError\n")


@EACH
def test_sources_named_are_those_declared(path):
    text = note_parts(path)["Source:"]
    words = set(re.findall(r"[\w-]+", text))
    named = words & set(references())
    assert named == set(FUNCTIONS[path].sources)
    looks_like_key = {word for word in words if re.fullmatch(r"[A-Z]\w*[a-z]\w*\d{4}\w?", word)}
    assert looks_like_key <= named, f"not in references.json: {looks_like_key - named}"


@EACH
def test_sources_exist(path):
    function = FUNCTIONS[path]
    used = {*function.sources, *(rule.source for rule in function.rules.values() if rule.source)}
    unknown = used - set(references())
    # A range may also name a row of parameters.csv or another origin in words, with a space.
    assert not {key for key in unknown if " " not in key}, f"unknown sources: {unknown}"


@EACH
def test_notes_are_filled(path):
    parts = note_parts(path)
    assert all(parts.values())
    assert parts["Validity:"].endswith(".")
    assert parts["Departures:"].endswith(".")


@EACH
def test_function_has_an_example(path):
    text = sections_of(path)["Examples"]
    examples = doctest.DocTestParser().get_examples(text)
    assert any(f"{FUNCTIONS[path].name}(" in example.source for example in examples)
    assert any(example.want for example in examples)


@pytest.mark.parametrize("module_name", ["aqualib", *module_names()])
def test_examples_run(module_name):
    module = importlib.import_module(module_name)
    tests = doctest.DocTestFinder().find(module)
    names = {test.name.rpartition(".")[2] for test in tests if test.examples}
    public = {f.name for f in FUNCTIONS.values() if f.__module__ == module_name}
    assert public <= names, "an example was not found"
    runner = doctest.DocTestRunner(verbose=False)
    report: list[str] = []
    for test in tests:
        runner.run(test, out=report.append)
    assert runner.summarize(verbose=False).failed == 0, "".join(report)
