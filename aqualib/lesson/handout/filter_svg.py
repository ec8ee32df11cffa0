"""The filter of a plan, drawn to scale in black on white, with every layer named."""

from __future__ import annotations

from html import escape

from aqualib.lesson.handout.layers import Layer, layers_of, told
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.parts import CARBON, CHEMICALS, FLOSS, NOTHING, PADS, SETTLING
from aqualib.units import from_si

WIDTH = 340.0
"""Of the drawing, in units of which one is a point on paper."""
SIDE, TALL = 104.0, 150.0
"""Room for the filter itself: as wide and as high at most."""
LEFT, TOP = 26.0, 10.0
GAP = 20.0
"""From one layer's name to the next."""
NAMES = LEFT + SIDE + 22.0
PATTERNS = {
    SETTLING: '<circle cx="3" cy="3" r=".5"/>',
    PADS[0]: '<path d="M0 10L10 0" fill="none" stroke-width=".8"/>',
    PADS[1]: '<path d="M0 5L5 0" fill="none" stroke-width=".7"/>',
    PADS[2]: '<path d="M0 3L3 0M0 0L3 3" fill="none" stroke-width=".5"/>',
    CARBON: '<circle cx="2.5" cy="2.5" r="1.7"/>',
    "media": '<circle cx="4" cy="4" r="2.6" fill="none" stroke-width=".8"/>',
}
SIZES = {SETTLING: 6, PADS[0]: 10, PADS[1]: 5, PADS[2]: 3, CARBON: 5, "media": 8}
"""The side of a pattern's tile."""


def filter_svg(whole: Filled) -> str:
    """Return the filter as SVG, to scale, with a title and a description for who cannot see it."""
    layers = layers_of(whole)
    high = sum(layer.height for layer in layers)
    scale = min(SIDE / whole.width, max(TALL, GAP * len(layers)) / high)
    tall = scale * high
    names_high = GAP * len(layers)
    bottom = TOP + max(tall, names_high) + 2.0
    edges = _edges(layers, scale, bottom)
    middles = [0.5 * (low + top) for low, top in edges]
    # Names stand beside their layers as far as they fit, from the bottom up.
    from aqualib.lesson.drawing.axes import spread  # loads the drawing library, as few do

    ups = spread([bottom - middle for middle in middles], GAP, bottom - TOP)
    lift = max(0.0, 0.5 * GAP - min(ups))
    levels = [bottom - up - lift for up in ups]
    wide = scale * whole.width
    parts = [
        *(_block(layer, edge, wide) for layer, edge in zip(layers, edges, strict=True)),
        *(_name(*one, wide) for one in zip(layers, middles, levels, strict=True)),
        _water(edges),
        *_ruler(scale, bottom),
    ]
    height = bottom + 30.0
    about = escape("; ".join(layer.words for layer in layers))
    across = "round, " if whole.round_filter else ""
    title = escape(f"The filter to scale, {across}{told(whole.width, 'cm')} across")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {WIDTH:g} {height:.1f}" '
        f'aria-labelledby="aq-title aq-desc"><title id="aq-title">{title}</title>'
        f'<desc id="aq-desc">In the water&#39;s order, from the bottom up: {about}.</desc>'
        f"<defs>{''.join(map(_pattern, PATTERNS))}</defs>"
        f'<g stroke="#000" font-family="sans-serif">{"".join(parts)}</g></svg>'
    )


def _edges(layers: tuple[Layer, ...], scale: float, bottom: float) -> list[tuple[float, float]]:
    """Return where each layer begins and ends, the first one at the bottom."""
    edges, low = [], bottom
    for layer in layers:
        edges.append((low, low - scale * layer.height))
        low = edges[-1][1]
    return edges


def _pattern(kind: str) -> str:
    side = SIZES[kind]
    return (
        f'<pattern id="{_id(kind)}" width="{side}" height="{side}" '
        f'patternUnits="userSpaceOnUse"><g stroke="#000">{PATTERNS[kind]}</g></pattern>'
    )


def _id(kind: str) -> str:
    return f"aq-{kind.replace(' ', '-')}"


def _look(holds: str) -> str:
    if holds == NOTHING:
        return "#fff"
    looks_like = {**dict.fromkeys(CHEMICALS, CARBON), FLOSS: PADS[2]}.get(holds, holds)
    return f"url(#{_id(looks_like if looks_like in PATTERNS else 'media')})"


def _block(layer: Layer, edge: tuple[float, float], wide: float) -> str:
    low, top = edge
    return (
        f'<rect x="{LEFT:g}" y="{top:.1f}" width="{wide:.1f}" height="{low - top:.1f}" '
        f'fill="{_look(layer.holds)}" stroke-width="1"/>'
    )


def _name(layer: Layer, middle: float, level: float, wide: float) -> str:
    right = LEFT + wide
    return (
        f'<path d="M{right:.1f} {middle:.1f}L{right + 5:.1f} {middle:.1f}L{NAMES - 6:g} '
        f'{level:.1f}L{NAMES - 2:g} {level:.1f}" fill="none" stroke-width=".5"/>'
        f'<g stroke="none"><text x="{NAMES:g}" y="{level - 1.5:.1f}" font-size="8" '
        f'font-weight="bold">{layer.place} {escape(layer.holds)}</text>'
        f'<text x="{NAMES:g}" y="{level + 7:.1f}" font-size="7.5">{escape(layer.amounts)}</text>'
        "</g>"
    )


def _water(edges: list[tuple[float, float]]) -> str:
    """Return an arrow for the water, up beside the layers."""
    low, top, at = edges[0][0], edges[-1][1], LEFT - 10.0
    return (
        f'<path d="M{at:g} {low:.1f}L{at:g} {top:.1f}M{at - 3:g} {top + 5:.1f}L{at:g} {top:.1f}'
        f'L{at + 3:g} {top + 5:.1f}" fill="none" stroke-width="1.2"/>'
        f'<text stroke="none" font-size="7.5" transform="translate({at - 5:g} {low:.1f}) '
        f'rotate(-90)">water</text>'
    )


def _ruler(scale: float, bottom: float) -> list[str]:
    """Return a bar of a round length, in the reader's unit."""
    from aqualib.lesson.drawing.axes import scale_bar

    length, words = scale_bar(from_si(0.6 * SIDE / scale, "cm"), "cm")
    end, down = LEFT + 0.01 * length * scale, bottom + 12.0
    ends = "".join(f"M{at:.1f} {down - 3:.1f}V{down + 3:.1f}" for at in (LEFT, end))
    return [
        f'<path d="M{LEFT:g} {down:.1f}H{end:.1f}{ends}" fill="none" stroke-width="1"/>',
        (
            f'<text stroke="none" font-size="7.5" x="{LEFT:g}" y="{down + 11:.1f}">'
            f"{escape(words)}</text>"
        ),
    ]
