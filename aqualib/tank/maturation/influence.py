"""What the ready day hangs on: how much of its spread each parameter accounts for."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import Any

import numpy as np

from aqualib.arguments import one_number
from aqualib.draws import at_share
from aqualib.tank.maturation.forecast import CHUNK, follow, whole_seed
from aqualib.tank.maturation.rates import NAMES, best_values
from aqualib.tank.maturation.scenario import Scenario, must_be_scenario
from aqualib.validity import Range, ValidityError

SAMPLES = Range(16, 65536, whole=True)


@dataclass(frozen=True)
class Influence:
    """What one parameter does to the ready day, as shares of its variance (Sobol indices)."""

    name: str
    alone: float
    """First-order index: what the parameter explains by itself."""
    total: float
    """Total index: with all that it does together with others."""
    doubt: float
    """Half-width of the 95 % confidence interval of `total`, from too few samples."""


def sensitivity(scenario: Scenario, samples: int = 256, seed: int = 0) -> tuple[Influence, ...]:
    """Return the influence of each parameter on the ready day, the strongest first.

    A set that does not get ready within the scenario counts with the last day, so give enough
    days. `samples` is a power of two; there are 28 times as many runs. Needs the extra `studies`.
    """
    must_be_scenario(scenario)
    count, start = int(one_number("samples", samples, SAMPLES)), whole_seed(seed)
    if count & (count - 1):
        valid = "a power of two such as 256"
        raise ValidityError("samples", str(count), valid, "", "is not a power of two")
    sample, analyze = optional("SALib.sample.sobol"), optional("SALib.analyze.sobol")
    names = list(NAMES)
    bounds = [[0.0, 1.0]] * len(names)
    problem: dict[str, Any] = {"num_vars": len(names), "names": names, "bounds": bounds}
    places = sample.sample(problem, count, calc_second_order=False, seed=start)
    days = ready_days(scenario, places)
    if np.ptp(days) == 0.0:
        return tuple(Influence(name, 0.0, 0.0, 0.0) for name in names)
    found = analyze.analyze(problem, days, calc_second_order=False, seed=start)
    rows = zip(names, found["S1"], found["ST"], found["ST_conf"], strict=True)
    influences = [Influence(name, float(a), float(t), float(c)) for name, a, t, c in rows]
    return tuple(sorted(influences, key=lambda influence: -influence.total))


def ready_days(scenario: Scenario, places: Any) -> Any:
    """Return the ready day for each row of quantiles (0 to 1, in the order of `growth.NAMES`)."""
    days = []
    for first in range(0, len(places), CHUNK):
        part = places[first : first + CHUNK]
        values: dict[str, Any] = dict(best_values())
        for column, name in enumerate(NAMES):
            values[name] = at_share(name, part[:, column])
        days.append(follow(scenario, values).ready_days)
    return np.minimum(np.concatenate(days), scenario.in_days.days)


def optional(module: str) -> Any:
    """Return a module of the extra `studies`, or say what to install."""
    try:
        return import_module(module)
    except ImportError:
        message = f"{module.partition('.')[0]} is missing; install aqualib[studies]"
        raise ImportError(message) from None
