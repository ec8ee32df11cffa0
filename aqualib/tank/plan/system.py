"""A system: one tank with its one filter, as the keeper told it, and the example of the lessons."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass, field, fields, replace
from functools import lru_cache
from typing import Any, get_type_hints

from aqualib.filtration.media import media_bed
from aqualib.parameters import parameter
from aqualib.records import Row
from aqualib.running_tank import running_tank
from aqualib.tank.plan.parts import (
    PADS,
    SETTLING,
    Carbon,
    Care,
    Filter,
    Hose,
    Lamp,
    Part,
    Pump,
    Readings,
    Stock,
    Tank,
    Tray,
    Water,
)
from aqualib.units import Q
from aqualib.validity import ValidityError, quoted

LONGEST_NAME = 80
LONGEST_CURRENCY = 8


@dataclass(frozen=True)
class System:
    """One tank with its filter; a part left out, None, is there as usual but nobody told of it.

    `lamp` and `carbon` left out are not there. `name` is what the keeper calls it, `currency` the
    money of the price; both are only repeated.
    """

    name: str = "My tank"
    tank: Tank = field(default_factory=Tank)
    water: Water = field(default_factory=Water)
    stock: Stock = field(default_factory=Stock)
    filter: Filter | None = None
    pump: Pump = field(default_factory=Pump)
    hose: Hose = field(default_factory=Hose)
    lamp: Lamp | None = None
    carbon: Carbon | None = None
    care: Care = field(default_factory=Care)
    readings: Readings = field(default_factory=Readings)
    currency: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "name", one_line("name", self.name, LONGEST_NAME, least=1))
        object.__setattr__(
            self, "currency", one_line("currency", self.currency, LONGEST_CURRENCY, least=0)
        )
        for name, kind in PARTS.items():
            part = getattr(self, name)
            if not isinstance(part, kind) and not (part is None and name in MAY_BE_LEFT_OUT):
                raise ValidityError(name, quoted(part), kind.__name__, "", "is no such part")

    def changed(self, part: str, **changes: Any) -> System:
        """Return a copy in which some fields of a part are others; None leaves a field open."""
        now = getattr(self, part)
        made: Any = PARTS[part](**changes) if now is None else now.changed(**changes)
        return replace(self, **{part: made})


PARTS: dict[str, type[Part]] = {
    "tank": Tank,
    "water": Water,
    "stock": Stock,
    "filter": Filter,
    "pump": Pump,
    "hose": Hose,
    "lamp": Lamp,
    "carbon": Carbon,
    "care": Care,
    "readings": Readings,
}
MAY_BE_LEFT_OUT = ("filter", "lamp", "carbon")


def one_line(name: str, text: object, most: int, least: int) -> str:
    """Return a line of text without spaces about it, or raise."""
    valid = f"one line of {least} to {most} signs"
    if not isinstance(text, str):
        raise ValidityError(name, quoted(text), valid, "", "is no text")
    line = text.strip()
    if any(unicodedata.category(sign) in {"Cc", "Cs", "Zl", "Zp"} for sign in line):
        raise ValidityError(name, quoted(text), valid, "", "holds a sign that cannot be printed")
    if not least <= len(line) <= most:
        raise ValidityError(name, quoted(text), valid, "", "is too long or empty")
    return line


def rows_of_part(kind: type[Part]) -> dict[str, str]:
    """Return the row of `data/parameters.csv` of each field that has one."""
    hints = get_type_hints(kind, include_extras=True)
    found = {}
    for one in fields(kind):  # type: ignore[arg-type]
        rows = [m.name for m in getattr(hints[one.name], "__metadata__", ()) if isinstance(m, Row)]
        if rows:
            found[one.name] = rows[0]
    return found


def _part(kind: type[Part], numbers: dict[str, float], *left_open: str, **more: Any) -> Any:
    """Return a part with the numbers of the running tank."""
    given = {}
    for name, row in rows_of_part(kind).items():
        if row in numbers and name not in left_open:
            value, unit = numbers[row], parameter(row).unit
            given[name] = Q(value, unit) if unit else value
    return kind(**given, **more)


@lru_cache(maxsize=2)
def example_system(*, marine: bool = False) -> System:
    """Return the invented tank of all lessons, or its marine twin."""
    found = running_tank()
    numbers = found.marine if marine else found.fresh
    depth = Q(numbers["filter_pad_depth"], "mm")
    trays = (
        Tray(SETTLING, Q(numbers["settling_height"], "mm")),
        *(Tray(grade, depth) for grade in PADS),
        Tray(found.media, _just_filled(found.media, numbers), Q(numbers["filter_media"], "kg")),
    )
    return System(
        name="The lessons' marine tank (invented)" if marine else "The lessons' tank (invented)",
        # The litres follow from its sides, in lesson 01 and here.
        tank=_part(Tank, numbers, "water"),
        water=_part(Water, numbers, "alkalinity", "chloride"),
        # Its food is weighed: what the fish would eat is another sum.
        stock=_part(Stock, numbers),
        filter=_part(Filter, numbers, "length", trays=trays),
        pump=_part(Pump, numbers),
        hose=_part(Hose, numbers),
        lamp=_part(Lamp, numbers),
        carbon=_part(Carbon, numbers),
        care=_part(Care, numbers, seed="squeeze"),
        readings=_part(Readings, numbers),
    )


def _just_filled(kind: str, numbers: dict[str, float]) -> Any:
    """Return the height of a tray that the example's media just fill, rounded up to 5 mm."""
    litres = media_bed(kind, Q(numbers["filter_media"], "kg")).volume.best.m_as("L")
    floor = math.pi / 4.0 * numbers["filter_width"] ** 2
    return Q(5.0 * math.ceil(1e4 * litres / floor / 5.0), "mm")
