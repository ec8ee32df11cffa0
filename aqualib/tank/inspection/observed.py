"""What a keeper observed of one piece that came with a filter; all but its looks may be missing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from aqualib.filtration.media.pieces import PIECE_SIZES
from aqualib.filtration.media.weighing import SUSPENDED, WEIGHED_MASSES, check_weighings
from aqualib.records import Checked
from aqualib.tank.inspection.kitchen_powders import HELD
from aqualib.tank.plan.parts import HEIGHTS
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range, ValidityError

SHEET, BLACK, WADDING = "sheet", "black grains", "floss"
BEADS, BROWN, PALE = "tiny beads", "rust-brown grains", "pale grains"
SHAPES = {
    "rings": "ring",
    "balls": "ball",
    "broken pieces": "broken",
    "plastic carriers": "carrier",
}
"""Looks of loose pieces -> the shape in `data/media.csv`."""
LOOKS = (SHEET, WADDING, BLACK, BEADS, BROWN, PALE, *SHAPES)
SQUEEZES = ("springs back", "stays flat")
FIZZES = ("no fizz", "fizz")
CLOTHS = NOT_LOOKED, MARKS, NO_MARKS = "not looked", "black marks", "no marks"
"""What grains leave on a wet white cloth: carbon blackens it, stone and plastic do not."""
MEANT_FOR = UNTOLD, AMMONIA, PHOSPHATES = "not told", "ammonia", "phosphate"
"""What pale grains are meant to take: no kitchen test tells it, so the bag is asked."""


@dataclass(frozen=True, eq=False)
class Piece(Checked):
    """One piece: its looks, and what scale, jug, ruler, hand and kitchen told of it.

    `dry` and `litres` are of all of it; `handful`, `suspended` and `saturated` are the three
    weighings. `flour`, `semolina` and `poppy` are what stayed in the pad. `cloth` is what grains
    left on a wet white cloth, `meant_for` what pale grains are said to take. `tray` is its place
    in the water's way, 1 for the first; left out, it is the tray that holds such a thing, or none.
    """

    name: str
    looks: Annotated[str, OneOf(LOOKS)]
    dry: Annotated[Amount | None, Range(0.001, 1e4, "kg")] = None
    litres: Annotated[Amount | None, Range(0.001, 1e5, "L")] = None
    thickness: Annotated[Amount | None, HEIGHTS] = None
    size: Annotated[Amount | None, PIECE_SIZES] = None
    handful: Annotated[Amount | None, WEIGHED_MASSES] = None
    suspended: Annotated[Amount | None, SUSPENDED] = None
    saturated: Annotated[Amount | None, WEIGHED_MASSES] = None
    flour: Annotated[str | None, OneOf(HELD)] = None
    semolina: Annotated[str | None, OneOf(HELD)] = None
    poppy: Annotated[str | None, OneOf(HELD)] = None
    squeeze: Annotated[str | None, OneOf(SQUEEZES)] = None
    vinegar: Annotated[str | None, OneOf(FIZZES)] = None
    cloth: Annotated[str, OneOf(CLOTHS)] = NOT_LOOKED
    meant_for: Annotated[str, OneOf(MEANT_FOR)] = UNTOLD
    tray: Annotated[Number | None, Range(1, 12, whole=True)] = None

    def check(self) -> None:
        """Refuse weighings that are not three, and those that no piece can have."""
        weighed = self.bare.handful, self.bare.suspended, self.bare.saturated
        given = [one is not None for one in weighed]
        if any(given) and not all(given):
            why = "tell nothing unless all three are there"
            valid = "handful, suspended and saturated, or none of them"
            raise ValidityError("weighings", f"{sum(given)} of 3", valid, "", why)
        if all(given):
            check_weighings(*weighed)

    @property
    def is_weighed(self) -> bool:
        """Whether its three weighings were made."""
        return self.bare.saturated is not None

    @property
    def catches(self) -> dict[str, str]:
        """What stayed in it of each powder that was poured."""
        poured = {"flour": self.flour, "semolina": self.semolina, "poppy": self.poppy}
        return {powder: held for powder, held in poured.items() if held is not None}
