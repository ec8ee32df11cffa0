"""Molar masses, added up from one small table of atomic weights."""

from __future__ import annotations

# IUPAC abridged standard atomic weights (IUPACAtomicWeights), in g/mol.
ATOMIC_WEIGHTS = {
    "H": 1.008,
    "C": 12.011,
    "N": 14.007,
    "O": 15.999,
    "Na": 22.990,
    "P": 30.974,
    "Cl": 35.45,
    "Ca": 40.078,
}


def molar_mass(**atoms: int) -> float:
    """Return the molar mass in g/mol: `molar_mass(N=1, O=3)` for nitrate."""
    return sum(ATOMIC_WEIGHTS[element] * count for element, count in atoms.items())


NITROGEN = molar_mass(N=1)
OXYGEN_GAS = molar_mass(O=2)
CARBON_DIOXIDE = molar_mass(C=1, O=2)
AMMONIA = molar_mass(N=1, H=3)
AMMONIUM_CHLORIDE = molar_mass(N=1, H=4, Cl=1)
PHOSPHORUS = molar_mass(P=1)
PHOSPHATE = molar_mass(P=1, O=4)
SODIUM_BICARBONATE = molar_mass(Na=1, H=1, C=1, O=3)
ALKALINITY = molar_mass(Ca=1, C=1, O=3) / 2
"""Grams of calcium carbonate that stand for one mole of acid taken up: its mass over two."""
