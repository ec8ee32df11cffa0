"""A working piece of filter medium: what diffuses in, what bacteria do with it, and how deep."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated, Any

from aqualib.edge import model, with_units
from aqualib.filtration.biofilm.zero_order import PIECE_SHAPES
from aqualib.filtration.porous_piece.answers import WorkingPiece, read_off
from aqualib.filtration.porous_piece.balance import Water, steady_state
from aqualib.filtration.porous_piece.film_parameters import (
    FilmParameters,
    film_with,
    pore_film_share,
)
from aqualib.filtration.porous_piece.shells import Piece, layers
from aqualib.parameters import or_row, parameter
from aqualib.validity import OneOf, Range

UNITS = {
    "depth": "mm",
    "concentrations": "mg/L",
    "outside": "mg/L",
    "fluxes": "g/m**2/day",
    "nitrified": "g/m**2/day",
    "denitrified": "g/m**2/day",
    "nitrified_per_volume": "g/L/day",
    "working_depth": "mm",
    "busy_depth": "mm",
    "anoxic_depth": "mm",
    "fed_depth": "mm",
}
"""The unit of each answer that has one."""
NITRIFYING = "nitrifying"
STARVED = "starved"
DENITRIFYING = "denitrifying"
IDLE = "idle"
CLOSED = "closed"
KINDS = {
    NITRIFYING: "most of the nitrifying",
    STARVED: "oxygen, little work",
    DENITRIFYING: "no oxygen: removes nitrate",
    IDLE: "no oxygen, no food: idle",
    CLOSED: "pores too narrow for bacteria",
}
"""Each kind of zone, with what it says."""


@model(returns=UNITS)
def working_piece(
    shape: Annotated[str, OneOf(PIECE_SHAPES)],
    size: Annotated[float, Range(0.1, 200, "mm")],
    total_ammonia_nitrogen: Annotated[float, Range(1e-3, 100, "mg/L")],
    oxygen: Annotated[float, Range(1e-2, 40, "mg/L")],
    temperature: Annotated[float, Range(4, 30, "degC")],
    *,
    velocity: Annotated[float | None, Range(0, 100, "mm/s")] = None,
    salinity: Annotated[float, Range(0, 40)] = 0.0,
    nitrite_nitrogen: Annotated[float | None, Range(0, 100, "mg/L")] = None,
    nitrate_nitrogen: Annotated[float | None, Range(0, 500, "mg/L")] = None,
    organic_carbon: Annotated[float | None, Range(0, 1000, "mg/L")] = None,
    porosity: Annotated[float | None, Range(0, 0.95)] = None,
    pore_diameter: Annotated[float | None, Range(0.01, 5000, "um")] = None,
    film: Annotated[float | None, Range(5, 2000, "um")] = None,
    **assumed: float,
) -> WorkingPiece:
    """Return what a piece of filter medium does, as quantities.

    Left out of the model: dirt in the pores, bacteria that die or are eaten, and everything that
    keeps a film from being the same all over.

    size: Thickness of a "slab" (a plate, or a ring's wall), width of a "cylinder" or "sphere".
    velocity: Of the water past the piece; what is left out is taken from its row of
        `data/parameters.csv`.
    nitrite_nitrogen: Left out, a tank at rest, whose water holds the nitrite that the piece leaves
        over.
    organic_carbon: As COD.
    assumed: Other numbers of `FilmParameters`, in SI base units.
    """
    water = Water(
        temperature,
        salinity,
        oxygen,
        total_ammonia_nitrogen,
        nitrite_nitrogen,
        or_row(nitrate_nitrogen, "piece_nitrate"),
        or_row(organic_carbon, "organic_matter"),
        or_row(velocity, "flow_past_piece"),
    )
    piece = Piece(
        shape,
        size,
        or_row(porosity, "piece_porosity"),
        or_row(pore_diameter, "pore_width"),
        or_row(film, "biofilm_thickness"),
    )
    return solved_piece(piece, water, film_with(**assumed))


def has_units(result: WorkingPiece) -> bool:
    """Return whether a result holds quantities."""
    return hasattr(result.nitrified, "units")


def denitrified_if_fed(working: WorkingPiece) -> Any:
    """Return the nitrate removed per area if organic matter were put into the water on purpose.

    The piece is solved anew in water with `organic_matter_fed`: the food also takes the oxygen
    near the skin, which is most of what it does. In SI base units, or with units as the result.
    """
    if has_units(working):
        bare = solved_piece(working.piece, working.water, working.assumed)
        return with_units(denitrified_if_fed(bare), UNITS["denitrified"])
    rich = replace(working.water, organic=parameter("organic_matter_fed").bare)
    return solved_piece(working.piece, rich, working.assumed, start=working).denitrified


def solved_piece(
    piece: Piece,
    water: Water,
    assumed: FilmParameters | None = None,
    fineness: float = 1.0,
    start: WorkingPiece | None = None,
) -> WorkingPiece:
    """Return the steady state of a piece in water, in SI base units.

    `start` is an earlier result with the same `fineness`: it saves time and changes nothing else.
    Raises `ConvergenceError` rather than give a wrong answer.
    """
    assumed = film_with() if assumed is None else assumed
    shells = layers(piece, assumed, fineness)
    known = None
    if start is not None and len(start.concentrations) == shells.cells.count + 1:
        known = start.concentrations[:-1]
    found = steady_state(piece, water, assumed, shells, known)
    return read_off(piece, water, assumed, shells, found)


@dataclass(frozen=True, slots=True)
class Zone:
    """A layer in which one thing happens; depths below the surface of the film, bare in m."""

    kind: str
    top: Any
    bottom: Any


def zones(working: WorkingPiece) -> tuple[Zone, ...]:
    """Return the layers of a result, from the surface to the middle; with units if it has them."""
    if has_units(working):
        return tuple(
            Zone(zone.kind, *with_units((zone.top, zone.bottom), UNITS["depth"]))
            for zone in zones(solved_piece(working.piece, working.water, working.assumed))
        )
    piece, assumed = working.piece, working.assumed
    film_share = pore_film_share.bare(piece.pore_diameter, assumed.pore_film, assumed.smallest_pore)
    open_to = piece.outer if film_share and not piece.solid else piece.film
    # The layer that is said to work is the one that is drawn: it does 95 % of the nitrifying. That
    # little goes on where oxygen is scarce, so no core without oxygen begins within it.
    busy = min(working.working_depth, open_to)
    with_oxygen = min(max(working.anoxic_depth, busy), open_to)
    fed = min(max(working.fed_depth, with_oxygen), open_to)
    places = (0.0, busy, with_oxygen, fed, open_to)
    kinds = (NITRIFYING, STARVED, DENITRIFYING, IDLE)
    found = [Zone(*each) for each in zip(kinds, places[:-1], places[1:], strict=True)]
    if not piece.solid:
        found.append(Zone(CLOSED, open_to, piece.outer))
    return tuple(zone for zone in found if zone.bottom > zone.top)
