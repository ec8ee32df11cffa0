"""One file, one chart with the record that it draws; what two charts share stands in drawing/."""

import ast
import importlib
import inspect
import pkgutil
import typing
from pathlib import Path

import pytest

from aqualib.lesson import charts, drawing
from aqualib.lesson.drawing.picture import Chart

NAMES = [module.name for module in pkgutil.iter_modules(charts.__path__)]


def module_of(name):
    return importlib.import_module(f"{charts.__name__}.{name}")


def charts_in(module):
    return [
        thing
        for _, thing in inspect.getmembers(module, inspect.isclass)
        if issubclass(thing, Chart) and thing.__module__ == module.__name__
    ]


def imports(path):
    for node in ast.walk(ast.parse(Path(path).read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            yield node.module


@pytest.mark.parametrize("name", NAMES)
def test_a_file_holds_one_chart_and_its_record(name):
    module = module_of(name)
    (chart,) = charts_in(module)
    (base,) = chart.__orig_bases__
    (shown,) = typing.get_args(base)
    # None beside it where there may be nothing to show.
    result = next((one for one in typing.get_args(shown) if one is not type(None)), shown)
    assert result.__module__ == module.__name__
    # What it shows is told with its units.
    assert inspect.getdoc(result)
    drawn = list(inspect.signature(chart.update).parameters.values())[1].annotation
    assert drawn.removesuffix(" | None") == result.__name__


def test_no_chart_borrows_from_another_and_no_tool_from_a_chart():
    wrong = []
    for room in (charts, drawing):
        for path in Path(room.__path__[0]).glob("*.py"):
            above = ("aqualib.lesson.charts", "aqualib.lesson.panel")
            wrong += [f"{path.name}: {name}" for name in imports(path) if name.startswith(above)]
    assert wrong == []


def test_each_chart_has_its_test():
    here = Path(__file__).parent
    assert [name for name in NAMES if not (here / f"test_{name}.py").is_file()] == []
