"""The second panel of lesson 05: what some kilograms of media give, in litres and in surface."""

from __future__ import annotations

from aqualib.draws import Span
from aqualib.filtration.media import MediaKind, media_kind, media_kinds
from aqualib.filtration.media.bed import media_bed
from aqualib.lesson.charts.media_by_the_kilogram import Kilograms, MediaByTheKilogram, rough
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.drawing.axes import scale
from aqualib.lesson.panel import Panel
from aqualib.units import display_unit, from_si, label, number, shown

USUAL = "sintered glass rings"
BROUGHT = {"size": 1.0, "inner_porosity": 100.0, "voidage": 100.0, "pore_size": 1.0, "price": 1.0}
"""What a kind brings with it, and how many of the slider's units are one of the table's."""


def compute(
    kind: str,
    mass: float,
    size: float,
    inner_porosity: float,
    voidage: float,
    pore_size: float,
    working_depth: float,
    price: float,
) -> Kilograms:
    """Work out litres and surface; SI numbers in."""
    found = media_kind(kind)
    bed = media_bed.bare(found, mass, size, inner_porosity, voidage, pore_size, working_depth)
    return Kilograms(
        kind=found,
        mass=mass,
        size=from_si(size, "mm"),
        inner_porosity=from_si(inner_porosity, "percent"),
        voidage=from_si(voidage, "percent"),
        pore_size=from_si(pore_size, "um"),
        working_depth=from_si(working_depth, "mm"),
        price=price,
        bed=bed._replace(volume=Span(*(from_si(end, "L") for end in bed.volume))),
    )


def describe(result: Kilograms) -> str:
    """Say what the picture shows."""
    bed = result.bed
    return (
        f"{shown(result.mass, 'kg', 2)} of {result.kind.name}, {shown(result.size, 'mm', 2)} wide, "
        f"{number(result.inner_porosity)} % of each piece pores, fill {said(bed.volume, 'L')}. "
        f"Their outside, which the water brushes past, is {said(bed.outer_area, 'm**2')}: that is "
        f"the surface to count. {_walls(result)} At {number(result.price)} for 1 kg, "
        f"1 {label(display_unit('m**2'))} of outside costs "
        f"{number(result.cost / scale('m**2'))}. {_unusual(result)}"
    ).strip()


def _walls(result: Kilograms) -> str:
    bed, depth = result.bed, shown(result.working_depth, "mm", 2)
    if not result.has_pores:
        return (
            f"Without pores there are no inner walls: neither pores "
            f"{shown(result.pore_size, 'um')} wide nor a reach of {depth} changes anything."
        )
    walls = (
        f"On paper the walls of their pores, {shown(result.pore_size, 'um')} wide, add "
        f"{said(bed.walls, 'm**2')}."
    )
    if bed.in_reach.best == 0.0:
        return (
            f"{walls} Such pores are too narrow for bacteria, even within {depth} of the outside."
        )
    return (
        f"{walls} {roughly(bed.in_reach.best, 'm**2')} of that lies within {depth} of the "
        "outside, where oxygen reaches: room to spare, for all oxygen comes in through the outside."
    )


def _unusual(result: Kilograms) -> str:
    """Say what the kind set is not usually like."""
    found = [
        _usual(result.kind, "size", result.size, "mm", "size"),
        _usual(result.kind, "inner_porosity", result.inner_porosity, "%", "pores"),
        _usual(result.kind, "voidage", result.voidage, "%", "room between"),
    ]
    told = "; ".join(each for each in found if each)
    return f"Not usual for {result.kind.name}: {told}." if told else ""


def _usual(kind: MediaKind, name: str, value: float, unit: str, words: str) -> str:
    share = 100.0 if unit == "%" else 1.0
    low, high = share * kind[name].low, share * kind[name].high
    hair = 1e-9 * high
    if low - hair <= value <= high + hair:
        return ""
    ends = f"{number(low)}" if low == high else f"{number(low)} to {number(high)}"
    return f"{words} {number(value)} {unit} (usual {ends} {unit})"


def said(estimate: Span, unit: str) -> str:
    """Return an amount with its range in words."""
    factor = scale(unit)
    low, high = (rough(factor * end) for end in (estimate.low, estimate.high))
    return f"{roughly(estimate.best, unit)}, {low} to {high} {label(display_unit(unit))}"


def roughly(value: float, unit: str) -> str:
    """Return an amount to two digits in the unit set in force, metric alongside."""
    metric = f"{rough(value)} {label(unit)}"
    shown_unit = display_unit(unit)
    if shown_unit == unit:
        return metric
    return f"{rough(scale(unit) * value)} {label(shown_unit)} ({metric})"


def answer(result: Kilograms) -> tuple[str, str]:
    """Give the highlighted number: the working area, and the room it takes."""
    area, litres = result.bed.outer_area.best, result.bed.volume.best
    return "Working area", f"{roughly(area, 'm**2')} in {roughly(litres, 'L')} of media"


def brought_by(kind: MediaKind) -> dict[str, float]:
    """Return the numbers of a kind that its sliders take on when it is chosen."""
    known = kind.numbers
    return {name: times * known[name].value for name, times in BROUGHT.items() if name in known}


def media_panel() -> Panel:
    """Return the panel: kilograms of media as litres, outside and pore walls."""
    kinds = media_kinds()
    words, brings = {name: name for name in kinds}, {n: brought_by(k) for n, k in kinds.items()}
    controls: dict[str, Control] = {
        "kind": Choice("Kind of media", words, USUAL, brings),
        "mass": Slider("Media in the filter, dry", "media_in_filter", 0.1),
        "size": Slider("Size of a piece", "media_piece", 0.5),
        "inner_porosity": Slider("Share of a piece that is pores", "media_inner_porosity", 1.0),
        "voidage": Slider("Room between the pieces", "media_voidage", 1.0),
        "pore_size": Slider("Width of the pores", "media_pore_size", 1.0),
        "working_depth": Slider("How deep oxygen reaches", "working_depth", 0.05),
        "price": Slider("Price of 1 kg (invented)", "media_price", 0.5),
    }
    title = "What is a kilogram of media worth?"
    return Panel(title, controls, compute, MediaByTheKilogram(), describe, answer)
