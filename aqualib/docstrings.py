"""The docstring a reader sees: what a function says of itself, and what its signature says.

The source holds only what the signature cannot say. First come three paragraphs: what is returned,
what that means to a keeper, and `Equation:`. Then lines that begin with a label: the name of a
parameter, `Returns:`, `Raises:` (what is refused beyond ranges and units), `Source:`,
`Validity:`, `Departures:`. Last comes an example that runs. Ranges, units and defaults are
written here from the rules themselves, so they cannot differ from what holds.
"""

from __future__ import annotations

import inspect
import re
import textwrap
from collections.abc import Mapping
from typing import Any

from aqualib.units import base_unit, line_to, number
from aqualib.validity import AnyAmount, Kind, OneOf, Range, Rule, Turned, YesNo

NOTES = ("Source", "Validity", "Departures")
WIDTH = 96

LABELS = ("Returns", "Raises", *NOTES)


def parts_of(text: str, parameters: Mapping[str, Any]) -> tuple[str, dict[str, str], str]:
    """Return the opening, the labelled lines by label, and the example of a source docstring."""
    text = inspect.cleandoc(text)
    before, mark, example = text.partition("\n>>> ")
    labels = "|".join(map(re.escape, [*parameters, *LABELS]))
    pieces = re.split(rf"^({labels}): ", before, flags=re.MULTILINE)
    said: dict[str, str] = {}
    for label, words in zip(pieces[1::2], pieces[2::2], strict=True):
        if label in said:
            message = f"label {label!r} stands twice"
            raise ValueError(message)
        said[label] = " ".join(words.split())
    return pieces[0].strip(), said, f">>> {example}" if mark else ""


def composed(
    text: str,
    signature: inspect.Signature,
    rules: Mapping[str, Rule | None],
    returns: str | Mapping[str, str],
) -> str:
    """Return the docstring a reader sees, with the sections of numpydoc."""
    opening, said, example = parts_of(text, rules)
    sections = {
        "Parameters": "\n".join(
            _with_words(f"{name} : {_kind_of(name, rule, signature)}", said.get(name, ""))
            for name, rule in rules.items()
        ),
        "Returns": _returns(returns, signature, rules, said.get("Returns", "")),
        "Raises": _with_words("ValidityError", _refusals(rules, said.get("Raises", ""))),
        "Notes": "\n".join(_filled(f"{n}: {said[n]}") for n in NOTES if n in said),
        "Examples": example,
    }
    body = [f"{head}\n{'-' * len(head)}\n{lines}" for head, lines in sections.items() if lines]
    return "\n\n".join([opening, *body]) + "\n"


def _with_words(head: str, words: str) -> str:
    return f"{head}\n{_filled(words, '    ')}" if words else head


def _filled(words: str, indent: str = "") -> str:
    """Return text in lines as long as the page of a terminal bears; nothing is cut in two."""
    return textwrap.fill(
        words,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _kind_of(name: str, rule: Rule | None, signature: inspect.Signature) -> str:
    match rule:
        case AnyAmount():
            kind = f"quantity, {rule.text}"
        case Range():
            plain = "plain number (practical salinity)" if name == "salinity" else "plain number"
            kind = f"{'quantity' if rule.unit else plain}, {rule.text}"
        case OneOf() | YesNo() | Kind() | Turned():
            kind = rule.text
        case None:
            kind = "as said"
    default = signature.parameters[name].default
    if default is None:
        kind += ", may be left out"
    elif default is not inspect.Parameter.empty:
        kind += f", {_shown(default, rule)} if left out"
    return f"{kind} (range: {rule.source})" if rule is not None and rule.source else kind


def _shown(default: Any, rule: Rule | None) -> str:
    """Return a default, which is in SI base units, in the unit of its rule."""
    if not isinstance(rule, Range) or isinstance(default, bool):
        return f'"{default}"' if isinstance(default, str) else str(default)
    factor, offset = line_to(base_unit(rule.unit), rule.unit) if rule.unit else (1.0, 0.0)
    return f"{number(factor * default + offset, 6)} {rule.unit}".strip()


def _returns(
    returns: str | Mapping[str, str],
    signature: inspect.Signature,
    rules: Mapping[str, Rule | None],
    words: str,
) -> str:
    if isinstance(returns, str):
        if returns == "same":
            first = next(name for name, rule in rules.items() if isinstance(rule, AnyAmount))
            return _with_words(f"quantity in the unit of `{first}`", words)
        return _with_words(_unit_of(returns), words)
    of_field = dict(re.findall(r"\b(\w+) \(([^)]*)\)", words))
    lines = [
        f"    {field} : {_unit_of(unit)}" + (f", {of_field[field]}" if field in of_field else "")
        for field, unit in returns.items()
    ]
    name = getattr(signature.return_annotation, "__name__", "several results")
    return "\n".join([name, *lines])


def _unit_of(unit: str) -> str:
    return f"quantity in {unit}" if unit else "plain number"


def _refusals(rules: Mapping[str, Rule | None], more: str) -> str:
    """Return when a call is refused."""
    with_unit = any(isinstance(r, AnyAmount) or getattr(r, "unit", "") for r in rules.values())
    ranged = any(isinstance(rule, Range | AnyAmount) for rule in rules.values())
    reasons = ["If a value is out of range" if ranged else "If a value is not one of the choices"]
    reasons += ["has the wrong unit"] if with_unit else []
    return ", or ".join([" or ".join(reasons), *filter(None, [more.rstrip(".")])]) + "."
