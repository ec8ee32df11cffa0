"""The tank that a log is of: the learner's own, where it is told and in use, else the invented."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from aqualib.lesson.whose_tank import EXAMPLE, system_in_use, whose_tank
from aqualib.tank.plan import System, filled, outcome
from aqualib.tank.test_log import OwnTank, own_tank
from aqualib.units import Q


def tank_of_log() -> OwnTank:
    """Return the tank in use as a log wants it; what its keeper left open stays untold."""
    system = system_in_use()
    if whose_tank.value == EXAMPLE:
        return own_tank()
    return own_tank(**dict(_told(system)), **_water(system))


def _told(system: System) -> Iterator[tuple[str, Any]]:
    """Give what the keeper said of tank, food and filter, worked out as their plan does."""
    whole, _ = filled(system)
    if system.tank.given():
        yield "volume", Q(whole.volume, "m^3").to("L")
    if system.stock.given():
        yield "food", Q(whole.feed, "kg/s").to("g/day")
        yield "protein", whole.protein
    if system.filter is not None:
        now = outcome(whole)
        yield "media_area", Q(now.media_area + now.pad_area, "m^2")
    if system.care.gives("seed"):
        yield "seed", whole.seed


def _water(system: System) -> dict[str, Any]:
    asked = {"temperature", "salinity", "ph", "alkalinity"}
    return {name: value for name, value in system.water.given().items() if name in asked}
