"""The second panel of lesson 06: what some kilograms of media give, in litres and in surface."""

from __future__ import annotations

from aqualib.draws import Span
from aqualib.filtration.media import MediaKind, media_kind, media_kinds
from aqualib.filtration.media.bed import media_bed
from aqualib.lesson.charts.media_by_the_kilogram import Kilograms, MediaByTheKilogram, rough
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.drawing.axes import scale
from aqualib.lesson.panel import Panel
from aqualib.running_tank import running_tank
from aqualib.units import display_unit, from_si, label, number, shown

USUAL = running_tank().media
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
        working_depth=from_si(working_depth, "mm"),
        price=price,
        bed=bed._replace(volume=Span(*(from_si(end, "L") for end in bed.volume))),
    )


def describe(result: Kilograms) -> str:
    """Say what the picture shows."""
    bed, unit, unusual = result.bed, label(display_unit("m**2")), _unusual(result)
    price = (
        f" At {number(result.price)} a kilogram, 1 {unit} of outside costs "
        f"{rough(result.cost / scale('m**2'))}."
    )
    return (
        f"{unusual}{shown(result.mass, 'kg', 2)} of {result.kind.name} fill "
        f"{said(bed.volume, 'L')} and have {said(bed.outer_area, 'm**2')} of outside. "
        f"{_walls(result)}{'' if unusual else price}"
    )


def _walls(result: Kilograms) -> str:
    """Say what the pores are worth."""
    if not result.has_pores:
        return "Without pores, their width and oxygen's reach change nothing."
    if result.bed.in_reach.best == 0.0:
        return "Their pores are too narrow for bacteria."
    return "Pore walls do not add to it: oxygen comes in through it."


def _unusual(result: Kilograms) -> str:
    """Say first what the kind set is not usually like."""
    found = [
        _usual(result.kind, "size", result.size, "mm", "size"),
        _usual(result.kind, "inner_porosity", result.inner_porosity, "%", "pores"),
        _usual(result.kind, "voidage", result.voidage, "%", "gaps"),
    ]
    told = "; ".join(each for each in found if each)
    return f"Not usual: {told}. " if told else ""


def _usual(kind: MediaKind, name: str, value: float, unit: str, words: str) -> str:
    share = 100.0 if unit == "%" else 1.0
    low, high = share * kind[name].low, share * kind[name].high
    hair = 1e-9 * high
    if low - hair <= value <= high + hair:
        return ""
    is_length = unit == "mm"
    factor = scale(unit) if is_length else 1.0
    unit = label(display_unit(unit)) if is_length else unit
    low, value, high = factor * low, factor * value, factor * high
    ends = number(low, 2) if low == high else f"{number(low, 2)} to {number(high, 2)}"
    return f"{words} {number(value, 2)} {unit} (usual {ends})"


def said(estimate: Span, unit: str) -> str:
    """Return an amount with its range in words."""
    low, high = (rough(scale(unit) * end) for end in (estimate.low, estimate.high))
    return f"{roughly(estimate.best, unit)} ({low} to {high})"


def roughly(value: float, unit: str) -> str:
    """Return an amount to two digits in the unit set in force."""
    return f"{rough(scale(unit) * value)} {label(display_unit(unit))}"


def answer(result: Kilograms) -> tuple[str, str]:
    """Give the highlighted number: the surface that counts."""
    area = result.bed.outer_area.best
    metric = "" if scale("m**2") == 1.0 else f" ({rough(area)} m²)"
    return "Surface to count", f"{roughly(area, 'm**2')}{metric}"


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
