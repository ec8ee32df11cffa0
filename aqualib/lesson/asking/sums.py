"""A sum written in the exercise file, such as "tank.volume.cylinder_volume(d, h) / 2", worked out.

It is data, so it may do little: numbers, the names it is given, plain arithmetic, and calls of
public functions of the science by the name their check rows use.
"""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any

from aqualib.checks import find_function
from aqualib.parameters import parameter
from aqualib.units import Q, registry
from aqualib.validity import ValidityError

STEPS: dict[type[ast.AST], Callable[..., Any]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
}
PLAIN: dict[str, Callable[..., Any]] = {
    "Q": Q,
    "row": lambda name: parameter(name).quantity if parameter(name).unit else parameter(name).value,
    "exp": lambda x: math.exp(_plain(x)),
    "log": lambda x: math.log(_plain(x)),
    "sqrt": lambda x: x**0.5,
    "least": min,
    "most": max,
}


@lru_cache(maxsize=1024)
def parsed(text: str, names: frozenset[str]) -> ast.expr:
    """Return a sum as a tree in which only what is allowed stands, or raise."""
    try:
        tree = ast.parse(text, mode="eval").body
    except (SyntaxError, ValueError, RecursionError):
        raise _refused(text, "is no sum") from None
    for node in ast.walk(tree):
        _look_at(node, text, names)
    return tree


def functions_in(tree: ast.expr) -> set[str]:
    """Return the names of the public functions that a sum calls."""
    calls = (node.func for node in ast.walk(tree) if isinstance(node, ast.Call))
    return {_dotted(func) for func in calls} - set(PLAIN)


def worked_out(tree: ast.expr, values: Mapping[str, Any], unit: str) -> float:
    """Return a sum as a plain number in `unit`."""
    found = _value(tree, values)
    if isinstance(found, registry.Quantity):
        return float(found.m_as(unit or "dimensionless"))
    if unit not in {"", "percent"}:
        raise _refused(ast.unparse(tree), f"has no unit, and should be in {unit}")
    return float(found) * (100.0 if unit == "percent" else 1.0)


def _value(node: ast.expr, values: Mapping[str, Any]) -> Any:
    match node:
        case ast.Constant():
            return node.value
        case ast.Name():
            return values[node.id]
        case ast.UnaryOp():
            return STEPS[type(node.op)](_value(node.operand, values))
        case ast.BinOp():
            return STEPS[type(node.op)](_value(node.left, values), _value(node.right, values))
        case ast.Attribute():
            return getattr(_value(node.value, values), node.attr)
        case ast.Call():
            given = [_value(each, values) for each in node.args]
            named = {str(word.arg): _value(word.value, values) for word in node.keywords}
            name = _dotted(node.func)
            return (PLAIN[name] if name in PLAIN else find_function(name))(*given, **named)
    raise _refused(ast.unparse(node), "is no sum")


def _look_at(node: ast.AST, text: str, names: frozenset[str]) -> None:
    """Refuse what a sum may not hold."""
    if isinstance(node, ast.Call):
        name = _dotted(node.func)
        if name not in PLAIN:
            find_function(name)
        if any(word.arg is None for word in node.keywords):
            raise _refused(text, "has a call that is not written out")
    elif isinstance(node, ast.Attribute):
        if node.attr.startswith("_"):
            raise _refused(text, f"asks for {node.attr}")
    elif isinstance(node, ast.Name):
        if node.id not in names | set(PLAIN) | {"water", "filtration", "tank"}:
            raise _refused(text, f"has the name {node.id}, which is not given")
    elif not isinstance(
        node, (ast.BinOp, ast.UnaryOp, ast.Constant, ast.keyword, ast.Load, *STEPS)
    ):
        raise _refused(text, f"holds {type(node).__name__}")


def _dotted(node: ast.AST) -> str:
    parts: list[str] = []
    while isinstance(node, ast.Attribute):
        parts.append(node.attr)
        node = node.value
    return ".".join([node.id, *reversed(parts)]) if isinstance(node, ast.Name) else ""


def _plain(value: Any) -> float:
    return float(value.m_as("")) if isinstance(value, registry.Quantity) else float(value)


def _refused(text: str, why: str) -> ValidityError:
    valid = "numbers, the names given, + - * / **, and calls of public functions"
    return ValidityError("sum", repr(text)[:80], valid, "", why)
