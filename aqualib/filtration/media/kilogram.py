"""What a kilogram of your own media is worth, from three weighings and the size of a piece."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from aqualib.arguments import one_number
from aqualib.draws import Span
from aqualib.filtration.media.bed import (
    area_per_volume,
    band,
    limits,
    shape_swing,
    with_unit,
)
from aqualib.filtration.media.kinds import MediaKind, media_kind
from aqualib.filtration.media.packing import voidage_from_density
from aqualib.filtration.media.surface import BED_DENSITIES
from aqualib.filtration.media.weighing import immersion_porosity, weighing_uncertainty
from aqualib.parameters import parameter
from aqualib.validity import ValidityError

SURE = 2.0
"""Standard uncertainties either way that hold about 19 values in 20."""


class Worth(NamedTuple):
    """A kilogram of media: each number low, best and high."""

    volume: Span
    outer_area: Span
    open_porosity: Span
    bulk_density: Span


def worth_of_a_kilogram(
    dry: Any,
    suspended: Any,
    saturated: Any,
    kind: str,
    size: Any,
    bed_density: Any = None,
    scale_step: Any = None,
    drip: Any = None,
    temperature: Any = None,
) -> Worth:
    """Return the litres and the outer area of a kilogram of your media, low, best and high.

    `dry`, `suspended`, `saturated` are the three weighings of a handful (`suspended_mass` gives
    the second from a bowl on the scale); `kind` is the nearest of `media_kinds()`, which gives the
    shape; `size` is the width of a piece (of foam, an inch over its pores per inch).
    `bed_density` is the mass of a litre of dry media in a wide jug; left out, the room between the
    pieces is the table's, with its whole range. Volumes are in L, areas in m², both per kg.

    The outer area of a kilogram is a / B, surface over volume of a piece over its density: how the
    pieces lie does not matter. Each range joins the doubts of scale, wiping, size and shape as
    squares; the shape of the pieces is the largest.
    """
    found = media_kind(kind)
    if found.shape in {"foam", "carrier"}:
        why = "is all surface and no pores; weighing in water tells nothing of it"
        raise ValidityError("kind", kind, "a ball, a ring or a broken piece", "", why)
    weighings = {"dry": dry, "suspended": suspended, "saturated": saturated}
    scale = {"scale_step": scale_step, "drip": drip}
    warm = {} if temperature is None else {"temperature": temperature}
    for name, value in (weighings | scale | warm).items():
        if value is not None or name in weighings:
            rule: Any = weighing_uncertainty.rules[name]
            one_number(name, value, rule)
    weighed = immersion_porosity(**weighings, **warm)
    doubt = weighing_uncertainty(**weighings, **scale, **warm)
    across = one_number("size", size, limits("size"))
    piece = weighed.bulk_density.m_as("kg/m**3")
    of_piece = SURE * doubt.bulk_density.m_as("kg/m**3") / piece
    area = area_per_volume(found, across, found["voidage"].bare) / piece
    return Worth(
        volume=_litres(found, weighed.bulk_density, of_piece, bed_density),
        outer_area=with_unit(band(area, of_piece, shape_swing(found)), 1.0, "m**2"),
        open_porosity=_plain(weighed.apparent_porosity, SURE * doubt.apparent_porosity),
        bulk_density=with_unit(band(piece, of_piece), 1.0, "kg/m**3"),
    )


def _litres(kind: MediaKind, piece: Any, of_piece: float, bed_density: Any) -> Span:
    if bed_density is not None:
        heavy = one_number("bed_density", bed_density, BED_DENSITIES)
        voidage_from_density(bed_density, piece)  # refuses a litre heavier than a piece
        jug = math.log1p(parameter("jug_doubt").bare)
        return with_unit(band(1000.0 / heavy, jug), 1.0, "L")
    gaps = kind["voidage"]
    density = piece.m_as("kg/m**3")
    best = 1000.0 / (density * (1.0 - gaps.value))
    low, high = (1000.0 / (density * (1.0 - end)) for end in (gaps.low, gaps.high))
    down = math.exp(-math.hypot(math.log(best / low), of_piece))
    up = math.exp(math.hypot(math.log(high / best), of_piece))
    return with_unit(Span(best * down, best, best * up), 1.0, "L")


def _plain(best: float, doubt: float) -> Span:
    return Span(max(best - doubt, 0.0), best, min(best + doubt, 1.0))
