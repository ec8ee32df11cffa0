"""Pads and the settling space: the stages that make a filter, with what is assumed of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated, Any, TypeAlias

import numpy as np

from aqualib.arguments import plain
from aqualib.filtration.capture.stages import grade_efficiency
from aqualib.filtration.hydraulics import (
    Loss,
    Resistance,
    foam_inertial_permeability,
    foam_permeability,
    pad_clogging,
    pad_resistance,
)
from aqualib.parameters import parameter
from aqualib.records import Checked
from aqualib.units import Amount, Number, registry
from aqualib.validity import OneOf, Range, ValidityError

GRADES = ("coarse", "medium", "fine")
OF_ANY_GRADE = (
    "sharpness",
    "reference_depth",
    "voidage",
    "deposit_limit",
    "working_face",
    "full_share",
)
"""Fields of a pad that are the same rows for all grades."""
FLOW_AREAS = Range(1, 1e6, "cm**2")
STAGE_DEPTHS = Range(1, 2000, "mm")
HOLES = Range(0.1, 1e5, "um")
DEPOSIT_DENSITIES = Range(0.1, 2000, "kg/m**3")


@dataclass(frozen=True, eq=False)
class Pad(Checked):
    """A pad or sponge across the flow; `pad` makes one of a grade.

    Clean, it holds half of the particles of `cut_size` and all of those wider than its `aperture`.
    Its `working_face` is the depth that fills first; the pad is due for cleaning when the share
    `deposit_limit` of the room there is full. A layer takes dirt until it is full to `full_share`.
    """

    name: str
    area: Annotated[Amount, FLOW_AREAS]
    depth: Annotated[Amount, STAGE_DEPTHS]
    cut_size: Annotated[Amount, HOLES]
    sharpness: Annotated[Number, Range(0.1, 20)]
    aperture: Annotated[Amount, HOLES]
    reference_depth: Annotated[Amount, STAGE_DEPTHS]
    voidage: Annotated[Number, Range(0.2, 0.99)]
    permeability: Annotated[Amount, Range(1e-12, 1e-3, "m**2")]
    inertial_permeability: Annotated[Amount, Range(1e-8, 1e3, "m")]
    deposit_density: Annotated[Amount, DEPOSIT_DENSITIES]
    deposit_limit: Annotated[Number, Range(0.01, 1)]
    working_face: Annotated[Amount, STAGE_DEPTHS]
    full_share: Annotated[Number, Range(0.1, 0.999)]

    def check(self) -> None:
        """Refuse a pad that would be full before it is due."""
        if self.bare.deposit_limit >= self.bare.full_share:
            valid = f"less than full_share, {self.bare.full_share:g}"
            limit, why = f"{self.bare.deposit_limit:g}", "is never reached"
            raise ValidityError("deposit_limit", limit, valid, "", why)

    @property
    def room(self) -> float:
        """Dry solids in kg that would fill every pore."""
        size = self.bare
        return float(size.area * size.depth * size.voidage * size.deposit_density)

    @property
    def capacity(self) -> float:
        """Dry solids in kg in the working face at which the pad is due for cleaning."""
        face = min(1.0, self.bare.working_face / self.bare.depth)
        return self.room * face * float(self.bare.deposit_limit)

    def efficiency(self, diameters: Any) -> Any:
        """Return the share held by the whole clean pad of particles of these diameters in m."""
        return self.layer_efficiency(diameters, self.bare.depth)

    def layer_efficiency(self, diameters: Any, thick: Any) -> Any:
        """Return the share held by a clean layer of it, so many m thick."""
        size = self.bare
        ratio = thick / size.reference_depth
        return grade_efficiency.bare(diameters, size.cut_size, size.sharpness, ratio, size.aperture)

    def resistance(
        self, temperature: float, salinity: float = 0.0, thick: Any = None
    ) -> Resistance:
        """Return what it takes of the head, clean, or what layers of it take, so many m thick."""
        size = self.bare
        depth = size.depth if thick is None else thick
        foam = size.permeability, size.inertial_permeability
        return pad_resistance(size.area, depth, *foam, temperature, salinity)

    def layer_edges(self, count: int) -> Any:
        """Return where its layers begin and end, in m from the side where the water enters.

        One of the edges is the end of the working face.
        """
        size, near = self.bare, self.layers_in_face(count)
        face = min(size.working_face, size.depth)
        return np.append(
            np.linspace(0, face, near + 1), np.linspace(face, size.depth, count - near + 1)[1:]
        )

    def layers_in_face(self, count: int) -> int:
        """Return how many of its layers are its working face."""
        return count if self.bare.working_face >= self.bare.depth else max(1, count // 4)


@dataclass(frozen=True, eq=False)
class SettlingSpace(Checked):
    """An empty space in which dirt sinks to the floor; `settling_space` makes one."""

    name: str
    area: Annotated[Amount, FLOW_AREAS]
    depth: Annotated[Amount, STAGE_DEPTHS]
    cells: Annotated[Number, Range(1, 100)]
    deposit_density: Annotated[Amount, DEPOSIT_DENSITIES]

    @property
    def room(self) -> float:
        """Dry solids in kg that would fill the space."""
        return float(self.bare.area * self.bare.depth * self.bare.deposit_density)

    @property
    def capacity(self) -> float:
        """Dry solids in kg at which the space holds no more."""
        return self.room


Stage: TypeAlias = Pad | SettlingSpace


def pad(grade: str, area: Any, depth: Any, **changes: Any) -> Pad:
    """Return a "coarse", "medium" or "fine" pad; the rest is from `data/parameters.csv`.

    `changes` replace fields of `Pad`: quantities, or plain numbers in SI base units. Cut sizes and
    limits are assumed.
    """
    if grade not in GRADES:
        raise ValidityError("grade", repr(grade), OneOf(GRADES).text, "", "is not a grade")
    given = _bare(Pad, {"area": area, "depth": depth}) | _bare(Pad, changes, plain_too=True)
    rows = {name: parameter(f"{grade}_pad_{name}").bare for name in ("cut_size", "deposit_density")}
    rows |= {name: parameter(f"pad_{name}").bare for name in OF_ANY_GRADE}
    cell = parameter(f"{grade}_pad_cell").bare
    foam = {
        "permeability": foam_permeability.bare(cell),
        "inertial_permeability": foam_inertial_permeability.bare(cell),
    }
    made = {**rows, **foam, **given}
    made.setdefault("aperture", made["cut_size"] * parameter("pad_aperture_ratio").bare)
    return Pad.from_bare(name=grade, **made)


def pads_in_order(area: Any, depth: Any) -> list[Pad]:
    """Return a coarse, a medium and a fine pad of one floor and depth, in the water's order."""
    return [pad(grade, area, depth) for grade in GRADES]


