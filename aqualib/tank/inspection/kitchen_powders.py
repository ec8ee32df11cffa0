"""The cut test: flour, semolina and poppy seeds poured through a pad tell how fine it is."""

from __future__ import annotations

import math
from collections.abc import Mapping

from aqualib.draws import Span
from aqualib.filtration.capture.pads import GRADES
from aqualib.parameters import parameter
from aqualib.tank.inspection.sieve_law import cut_size_from_catch
from aqualib.units import from_si, number
from aqualib.validity import OneOf, ValidityError, quoted

POWDERS = {"flour": "wheat_flour_size", "semolina": "semolina_size", "poppy": "poppy_seed_size"}
"""What stands in a kitchen, from fine to coarse -> the row of its size."""
HELD = ("hardly any", "about half", "nearly all")
"""How much of a powder stays in the pad, as an eye can tell."""


def bounds_of(held: str) -> tuple[float, float]:
    """Return the least and the greatest share that these words may mean."""
    little, most = parameter("held_little").value, parameter("held_most").value
    return {HELD[0]: (0.0, little), HELD[1]: (little, most), HELD[2]: (most, 1.0)}[held]


def cut_from_powders(catches: Mapping[str, str], thickness: float) -> Span:
    """Return the cut size of a pad in m, low, best and high.

    `catches` is what stayed in the pad of "flour", "semolina" and "poppy", in the words of `HELD`;
    `thickness` is the pad's, in m. Each answer bounds the cut size on one side or on both. The
    best guess lies in the middle of the bounds; low and high also hold the doubt in the grains.
    """
    for powder, held in catches.items():
        _check(powder, POWDERS, "powder")
        _check(held, HELD, powder)
    sizes = {name: parameter(row) for name, row in POWDERS.items() if name in catches}
    if not sizes:
        raise ValidityError("catches", "none", OneOf(tuple(POWDERS)).text, "", "tell nothing")
    least, most = _limits(catches, {n: (row.bare, row.bare) for n, row in sizes.items()}, thickness)
    if least > most:
        shown = ", ".join(f"{held} of the {powder}" for powder, held in catches.items())
        valid = "no coarser powder held less than a finer one"
        raise ValidityError("catches", shown, valid, "", "fit no pad; pour them again")
    ends = {n: (row.to_base(row.low), row.to_base(row.high)) for n, row in sizes.items()}
    low, high = _limits(catches, ends, thickness)
    best = math.sqrt(least * most)
    return Span(min(low, best), best, max(high, best))


def _limits(
    catches: Mapping[str, str], ends: Mapping[str, tuple[float, float]], thickness: float
) -> tuple[float, float]:
    """Return the greatest lower and the least upper bound; the open side ends with the grades."""
    fine, coarse = parameter("fine_pad_cut_size"), parameter("coarse_pad_cut_size")
    least, most = [fine.to_base(fine.low)], [coarse.to_base(coarse.high)]
    ratio = thickness / parameter("pad_reference_depth").bare
    for powder, held in catches.items():
        few, many = bounds_of(held)
        small, large = ends[powder]
        if many < 1.0:
            least.append(_cut(small, many, ratio))
        if few > 0.0:
            most.append(_cut(large, few, ratio))
    lower = max(least)
    # A pad that lets poppy seeds pass is coarser than any grade: that is no contradiction.
    upper = min(most) if len(most) > 1 else max(most[0], lower)
    return lower, upper


def _cut(diameter: float, held: float, ratio: float) -> float:
    sharpness = parameter("pad_sharpness").value
    return float(cut_size_from_catch.bare(diameter, held, sharpness, ratio))


def grade_of(cut: float) -> str:
    """Return the grade whose cut size is nearest to this one, in m."""
    return min(GRADES, key=lambda grade: abs(math.log(cut / _of_grade(grade))))


def _of_grade(grade: str) -> float:
    return parameter(f"{grade}_pad_cut_size").bare


def in_micrometres(cut: Span) -> str:
    """Return a cut size in words, with its doubt."""
    low, best, high = (number(from_si(end, "um"), 2) for end in cut)
    return f"cut size about {best} µm ({low} to {high})"


def _check(word: object, valid: Mapping[str, str] | tuple[str, ...], name: str) -> None:
    if word not in valid:
        raise ValidityError(name, quoted(word), OneOf(tuple(valid)).text, "", "is none of these")
