"""Sections of real rock: what the pores seen in a cut say about how water passes through.

Twelve cores, each cut four times; permeability was measured once for each core. So there are 48
pictures, but only 12 independent answers. The size of a pixel is not known: whatever is worked
out from a picture has an unknown scale, and only its order and its scatter can be judged.
"""

from __future__ import annotations

import statistics
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from aqualib.files import data_file, rows_of
from aqualib.filtration.hydraulics import bed_permeability

SOURCE = "Katz1995"
PIXELS = 256.0 * 256.0
"""Area of one picture."""


class Section(NamedTuple):
    """One cut through a core, in pixels; permeability is that of the whole core."""

    core: int
    pore_area: float
    pore_perimeter: float
    permeability: float
    """In millidarcy (9.87e-16 m²)."""

    @property
    def porosity(self) -> float:
        """Share of the picture that is pore."""
        return self.pore_area / PIXELS

    @property
    def surface(self) -> float:
        """Pore wall per volume of rock, per pixel: 4/π of the perimeter per area of a cut."""
        return 4.0 / np.pi * self.pore_perimeter / PIXELS

    @property
    def kozeny_carman(self) -> float:
        """Permeability after Kozeny and Carman, ε³ / (5 S²), in square pixels."""
        diameter = 6.0 * (1.0 - self.porosity) / self.surface
        return float(bed_permeability.bare(diameter, self.porosity))


class Agreement(NamedTuple):
    """How well pictures tell permeability."""

    sections: int
    cores: int
    rank_of_sections: float
    """Rank correlation of the formula with the measurement over all pictures."""
    rank_of_cores: float
    """The same for the cores, each with the (geometric) mean of its four pictures."""
    rank_of_porosity: float
    """Rank correlation of porosity alone with the measurement, over the cores."""
    usual_factor: float
    """By this factor the formula usually misses, the best common scale being given to it."""
    worst_factor: float
    largest_spread: float
    """The same core by its four pictures: the largest result over the smallest, at worst."""


@lru_cache(maxsize=1)
def rock_sections() -> tuple[Section, ...]:
    """Return every section in `data/rock_sections.csv`."""
    return tuple(
        Section(
            int(row["core"]),
            float(row["pore_area_pixels"]),
            float(row["pore_perimeter_pixels"]),
            float(row["permeability_millidarcy"]),
        )
        for row in rows_of(data_file("rock_sections.csv"))
    )


def compare_with_kozeny_carman() -> Agreement:
    """Return how far pore area and perimeter of a cut tell the permeability of its core."""
    sections = rock_sections()
    cores = [
        [section for section in sections if section.core == core]
        for core in sorted({section.core for section in sections})
    ]
    measured = np.log10([core[0].permeability for core in cores])
    computed = np.log10([_middle(core) for core in cores])
    porosity = np.array([statistics.mean(section.porosity for section in core) for core in cores])
    missed = measured - computed
    missed = missed - missed.mean()
    return Agreement(
        len(sections),
        len(cores),
        rank_correlation(
            [section.kozeny_carman for section in sections],
            [section.permeability for section in sections],
        ),
        rank_correlation(computed, measured),
        rank_correlation(porosity, measured),
        float(10.0 ** np.std(missed, ddof=1)),
        float(10.0 ** np.max(np.abs(missed))),
        max(_spread(core) for core in cores),
    )


def rank_correlation(first: Any, second: Any) -> float:
    """Return Spearman's rank correlation, -1 to 1; equal values share their mean rank."""
    return float(np.corrcoef(_ranks(first), _ranks(second))[0, 1])


def _ranks(values: Any) -> Any:
    array = np.asarray(values, dtype=float)
    below = (array[:, None] > array).sum(axis=1)
    return below + 0.5 * ((array[:, None] == array).sum(axis=1) + 1.0)


def _middle(core: list[Section]) -> float:
    return statistics.geometric_mean(section.kozeny_carman for section in core)


def _spread(core: list[Section]) -> float:
    computed = [section.kozeny_carman for section in core]
    return max(computed) / min(computed)
