"""One file, one panel: in each the same names, and numbers of the trade from their rows."""

import importlib
import inspect
import pkgutil

import pytest

from aqualib.lesson import panels
from aqualib.lesson.panels import maturing_a_filter
from aqualib.parameters import parameter

NAMES = [module.name for module in pkgutil.iter_modules(panels.__path__)]


def own_functions(module):
    return {
        name: function
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__
    }


def compute_result(module):
    return module.compute.__annotations__["return"]


@pytest.mark.parametrize("name", NAMES)
def test_a_file_holds_one_panel_by_the_same_names(name):
    module = importlib.import_module(f"{panels.__name__}.{name}")
    own = own_functions(module)
    result = compute_result(module)
    for reader in ("describe", "answer"):
        (argument,) = inspect.signature(own[reader]).parameters.values()
        # None where there is nothing to show, such as a log that cannot be read.
        assert argument.annotation.removesuffix(" | None") == result
    assert [n for n, one in own.items() if one.__annotations__.get("return") == "Panel"] == [
        n for n in own if n.endswith("_panel")
    ]
    assert getattr(module, result).__module__.startswith("aqualib.lesson.charts.")


@pytest.mark.parametrize("name", NAMES)
def test_the_panel_in_a_file_is_made_of_these_names(name, monkeypatch):
    module = importlib.import_module(f"{panels.__name__}.{name}")
    (make,) = (one for n, one in own_functions(module).items() if n.endswith("_panel"))
    monkeypatch.setattr(module, "Panel", lambda *parts: parts)
    _title, _controls, compute, chart, describe, answer, *_refine = make()
    # A panel for one keeper's log computes with that log.
    assert getattr(compute, "func", compute) is module.compute
    assert (describe, answer) == (module.describe, module.answer)
    record = getattr(module, compute_result(module))
    assert record.__module__ == type(chart).__module__


def test_words_follow_the_rows_they_speak_of():
    seeds = {seed: share for seed, (_, share) in maturing_a_filter.SEEDS.items()}
    assert seeds == {seed: parameter(f"seed_{seed}").value for seed in seeds}
    assert sorted(seeds.values()) == list(seeds.values())
    # "For four weeks", says the label of the binder; "a third of a ripe filter", that of the seed.
    assert parameter("binder_days").value == 4 * 7
    assert seeds["third"] == pytest.approx(1 / 3, abs=0.04)
    assert maturing_a_filter.LAMP["later"].endswith(f"day {parameter('lamp_on_later').value:.0f}")
