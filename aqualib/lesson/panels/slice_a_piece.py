"""The first panel of lesson 05: a slice through one piece of medium, and what happens inside."""

from __future__ import annotations

from dataclasses import replace

from aqualib.filtration.porous_piece import Piece, Water, WorkingPiece, denitrified_if_fed
from aqualib.filtration.porous_piece.piece import solved_piece
from aqualib.filtration.porous_piece.uncertainty import piece_doubt
from aqualib.lesson.charts.slice_of_piece import Slice, SliceOfPiece
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.units import from_si, number, shown

FED = parameter("organic_matter_fed").value
SHAPES = {"sphere": "ball", "cylinder": "rod", "slab": "flat wall (a ring or a plate)"}
NAMES = {"sphere": "A ball", "cylinder": "A rod", "slab": "A wall"}

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
    size = from_si(working.piece.size, "mm")
    ammonia, oxygen = (
        number(from_si(held, "mg/L"), 2) for held in (working.water.ammonium, working.water.oxygen)
    )
    return (
        f"{NAMES[working.piece.shape]} of {shown(size, 'mm', 2)} in water with "
        f"{ammonia} mg/L of ammonia nitrogen and "
        f"{oxygen} mg/L of oxygen does 95 % of its nitrifying in the outer "
        f"{shown(result.working_depth, 'mm', 2)}, {number(result.share_of_volume, 2)} % of its "
        f"volume: {number(result.areal_rate)} g of nitrogen per m² of outside a day, "
        f"{number(result.volumetric_rate)} mg per litre of piece. {_limit(working)} "
        f"{_core(result)} {_doubt(result)}"
    ).strip()


def _limit(working: WorkingPiece) -> str:
    gains = {"oxygen": working.oxygen_gain, "ammonia": working.ammonia_gain}
    first, second = sorted(gains, key=lambda name: -gains[name])
    more = (
        f"10 % more {first} would bring {number(max(10.0 * gains[first], 0.0), 2)} % more, "
        f"10 % more {second} {number(max(10.0 * gains[second], 0.0), 2)} %."
    )
    if working.limited_by == "bacteria":
        return f"Bacteria are what is short: {more}"
    return f"{first.capitalize()} is what is short: {more}"


def _core(result: Slice) -> str:
    working = result.working
    core = (
        f"{number(100.0 * working.anoxic_share, 2)} % of it is a core without oxygen"
        if working.has_core
        else "Oxygen reaches all of it"
    )
    now = number(result.per_litre(working.denitrified), 2)
    fed = number(result.per_litre(denitrified_if_fed(working)), 2)
    return (
        f"{core}; a litre of it turns {now} mg of nitrate nitrogen a day into gas. With "
        f"{number(FED)} mg/L of organic matter put into the water it would be {fed} mg: the food "
        "takes the oxygen as well."
    )


def _doubt(result: Slice) -> str:
    if result.doubt is None:
        return ""
    low, high = (
        number(from_si(end["nitrified"], "g/m**2/day"), 2)
        for end in (result.doubt.low, result.doubt.high)
    )
    return (
        f"How sure? The bacteria are assumed: {low} to {high} g per m² is "
        f"possible, and what matters most is {IN_WORDS[result.doubt.largest]}."
    )


def answer(result: Slice) -> tuple[str, str]:
    """Give the highlighted number: the layer that works, and what it turns."""
    depth, share = shown(result.working_depth, "mm", 2), number(result.share_of_volume, 2)
    rate = number(result.areal_rate, 2)
    return "Outer layer that works", f"{depth} ({share} % of the volume), {rate} g N/m² a day"


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
