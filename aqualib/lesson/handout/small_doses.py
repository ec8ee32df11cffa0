"""A dose in words: weighed where a kitchen scale shows it, else as millilitres of a stock."""

from __future__ import annotations

from aqualib.lesson.handout.layers import told
from aqualib.parameters import parameter
from aqualib.units import number


def least_weighed() -> float:
    """Return the mass, in kg, below which a kitchen scale shows nothing: half of its step."""
    return parameter("kitchen_scale_step").bare / 2.0


def portion(dose: float) -> str:
    """Return a dose in kg as grams, or as the millilitres of a stock that hold it."""
    if dose >= least_weighed():
        return told(dose, "g")
    # A syringe shows millilitres in every country.
    return f"{number(dose / _strength() * 1e6, 2)} mL of a stock"


def daily(dose: float) -> str:
    """Return a day's dose, with how its stock is made where one is needed."""
    if dose >= least_weighed():
        return portion(dose)
    mass, water = parameter("stock_dissolved"), parameter("stock_water")
    # In metric units alone, as the syringe is marked, and a page is short of room.
    made = f"{number(mass.value)} {mass.unit} in {number(water.value)} {water.unit}"
    return f"{portion(dose)} ({made}; labelled, away from children)"


def _strength() -> float:
    return parameter("stock_dissolved").bare / parameter("stock_water").bare


def stock_words() -> str:
    """Return how a dose is given that a scale does not show, for a form filled by hand."""
    mass, water = parameter("stock_dissolved"), parameter("stock_water")
    # Kilograms in a cubic metre are milligrams in a millilitre.
    each = number(_strength(), 2)
    return (
        f"Less than {number(1e6 * least_weighed())} mg moves no kitchen scale: dissolve "
        f"{number(mass.value)} {mass.unit} in {number(water.value)} {water.unit}, label it, keep "
        f"it from children; 1 mL of it holds {each} mg."
    )
