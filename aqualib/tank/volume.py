"""How much water a tank of a given shape holds; `displacement` takes off what stands in it."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import first_bad

SIDE = Range(1, 1000, "cm")
DEPTH = Range(0.1, 1000, "cm")
LITRES = Range(0, 1e6, "L")


def _check_glass(outside: Any, glass_thickness: Any, panes: Any) -> None:
    full = np.asarray(outside - panes * glass_thickness) <= 0.0
    if np.any(full):
        (thickness,) = first_bad(full, glass_thickness)
        valid = "glass thinner than the outside dimension allows"
        why = "leaves no room inside `outside`"
        raise ValidityError("glass_thickness", f"{thickness * 1000.0:g} mm", valid, "", why)


@public(returns="cm", sources=(), together=_check_glass)
def inside(
    outside: Annotated[Amount, SIDE],
    glass_thickness: Annotated[Amount, Range(0, 100, "mm")],
    panes: Annotated[Number, Range(1, 2, whole=True)] = 2,
) -> Number:
    """Return an inside dimension from the outside one, in cm.

    A tape held against the outside measures glass as well: 1 cm glass on a 60 cm tank hides
    about 3 % of its length and as much or more of its width.

    Equation: inside = outside - n w, with n panes of thickness w.

    panes: 2 for length and width, 1 for a height measured from the table up.
    Raises: the glass fills the dimension.
    Source: geometry.
    Validity: panes of one thickness; silicone between them is not counted.

    >>> inside(Q(60, "cm"), Q(6, "mm")).round(1)
    <Quantity(58.8, 'centimeter')>
    """
    return outside - panes * glass_thickness


@public(returns="L", sources=())
def rectangular_volume(
    length: Annotated[Amount, SIDE],
    width: Annotated[Amount, SIDE],
    depth: Annotated[Amount, DEPTH],
) -> Number:
    """Return the volume of water in a rectangular tank, in L.

    Measure inside the glass, and the depth of water, not the height of the tank.

    Equation: V = l w d.

    length: Inside, as given by `inside`.
    width: Inside, front to back.
    depth: Of the water, from the bottom pane up.
    Source: geometry.
    Validity: flat panes at right angles; nothing in the tank yet.

    >>> rectangular_volume(Q(60, "cm"), Q(30, "cm"), Q(30, "cm")).round(1)
    <Quantity(54.0, 'liter')>
    """
    return length * width * depth


@public(returns="L", sources=())
def cylinder_volume(
    diameter: Annotated[Amount, SIDE],
    depth: Annotated[Amount, DEPTH],
) -> Number:
    """Return the volume of water in a round tank, in L.

    The diameter counts twice: a tank a tenth wider holds a fifth more.

    Equation: V = pi D^2 d / 4.

    diameter: Inside.
    depth: Of the water.
    Source: geometry.
    Validity: straight walls; also a bucket or a sump of one width.

    >>> cylinder_volume(Q(40, "cm"), Q(50, "cm")).round(2)
    <Quantity(62.83, 'liter')>
    """
    return np.pi / 4.0 * diameter**2 * depth


@public(returns="L", sources=())
def hexagon_volume(
    side: Annotated[Amount, SIDE],
    depth: Annotated[Amount, DEPTH],
) -> Number:
    """Return the volume of water in a regular six-sided tank, in L.

    Measure one pane inside; across the corners the tank is two panes wide.

    Equation: V = (3 sqrt(3) / 2) s^2 d.

    side: Inside width of one of the six panes.
    depth: Of the water.
    Source: geometry.
    Validity: six equal panes at equal angles.

    >>> hexagon_volume(Q(30, "cm"), Q(50, "cm")).round(1)
    <Quantity(116.9, 'liter')>
    """
    return 1.5 * np.sqrt(3.0) * side**2 * depth


def _segment_area(chord: Any, rise: Any) -> Any:
    """Return the area between a chord and its arc, from the chord's length and the arc's rise."""
    # With the half angle of the arc as the variable nothing large cancels when the bow is flat.
    half = 2.0 * np.arctan(2.0 * rise / chord)
    radius = chord / 2.0 / np.sin(half)
    return radius**2 * (half - np.sin(half) * np.cos(half))


def _check_bow(length: Any, bow: Any, **_: Any) -> None:
    too_far = np.asarray(bow) > np.asarray(length) / 2.0 * (1.0 + 1e-9)
    if np.any(too_far):
        (shown,) = first_bad(too_far, bow)
        valid = "at most half of `length`, which is a half circle"
        why = "is more than a half circle"
        raise ValidityError("bow", f"{shown * 100.0:g} cm", valid, "", why)


@public(returns="L", sources=(), together=_check_bow)
def bow_front_volume(
    length: Annotated[Amount, SIDE],
    width: Annotated[Amount, SIDE],
    bow: Annotated[Amount, Range(0.1, 500, "cm")],
    depth: Annotated[Amount, DEPTH],
) -> Number:
    """Return the volume of water in a tank with a bowed front, in L.

    The bow adds about two thirds of its length times its bulge: 27 L in the example below.

    Equation: V = (l w + R^2 (a - sin a cos a)) d, with half angle a = 2 arctan(2 b / l) and
    radius R = l / (2 sin a).

    length: Inside, between the two front corners.
    width: Inside, from the back to a front corner, so without the bow.
    bow: How far the middle of the front stands out beyond its corners.
    depth: Of the water.
    Raises: the bow is more than a half circle.
    Source: geometry.
    Validity: the front is an arc of one circle.

    >>> bow_front_volume(Q(90, "cm"), Q(35, "cm"), Q(10, "cm"), Q(45, "cm")).round(1)
    <Quantity(169.0, 'liter')>
    """
    return (length * width + _segment_area(length, bow)) * depth


@public(returns="L", sources=())
def displaced_by(
    mass: Annotated[Amount, Range(0, 10000, "kg")],
    density: Annotated[Amount, Range(300, 8000, "kg/m**3")],
) -> Number:
    """Return the volume of water that a stone or a piece of wood pushes out, in L.

    Ten kilograms of granite take the place of nearly four litres of water. Porous rock looks
    larger and takes less: water soaks into its pores and stays water of the tank.

    Equation: V = m / rho.

    density: Of what keeps water out: of the stone itself, without its open pores. Rows of
        `data/parameters.csv` give it for common stones, for the mineral of corals and for
        sunken wood; `immersion_porosity` of filtration.media gives yours as apparent_density,
        and m / rho is then (D - S) over the density of the water, with D dry and S hung.
    Source: geometry.
    Validity: the piece lies wholly under water and weighed dry, and every pore that is open has
        soaked full. That takes days; pores that are closed, or still hold air, take room too.

    >>> from aqualib.parameters import parameter
    >>> displaced_by(Q(10, "kg"), parameter("granite_density").quantity).round(2)
    <Quantity(3.77, 'liter')>
    """
    return mass / density


@public(returns="L", sources=())
def gravel_displacement(
    footprint: Annotated[Amount, Range(0, 1e6, "cm**2")],
    gravel_depth: Annotated[Amount, Range(0, 500, "cm")],
    porosity: Annotated[Number | None, Range(0.05, 0.95)] = None,
) -> Number:
    """Return the volume of water that a bed of gravel or sand pushes out, in L.

    Only the grains displace water; some two fifths of the bed is water between them.

    Equation: V = A h (1 - e), with porosity e.

    footprint: The area the bed covers.
    gravel_depth: Its mean depth.
    porosity: Share of the bed that is water; None takes `gravel_porosity` of
        `data/parameters.csv`.
    Source: geometry; the default porosity is assumed.
    Validity: solid grains wholly under water, no air trapped between them.

    >>> gravel_displacement(Q(60, "cm") * Q(30, "cm"), Q(5, "cm")).round(1)
    <Quantity(5.4, 'liter')>
    """
    share = or_row(porosity, "gravel_porosity")
    return footprint * gravel_depth * (1.0 - share)


def _check_displaced(gross: Any, displaced: Any) -> None:
    over = np.asarray(displaced) > np.asarray(gross) * (1.0 + 1e-9)
    if np.any(over):
        most, room = np.broadcast_arrays(displaced, gross)
        place = np.unravel_index(int(np.argmax(over)), over.shape)
        value = f"{most[place] * 1000.0:g} L"
        valid = f"at most `gross`, here {room[place] * 1000.0:g} L"
        raise ValidityError("displaced", value, valid, "", "is more than the tank holds")


@public(returns="L", sources=(), together=_check_displaced)
def true_water_volume(
    gross: Annotated[Amount, LITRES],
    displaced: Annotated[Amount, LITRES],
) -> Number:
    """Return the water that is really in the tank, in L.

    Doses, water changes and loads go by this volume, not by the one on the label.

    Equation: V = V_gross - V_displaced.

    gross: The inside volume up to the water line.
    displaced: The sum of what stones, wood and gravel push out.
    Raises: more is displaced than is there.
    Source: geometry.
    Validity: everything displaced lies below the water line that `gross` was measured to; the
        water in a filter or sump comes on top.

    >>> true_water_volume(Q(54, "L"), Q(9.2, "L")).round(1)
    <Quantity(44.8, 'liter')>
    """
    return np.maximum(gross - displaced, 0.0)
