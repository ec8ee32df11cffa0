"""Live rock: the surface it adds to a filter, inside the tank."""

from __future__ import annotations

from typing import Annotated, Any

from aqualib.edge import Amount, Number, Range, public
from aqualib.parameters import or_row


@public(returns="m**2", sources=("TangEtAl2014",))
def rock_area(
    rock_mass: Annotated[Amount, Range(0, 1e5, "kg")],
    piece: Annotated[Amount, Range(1, 1000, "mm")] = None,
    roughness: Annotated[Number, Range(1, 100)] = None,
    bulk_density: Annotated[Amount, Range(500, 3500, "kg/m**3")] = None,
) -> Any:
    """Return the working surface that rock in the tank adds to the filter's, in m².

    A kilogram of rock in lumps of a fist has less surface than a handful of filter media; many
    kilograms still count.

    Equation: A = r 6 M / (ρ d), balls of width d made r times larger in surface by holes and bumps.

    Parameters
    ----------
    rock_mass : quantity, 0 to 100000 kg
        M, dry.
    piece : quantity, 1 to 1000 mm
        d, a usual lump; None takes `rock_piece` of `data/parameters.csv`.
    roughness : plain number, 1 to 100
        r; None takes `rock_roughness`.
    bulk_density : quantity, 500 to 3500 kg/m**3
        ρ, pores counted as rock; None takes `reef_rock_bulk_density`.

    Returns
    -------
    quantity in m**2

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: geometry; TangEtAl2014 for the density.
    Validity: rock that has lived in the tank for months, with water moving past. No measured
    surface or rate of live rock was found; r is assumed and may be wrong threefold.
    Departures: surface deep inside is not counted; it gets little oxygen. Nitrate that may go
    there is not counted either.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> rock_area(Q(10, "kg")).round(2)
    <Quantity(0.93, 'meter ** 2')>
    """
    piece = or_row(piece, "rock_piece")
    roughness = or_row(roughness, "rock_roughness")
    bulk_density = or_row(bulk_density, "reef_rock_bulk_density")
    return roughness * 6.0 * rock_mass / (bulk_density * piece)
