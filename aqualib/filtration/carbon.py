"""Activated carbon: what it holds, what it takes in one pass and in a tank, what it leaves."""

from __future__ import annotations

from dataclasses import dataclass

from aqualib.filtration.adsorption import (
    batch_equilibrium,
    carbon_for_dose,
    equilibrium_concentration,
    freundlich_loading,
    langmuir_loading,
)
from aqualib.filtration.carbon_bed import (
    bed_life,
    carbon_in_layer,
    empty_bed_contact_time,
    removed_in_one_pass,
)
from aqualib.filtration.carbon_loop import CarbonRun, bare_carbon_run, carbon_run
from aqualib.sources import cite

__all__ = [
    "CarbonRun",
    "Taken",
    "bare_carbon_run",
    "batch_equilibrium",
    "bed_life",
    "carbon_for_dose",
    "carbon_in_layer",
    "carbon_run",
    "empty_bed_contact_time",
    "equilibrium_concentration",
    "freundlich_loading",
    "langmuir_loading",
    "removed_in_one_pass",
    "what_carbon_takes",
]

MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class Taken:
    """How well fresh carbon takes something out of water, and who says so."""

    what: str
    how_well: str
    origin: str


def what_carbon_takes() -> tuple[Taken, ...]:
    """Return what fresh carbon takes out of a tank's water, from well to not at all."""
    guide, mixtures = cite("FishMedicineGuide"), cite("AitchesonEtAl2001")
    return (
        Taken("dyes and many medicines", "well", f"{mixtures}; {guide}"),
        Taken("chlorine", "well", guide),
        Taken("yellow colour, dissolved organics", "partly", cite("SpotteAdams1984")),
        Taken("copper and other metals", "partly, unsure", f"{guide}; {MEMORY}"),
        Taken("nitrate", "hardly, and gives it back", cite("WRF5046")),
        Taken("ammonia, nitrite", "hardly", MEMORY),
        Taken("phosphate", "no; some carbons give it off", MEMORY),
        Taken("hardness, salt", "no", MEMORY),
    )
