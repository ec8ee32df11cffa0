"""A working piece of filter medium: what diffuses in, what bacteria do with it, and how deep."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from aqualib.arguments import one_number
from aqualib.filtration.biofilm.zero_order import SHAPES
from aqualib.filtration.porous_piece.answers import WorkingPiece, read_off
from aqualib.filtration.porous_piece.balance import Water, settle
from aqualib.filtration.porous_piece.film_parameters import Nature, nature, pore_film_share
from aqualib.filtration.porous_piece.shells import Piece, layers
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import OneOf, Range, ValidityError

DEFAULTS = {
    "velocity": "flow_past_piece",
    "nitrate_nitrogen": "piece_nitrate",
    "organic_carbon": "organic_matter",
    "porosity": "piece_porosity",
    "pore_diameter": "pore_width",
    "film": "biofilm_thickness",
}
"""The rows that stand in for what is left out."""
RANGES = {
    "size": Range(0.1, 200, "mm"),
    "total_ammonia_nitrogen": Range(1e-3, 100, "mg/L"),
    "oxygen": Range(1e-2, 40, "mg/L"),
    "temperature": Range(4, 30, "degC"),
    "velocity": Range(0, 100, "mm/s"),
    "salinity": Range(0, 40),
    "nitrite_nitrogen": Range(0, 100, "mg/L"),
    "nitrate_nitrogen": Range(0, 500, "mg/L"),
    "organic_carbon": Range(0, 1000, "mg/L"),
    "porosity": Range(0, 0.95),
    "pore_diameter": Range(0.01, 5000, "um"),
    "film": Range(5, 2000, "um"),
}
LENGTH, AMOUNT, FLUX = ("m", "mm"), ("kg/m**3", "mg/L"), ("kg/m**2/s", "g/m**2/day")
UNITS = {
    "depth": LENGTH,
    "concentrations": AMOUNT,
    "outside": AMOUNT,
    "fluxes": FLUX,
    "nitrified": FLUX,
    "denitrified": FLUX,
    "denitrified_with_carbon": FLUX,
    "nitrified_per_volume": ("kg/m**3/s", "g/L/day"),
    "working_depth": LENGTH,
    "busy_depth": LENGTH,
    "anoxic_depth": LENGTH,
    "fed_depth": LENGTH,
}
"""The SI base unit of each answer, and the unit of its quantity."""
NITRIFYING = "nitrifying"
STARVED = "starved"
DENITRIFYING = "denitrifying"
IDLE = "idle"
CLOSED = "closed"
KINDS = {
    NITRIFYING: "oxygen: nitrifying",
    STARVED: "oxygen, little ammonia",
    DENITRIFYING: "no oxygen: removes nitrate",
    IDLE: "no oxygen, no food: idle",
    CLOSED: "pores too narrow for bacteria",
}
"""Each kind of zone, with what it says."""


def working_piece(
    shape: str,
    size: Any,
    total_ammonia_nitrogen: Any,
    oxygen: Any,
    temperature: Any,
    *,
    velocity: Any = None,
    salinity: float = 0.0,
    nitrite_nitrogen: Any = None,
    nitrate_nitrogen: Any = None,
    organic_carbon: Any = None,
    porosity: float | None = None,
    pore_diameter: Any = None,
    film: Any = None,
    **assumed: float,
) -> WorkingPiece:
    """Return what a piece of filter medium does, as quantities.

    `shape` is "slab" (`size` is the thickness of a plate or of a ring's wall), "cylinder" or
    "sphere" (`size` is the width). What is left out is taken from its row of
    `data/parameters.csv`; `nitrite_nitrogen` left out means a tank at rest, whose water holds the
    nitrite that the piece leaves over. `assumed` replaces numbers of `Nature`, in SI base units.

    Left out of the model: dirt in the pores, bacteria that die or are eaten, and everything that
    keeps a film from being the same all over.
    """
    if shape not in SHAPES:
        raise ValidityError("shape", repr(shape), OneOf(SHAPES).text, "", "is no shape here")
    given = {
        "size": size,
        "total_ammonia_nitrogen": total_ammonia_nitrogen,
        "oxygen": oxygen,
        "temperature": temperature,
        "velocity": velocity,
        "salinity": salinity,
        "nitrite_nitrogen": nitrite_nitrogen,
        "nitrate_nitrogen": nitrate_nitrogen,
        "organic_carbon": organic_carbon,
        "porosity": porosity,
        "pore_diameter": pore_diameter,
        "film": film,
    }
    n = {name: _plain(name, value) for name, value in given.items()}
    water = Water(
        n["temperature"],
        n["salinity"],
        n["oxygen"],
        n["total_ammonia_nitrogen"],
        n["nitrite_nitrogen"],
        n["nitrate_nitrogen"],
        n["organic_carbon"],
        n["velocity"],
    )
    piece = Piece(shape, n["size"], n["porosity"], n["pore_diameter"], n["film"])
    return _as_quantities(bare_working_piece(piece, water, nature(**assumed)))


def _plain(name: str, value: Any) -> Any:
    """Return a checked SI number; what is left out is what its row says, or None."""
    if value is None and name in DEFAULTS:
        return parameter(DEFAULTS[name]).bare
    if value is None and name == "nitrite_nitrogen":
        return None
    return one_number(name, value, RANGES[name])


def _as_quantities(result: WorkingPiece) -> WorkingPiece:
    shown: dict[str, Any] = {name: with_unit(name, getattr(result, name)) for name in UNITS}
    return replace(result, **shown)


def with_unit(name: str, value: Any) -> Any:
    """Return an answer in SI base units as the quantity that `working_piece` gives for it."""
    return Q(value, UNITS[name][0]).to(UNITS[name][1]) if name in UNITS else value


def has_units(result: WorkingPiece) -> bool:
    """Return whether a result holds quantities."""
    return hasattr(result.nitrified, "units")


def bare_working_piece(
    piece: Piece,
    water: Water,
    assumed: Nature | None = None,
    fineness: float = 1.0,
    start: WorkingPiece | None = None,
) -> WorkingPiece:
    """Return the steady state of a piece in water, in SI base units.

    `start` is an earlier result with the same `fineness`: it saves time and changes nothing else.
    Raises `ConvergenceError` rather than give a wrong answer.
    """
    assumed = nature() if assumed is None else assumed
    shells = layers(piece, assumed, fineness)
    known = None
    if start is not None and len(start.concentrations) == shells.cells.count + 1:
        known = start.concentrations[:-1]
    found = settle(piece, water, assumed, shells, known)
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
            Zone(zone.kind, *(with_unit("depth", place) for place in (zone.top, zone.bottom)))
            for zone in zones(bare_working_piece(working.piece, working.water, working.nature))
        )
    piece, nature = working.piece, working.nature
    lived_in = pore_film_share.bare(piece.pore_diameter, nature.pore_film, nature.smallest_pore)
    open_to = piece.outer if lived_in and not piece.solid else piece.film
    # Where oxygen is scarce at the surface already, that little still nitrifies.
    with_oxygen = min(working.anoxic_depth or working.busy_depth, open_to)
    busy = min(working.busy_depth, with_oxygen)
    fed = min(max(working.fed_depth, with_oxygen), open_to)
    places = (0.0, busy, with_oxygen, fed, open_to)
    kinds = (NITRIFYING, STARVED, DENITRIFYING, IDLE)
    found = [Zone(*each) for each in zip(kinds, places[:-1], places[1:], strict=True)]
    if not piece.solid:
        found.append(Zone(CLOSED, open_to, piece.outer))
    return tuple(zone for zone in found if zone.bottom > zone.top)