def in_series(pads: Iterable[Pad], temperature: float, salinity: float = 0.0) -> Resistance:
    """Return what clean pads one after the other take of the head; plain SI numbers."""
    each = [one.resistance(temperature, salinity) for one in pads]
    return Resistance(sum(one.linear for one in each), sum(one.square for one in each))


def full_to(share: float) -> float:
    """Return how many times harder pads are to pass than clean when so much of their room is full.

    How much of a pad is room makes no difference to it.
    """
    return float(pad_clogging.bare(share, 1.0))


def pads_loss(
    pads: Iterable[Pad], temperature: float, salinity: float = 0.0, full: float = 0.0
) -> Loss:
    """Return pads, full to this share, as one part of the loop; plain SI numbers."""
    slow, fast = in_series(pads, temperature, salinity)
    harder = full_to(full) * slow
    return Loss("pads", lambda flow: harder * flow + fast * flow**2)


def settling_space(area: Any, depth: Any, **changes: Any) -> SettlingSpace:
    """Return a settling space of this floor and height; `changes` as for `pad`."""
    given = _bare(SettlingSpace, {"area": area, "depth": depth})
    given |= _bare(SettlingSpace, changes, plain_too=True)
    rows = {name: parameter(f"settling_{name}").bare for name in ("cells", "deposit_density")}
    return SettlingSpace.from_bare(name="settling", **{**rows, **given})


def renamed(stages: Any) -> tuple[Stage, ...]:
    """Return the stages with a number added to names that occur more than once."""
    names = [stage.name for stage in stages]
    seen: dict[str, list[int]] = {n: [i for i, m in enumerate(names) if m == n] for n in names}
    return tuple(
        s.with_bare(name=f"{s.name} {seen[s.name].index(i) + 1}") if seen[s.name][1:] else s
        for i, s in enumerate(stages)
    )


def _bare(kind: type[Stage], given: dict[str, Any], *, plain_too: bool = False) -> dict[str, float]:
    """Return fields as plain SI numbers; those that are plain already where that is allowed."""
    rules = kind.rules()
    unknown = sorted(set(given) - set(rules))
    if unknown:
        valid = ", ".join(name for name in rules if name != "name")
        raise ValidityError(unknown[0], "a change", valid, "", f"is no field of a {kind.__name__}")
    bare = {}
    for name, value in given.items():
        rule = rules[name]
        if rule is None:
            raise ValidityError(name, repr(value), "the grade", "", "is not to be changed")
        number = plain_too and not isinstance(value, registry.Quantity)
        bare[name] = float(plain(name, value, Range(-1e300, 1e300) if number else rule))
    return bare
