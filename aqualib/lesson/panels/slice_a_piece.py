"""The first panel of lesson 06: a slice through one piece of medium, and what happens inside."""

from __future__ import annotations

from dataclasses import replace

from aqualib.filtration.porous_piece import Piece, Water, WorkingPiece
from aqualib.filtration.porous_piece.piece import solved_piece
from aqualib.filtration.porous_piece.uncertainty import piece_doubt
from aqualib.lesson.charts.slice_of_piece import Slice, SliceOfPiece
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.units import from_si, number, shown

SHAPES = {"sphere": "ball", "cylinder": "rod", "slab": "flat wall (a ring or a plate)"}
NAMES = {"sphere": "The ball", "cylinder": "The rod", "slab": "The wall"}

# What is assumed -> how a reader is told of it.
IN_WORDS = {
    "ammonia_rate": "how many ammonia oxidisers live in the film",
    "nitrite_over_ammonia": "how many nitrite oxidisers live beside ammonia oxidisers",
    "organic_rate": "how many eaters of organic matter live in the film",
    "film": "how thick the film is",
    "film_share": "how fast things wander through the film",
    "film_organic_share": "how fast organic matter wanders through the film",
    "ammonia_half": "how well bacteria catch scarce ammonia",
    "ammonia_oxygen": "how well ammonia oxidisers catch scarce oxygen",
    "nitrite_half": "how well bacteria catch scarce nitrite",
    "nitrite_oxygen": "how well nitrite oxidisers catch scarce oxygen",
    "warming": "how much warmth speeds nitrifiers",
    "sea_share": "how much salt slows the bacteria",
    "pore_film": "how much film lines the pores",
    "tortuosity": "how winding the pores are",
    "smallest_pore": "how narrow a pore bacteria can enter",
    "heterotroph_yield": "how much of their food eaters of organic matter build in",
    "denitrifier_yield": "how much of their food denitrifiers build in",
    "anoxic_pace": "how fast bacteria are without oxygen",
    "nitrate_half": "how well bacteria catch scarce nitrate",
    "organic_half": "how well bacteria catch scarce organic matter",
    "organic_oxygen": "how well eaters of organic matter catch scarce oxygen",
    "organic_warming": "how much warmth speeds eaters of organic matter",
    "still_water": "how thick still water lies on the piece",
}


def compute(
    size: float,
    total_ammonia: float,
    oxygen: float,
    velocity: float,
    shape: str,
    porosity: float,
    pore_diameter: float,
    organic_matter: float,
    nitrate: float,
    temperature: float,
    salinity: float,
) -> Slice:
    """Let the water reach into one piece; SI numbers in."""
    film = parameter("biofilm_thickness").bare
    piece = Piece(shape, size, porosity, pore_diameter, film)
    water = Water(
        temperature, salinity, oxygen, total_ammonia, None, nitrate, organic_matter, velocity
    )
    return Slice(solved_piece(piece, water), None)


def with_doubt(result: Slice) -> Slice:
    """Add how far the answers may be off."""
    return replace(result, doubt=piece_doubt(result.working))


def describe(result: Slice) -> str:
    """Say what the picture shows."""
    working = result.working
    removed = number(result.per_litre(working.denitrified), 2)
    return (
        f"{NAMES[working.piece.shape]} turns {number(result.areal_rate, 2)} g of nitrogen a day "
        f"for each m² of outside{_doubt(result)}, 95 % of it there. {_short(working)} "
        f"{_core(working)} A litre takes out {removed} mg of nitrate nitrogen."
    )


def _short(working: WorkingPiece) -> str:
    """Say what would help."""
    gains = {"oxygen": working.oxygen_gain, "ammonia": working.ammonia_gain}
    most = max(gains, key=lambda name: gains[name])
    more = f"10 % more brings {number(max(10.0 * gains[most], 0.0), 2)} % more."
    if working.limited_by == "bacteria":
        return f"Bacteria are short; of {most}, {more}"
    return f"{most.capitalize()} is short: {more}"


def _core(working: WorkingPiece) -> str:
    if not working.has_core:
        return "Oxygen reaches all of it."
    deepest = max(working.working_depth, working.anoxic_depth)
    if working.anoxic_depth < working.working_depth:
        return "Oxygen is scarce there, gone below."
    return f"No oxygen below {shown(from_si(deepest, 'mm'), 'mm', 2)}."


def _doubt(result: Slice) -> str:
    if result.doubt is None:
        return ""
    low, high = (
        number(from_si(end["nitrified"], "g/m**2/day"), 2)
        for end in (result.doubt.low, result.doubt.high)
    )
    return f" ({low} to {high}, by {IN_WORDS[result.doubt.largest]})"


def answer(result: Slice) -> tuple[str, str]:
    """Give the highlighted number: the layer that does most of the work."""
    depth, share = shown(result.working_depth, "mm", 2), number(result.share_of_volume, 2)
    return "Most of the work is done in", f"the outer {depth}, {share} % of the piece"


def slice_panel() -> Panel:
    """Return the panel: a slice through a piece, and what is dissolved at each depth."""
    controls: dict[str, Control] = {
        "size": Slider("Thickness of the piece", "piece_size", 0.5),
        "total_ammonia": Slider("Ammonia in the water, as nitrogen", "piece_ammonia", 0.05),
        "oxygen": Slider("Oxygen in the water", "piece_oxygen", 0.1),
        "velocity": Slider("Flow past it", "flow_past_piece", 0.5),
        "shape": Choice("Shape", SHAPES, "sphere"),
        "porosity": Slider("Share of it that is open pores", "piece_porosity", 1.0),
        "pore_diameter": Slider("Width of the pores", "pore_width", 1.0),
        "organic_matter": Slider("Organic matter in the water (COD)", "organic_matter", 0.5),
        "nitrate": Slider("Nitrate in the water, as nitrogen", "piece_nitrate", 1.0),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
    }
    title = "How much of a piece works?"
    return Panel(title, controls, compute, SliceOfPiece(), describe, answer, with_doubt)
