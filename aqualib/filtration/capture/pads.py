"""Trays: the pads and the settling space that make a filter, with what is assumed of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from aqualib.arguments import plain_number
from aqualib.filtration.capture.stages import grade_efficiency
from aqualib.parameters import parameter
from aqualib.validity import OneOf, Range, ValidityError

GRADES = ("coarse", "medium", "fine")
AREAS = Range(1, 1e6, "cm**2")
DEPTHS = Range(1, 2000, "mm")


@dataclass(frozen=True, slots=True)
class Pad:
    """A pad or sponge across the flow; all numbers in SI base units.

    `deposit_limit` is the share of the room inside that may be full before cleaning.
    """

    name: str
    area: float
    depth: float
    cut_size: float
    sharpness: float
    aperture: float
    reference_depth: float
    voidage: float
    permeability: float
    inertial_permeability: float
    deposit_density: float
    deposit_limit: float

    @property
    def room(self) -> float:
        """Dry solids in kg that would fill every pore."""
        return self.area * self.depth * self.voidage * self.deposit_density

    @property
    def capacity(self) -> float:
        """Dry solids in kg at which the pad is due for cleaning."""
        return self.room * self.deposit_limit

    def efficiency(self, diameters: Any) -> Any:
        """Return the share held of particles of these diameters in m."""
        ratio = self.depth / self.reference_depth
        return grade_efficiency.bare(diameters, self.cut_size, self.sharpness, ratio, self.aperture)


@dataclass(frozen=True, slots=True)
class SettlingSpace:
    """An empty space in which dirt sinks to the floor; all numbers in SI base units."""

    name: str
    area: float
    depth: float
    cells: float
    deposit_density: float

    @property
    def room(self) -> float:
        """Dry solids in kg that would fill the space."""
        return self.area * self.depth * self.deposit_density

    @property
    def capacity(self) -> float:
        """Dry solids in kg at which the space holds no more."""
        return self.room


def pad(grade: str, area: Any, depth: Any, **changes: float) -> Pad:
    """Return a "coarse", "medium" or "fine" pad, its nature from `data/parameters.csv`.

    `changes` replace fields of `Pad`, in SI base units. Cut sizes and limits are assumed.
    """
    if grade not in GRADES:
        raise ValidityError("grade", repr(grade), OneOf(GRADES).text, "", "is not a grade")
    of_grade = ("cut_size", "permeability", "inertial_permeability")
    of_any = ("sharpness", "reference_depth", "voidage", "deposit_density", "deposit_limit")
    nature = {name: parameter(f"{grade}_pad_{name}").bare for name in of_grade}
    nature |= {name: parameter(f"pad_{name}").bare for name in of_any}
    nature |= changes
    nature.setdefault("aperture", nature["cut_size"] * parameter("pad_aperture_ratio").bare)
    return Pad(grade, *_area_and_depth(area, depth), **nature)


def settling_space(area: Any, depth: Any, **changes: float) -> SettlingSpace:
    """Return a settling space of this floor and height, its nature from `data/parameters.csv`."""
    names = ("cells", "deposit_density")
    nature = {name: parameter(f"settling_{name}").bare for name in names}
    return SettlingSpace("settling", *_area_and_depth(area, depth), **{**nature, **changes})


def renamed(stages: Any) -> tuple[Any, ...]:
    """Return the stages with a number added to names that occur more than once."""
    names = [stage.name for stage in stages]
    seen: dict[str, list[int]] = {n: [i for i, m in enumerate(names) if m == n] for n in names}
    return tuple(
        replace(s, name=f"{s.name} {seen[s.name].index(i) + 1}") if seen[s.name][1:] else s
        for i, s in enumerate(stages)
    )


def _area_and_depth(area: Any, depth: Any) -> tuple[float, float]:
    return plain_number("area", area, AREAS), plain_number("depth", depth, DEPTHS)
