"""Activated carbon: what it holds, what it takes in one pass and in a tank, what it leaves."""

from __future__ import annotations

from dataclasses import dataclass

from aqualib.sources import cite

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
