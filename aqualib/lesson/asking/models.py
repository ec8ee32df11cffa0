"""Functions that learners write: tried beside ours, or beside what was measured."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from aqualib.lesson.asking.task import MISTAKE, ODD, RIGHT, WRONG
from aqualib.parameters import parameter
from aqualib.tank.maturation import monod_growth
from aqualib.tank.upkeep import after_water_changes
from aqualib.units import number
from aqualib.validity import ValidityError, quoted

Written = Callable[..., Any]
Cases = Sequence[tuple[float, ...]]
Data = Mapping[str, Sequence[float]]
CLOSE = 0.005
"""A learner's sum may differ from ours by this share: constants may be rounded."""
NOT_YET = "Nothing written yet: the function returns None."

FAR = 3.0
"""How many times its own scatter a mean may lie off before the law is said to fail."""


class StoppedError(Exception):
    """The learner's function gave no number; its words say why."""


def tried(name: str, written: Written, data: Data) -> tuple[str, str]:
    """Return what was found of a function, "" if nothing is written yet, and say it in words.

    `data` is what was measured, where the exercise has it.
    """
    if not callable(written):
        raise ValidityError(name, quoted(written), "a function", "", "is no function")
    try:
        return MODELS[name](written, data)
    except StoppedError as stopped:
        return ("", NOT_YET) if str(stopped) == NOT_YET else (ODD, str(stopped))


def _of(written: Written, *given: float) -> float:
    """Return what the learner's function makes of some numbers, or say in words why not."""
    called = ", ".join(number(each) for each in given)
    try:
        found = written(*given)
        if found is None:
            raise StoppedError(NOT_YET)
        value = float(found)
    except StoppedError:
        raise
    except Exception as problem:  # noqa: BLE001 - whatever a learner wrote, it is told in words
        told = f"{type(problem).__name__}: {str(problem)[:120]}"
        raise StoppedError(f"Your function stopped at ({called}) with {told}.") from None
    if not math.isfinite(value):
        raise StoppedError(f"Your function gives no number at ({called}).")
    return value


def _beside(
    written: Written, ours: Written, cases: Cases, slips: dict[str, Written]
) -> tuple[str, str]:
    """Set a function beside ours at many cases, and beside what is often written instead."""
    mine = [_of(written, *case) for case in cases]
    right = [ours(*case) for case in cases]
    if _same(mine, right):
        return RIGHT, f"Yes: at all {len(cases)} cases your function gives what ours does."
    for words, slip in slips.items():
        if _same(mine, [slip(*case) for case in cases]):
            return MISTAKE, f"Not yet. {words}"
    case, a, b = max(zip(cases, mine, right, strict=True), key=lambda row: abs(row[1] - row[2]))
    called = ", ".join(number(each) for each in case)
    return WRONG, f"Not yet: at ({called}) yours gives {number(a)}, ours {number(b)}."


def _same(mine: list[float], other: list[float]) -> bool:
    size = max(abs(each) for each in other)
    return all(abs(a - b) <= CLOSE * abs(b) + 1e-6 * size for a, b in zip(mine, other, strict=True))


def _growth(written: Written, _: Data) -> tuple[str, str]:
    """dX/dt of ammonia oxidisers at 20 °C with plenty of oxygen: my_growth(x, ammonia)."""
    fastest, decay, half = (
        parameter(name).value
        for name in ("ammonia_oxidiser_growth", "ammonia_oxidiser_decay",
                     "total_ammonia_half_saturation")
    )  # fmt: skip
    plenty = (1.0, 1e-9)

    def speed(ammonia: float) -> float:
        return float(monod_growth.bare(fastest, ammonia, half, *plenty))

    def ours(x: float, ammonia: float) -> float:
        return (speed(ammonia) - decay) * x

    slips = {
        "You left out that some die: take the decay off.": lambda x, s: speed(s) * x,
        "That is for one microbe: times x.": lambda _, s: speed(s) - decay,
        "Food is counted as if more always made faster: divide by half + ammonia.":
            lambda x, s: (fastest * s / half - decay) * x,
        "Do they grow at full speed without food? Multiply by ammonia / (half + ammonia).":
            lambda x, _: (fastest - decay) * x,
    }  # fmt: skip
    cases = [(x, s) for x in (0.1, 1.0, 5.0) for s in (0.0, 0.05, 0.5, 2.0, 10.0)]
    return _beside(written, ours, cases, slips)


def _change(written: Written, _: Data) -> tuple[str, str]:
    """Nitrate after one round: my_round(nitrate, rise, share, tap), before the next rise."""

    def ours(nitrate: float, rise: float, share: float, tap: float) -> float:
        return float(after_water_changes.bare(nitrate, rise, share, tap, 1))

    slips = {
        "The tap brings nitrate too: add the share times the tap.":
            lambda n, r, x, _: (n + r) * (1 - x),
        "You changed the water first: it rises, and then a change cuts it.":
            lambda n, r, x, t: n * (1 - x) + t * x + r,
        "You kept the share that is changed: what stays is 1 - share.":
            lambda n, r, x, t: (n + r) * x + t * (1 - x),
        "Food goes on making nitrate: add the rise.":
            lambda n, _, x, t: n * (1 - x) + t * x,
    }  # fmt: skip
    shares = ((0.1, 0.0), (0.25, 8.0), (0.5, 40.0))
    cases = [(n, r, x, t) for n in (0.0, 40.0, 120.0) for r in (0.0, 20.0) for x, t in shares]
    return _beside(written, ours, cases, slips)


def _law(written: Written, data: Data) -> tuple[str, str]:
    """A law of speed against concentration, tried on measured speeds: where does it fail?"""
    at, pairs = data["concentration"], list(zip(data["first"], data["second"], strict=True))
    scatter = math.sqrt(sum((a - b) ** 2 / 2 for a, b in pairs) / len(pairs))
    means = [sum(pair) / 2 for pair in pairs]
    fails = list(_failures(written, at, means, FAR * scatter / math.sqrt(2)))
    if not fails:
        return RIGHT, (
            f"The data do not refute it: at all {len(at)} concentrations your law lies within the "
            "scatter. That does not prove it; another law may do as well."
        )
    return WRONG, (
        f"The data refute it at {len(fails)} of {len(at)} concentrations: {'; '.join(fails)}. "
        "Well done if you meant it to fail. Now mend it."
    )


def _failures(
    written: Written, at: Sequence[float], means: Sequence[float], far: float
) -> Iterator[str]:
    for concentration, mean in zip(at, means, strict=True):
        says = _of(written, concentration)
        if abs(says - mean) > far:
            where = f"at {number(concentration)}"
            yield f"{where} it says {number(says)}, measured {number(mean)}"


MODELS: dict[str, Callable[[Written, Data], tuple[str, str]]] = {
    "growth": _growth,
    "change": _change,
    "law": _law,
}
