"""The layers of a filter in the water's order: kilograms, pounds, litres and centimetres."""

from __future__ import annotations

from typing import NamedTuple

from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.parts import MEDIA
from aqualib.tank.plan.trays import Place, one_kilogram
from aqualib.units import Q, from_si, get_units, number, shown


def told(value: float, unit: str, digits: int = 2) -> str:
    """Return an SI number in a metric unit and in the reader's, as text."""
    return shown(from_si(value, unit), unit, digits)


FOOD = "g/day"
LEAST_FOOD = 0.001
"""Grams a day: a hundredth of a pinch."""


def grams(feed: float) -> str:
    """Return a food in grams a day; what no scales show is none."""
    food = from_si(feed, FOOD)
    return number(food, 2) if food >= LEAST_FOOD else "0"


def weight(mass: float) -> str:
    """Return a mass in grams, or from a kilogram on in kilograms."""
    return told(mass, "kg" if mass >= 1.0 else "g")


class Layer(NamedTuple):
    """One layer: its place from 1 on, what it holds, and its amounts in words."""

    place: int
    holds: str
    amounts: str
    height: float
    """In metres."""

    @property
    def words(self) -> str:
        """The layer on one line."""
        return f"{self.place} {self.holds}: {self.amounts}"


def layers_of(whole: Filled) -> tuple[Layer, ...]:
    """Return the layers of a filter in the water's order."""
    return tuple(
        Layer(at, place.holds, _amounts(whole, place), place.height)
        for at, place in enumerate(whole.places, start=1)
    )


def _amounts(whole: Filled, place: Place) -> str:
    room = whole.floor * place.height
    amounts = [told(room, "L"), told(place.height, "cm")]
    if place.holds in MEDIA:
        filled = place.media / float(one_kilogram(place.holds).bed_density)
        # A tray that is not full is told by what lies in it.
        amounts[0] = told(filled, "L")
        amounts.insert(0, both_weights(place.media))
    return ", ".join(amounts)


def both_weights(mass: float) -> str:
    """Return a mass in kilograms and pounds, the reader's own first."""
    if get_units() != "metric":
        return told(mass, "kg", 3)
    return f"{told(mass, 'kg', 3)} ({number(Q(mass, 'kg').m_as('lb'), 3)} lb)"
