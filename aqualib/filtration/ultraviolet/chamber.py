"""The lit chamber of an ultraviolet lamp: how light fades across the water around the sleeve."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.filtration.hydraulics.pump import LEAST_FLOW
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError

TRANSMITTANCE = Range(0.001, 1)
CENTIMETRE = 0.01
"""The length of water, in m, for which transmittance is given."""
RADIUS = Range(1, 1000, "mm")
LENGTH = Range(1, 5000, "mm")
UV_POWER = Range(0, 1e4, "W")


@public(returns="1/m", sources=())
def absorption_coefficient(transmittance: Annotated[Number, TRANSMITTANCE]) -> Number:
    """Return how fast ultraviolet light fades in the water, in 1/m.

    Water that looks like glass can still swallow ultraviolet: yellow stains that the eye hardly
    sees cost most of the dose.

    Equation: a = -ln(T) / 1 cm = -100 ln(T), with T the share that passes 1 cm.

    transmittance: Share of the light of 254 nm that passes 1 cm of the water.
    Returns: For natural logarithms.
    Source: the definition of transmittance.
    Validity: one wavelength, 254 nm; particles also scatter, which is left out.

    >>> absorption_coefficient(0.90).round(3)
    <Quantity(10.536, '1 / meter')>
    """
    # Adding zero makes the -0 of pure water a plain 0.
    return -np.log(transmittance) / CENTIMETRE + 0.0


def check_radii(**given: Any) -> None:
    """Raise unless the shell, or the place asked for, lies outside the sleeve."""
    inner = given["inner_radius"]
    name = "outer_radius" if "outer_radius" in given else "radius"
    outer = given[name]
    # At the sleeve itself there is light, but a shell there would leave no room for water.
    bad = np.asarray(outer) < inner if name == "radius" else np.asarray(outer) <= inner
    if np.any(bad):
        outside, sleeve = (float(x[bad].flat[0]) for x in np.broadcast_arrays(outer, inner))
        shown, valid = f"{1000.0 * outside:g} mm", f"more than the sleeve's {1000.0 * sleeve:g} mm"
        raise ValidityError(name, shown, valid, "", "lies inside the sleeve or on it")


def light_path(gap: Any, transmittance: Any) -> Any:
    """Return the length of water, in m, that the light would cross unweakened to do as much.

    It is (1 - exp(-a d)) / a, and the gap d itself where the water absorbs nothing.
    """
    fading = absorption_coefficient.bare(transmittance) * gap
    something = np.maximum(fading, np.finfo(float).tiny)
    return gap * np.where(fading > 0.0, -np.expm1(-fading) / something, 1.0)


@public(returns="L", sources=(), together=check_radii)
def lit_volume(
    inner_radius: Annotated[Amount, RADIUS],
    outer_radius: Annotated[Amount, RADIUS],
    lit_length: Annotated[Amount, LENGTH],
) -> Number:
    """Return the water that is lit at any time, between sleeve and shell, in L.

    In a small unit it is less than half a litre, so water is in the light for a second or two.

    Equation: V = pi (r_o² - r_i²) L.

    inner_radius: Outer radius of the quartz sleeve, r_i.
    outer_radius: Inside radius of the shell, r_o.
    Raises: the shell is no wider than the sleeve.
    Source: the volume of a ring.
    Validity: a round sleeve in the middle of a round shell.

    >>> lit_volume(Q(12.5, "mm"), Q(30, "mm"), Q(200, "mm")).round(3)
    <Quantity(0.467, 'liter')>
    """
    return np.pi * (outer_radius**2 - inner_radius**2) * lit_length


@public(returns="s", sources=())
def time_in_light(
    volume: Annotated[Amount, Range(1e-4, 1e4, "L")],
    flow: Annotated[Amount, LEAST_FLOW],
) -> Number:
    """Return how long the water is lit in one pass, on average, in s.

    Twice the flow means half the time and half the dose.

    Equation: t = V / Q.

    volume: The lit water, see `lit_volume`.
    Source: the definition of a mean time of stay.
    Validity: the mean; some water passes faster.

    >>> time_in_light(Q(0.467312, "L"), Q(1000, "L/h")).round(3)
    <Quantity(1.682, 'second')>
    """
    return volume / flow


@public(returns="W/m**2", sources=(), together=check_radii)
def fluence_rate(
    uv_power: Annotated[Amount, UV_POWER],
    radius: Annotated[Amount, RADIUS],
    inner_radius: Annotated[Amount, RADIUS],
    lit_length: Annotated[Amount, LENGTH],
    transmittance: Annotated[Number, TRANSMITTANCE],
) -> Number:
    """Return the strength of the light at a distance from the lamp's axis, in W/m².

    It fades twice over: the light spreads over a wider ring, and the water swallows it.

    Equation: E(r) = P / (2 pi r L) exp(-a (r - r_i)), with a from `absorption_coefficient`.

    uv_power: UV-C that leaves the sleeve, P.
    radius: Distance from the lamp's axis, r.
    inner_radius: Outer radius of the quartz sleeve, r_i.
    Returns: A tenth of it in mW/cm².
    Raises: the place lies inside the sleeve.
    Source: radial spreading and fading, derived.
    Validity: light that leaves at right angles to the lamp, far from its ends; no reflection.
    Departures: a real lamp also shines slantwise, a longer way through the water.

    >>> sleeve, length = Q(12.5, "mm"), Q(200, "mm")
    >>> for place in (12.5, 30):
    ...     print(fluence_rate(Q(2.7, "W"), Q(place, "mm"), sleeve, length, 0.9).round(1))
    171.9 watt / meter ** 2
    59.6 watt / meter ** 2
    """
    fading = absorption_coefficient.bare(transmittance) * (radius - inner_radius)
    return uv_power / (2.0 * np.pi * radius * lit_length) * np.exp(-fading)


@public(returns="W/m**2", sources=(), together=check_radii)
def mean_fluence_rate(
    uv_power: Annotated[Amount, UV_POWER],
    inner_radius: Annotated[Amount, RADIUS],
    outer_radius: Annotated[Amount, RADIUS],
    lit_length: Annotated[Amount, LENGTH],
    transmittance: Annotated[Number, TRANSMITTANCE],
) -> Number:
    """Return the mean strength of the light in the lit water, in W/m².

    Times the seconds in the light it gives the dose.

    Equation: E' = P (1 - exp(-a d)) / (a V), with d = r_o - r_i and V from `lit_volume`; where
    the water absorbs nothing, P d / V.

    uv_power: UV-C that leaves the sleeve, P.
    inner_radius: Outer radius of the quartz sleeve, r_i.
    outer_radius: Inside radius of the shell, r_o.
    Returns: A tenth of it in mW/cm².
    Raises: the shell is no wider than the sleeve.
    Source: the mean of `fluence_rate` over the lit water, in closed form.
    Validity: as `fluence_rate`.

    >>> size = Q(12.5, "mm"), Q(30, "mm"), Q(200, "mm")
    >>> mean_fluence_rate(Q(2.7, "W"), *size, 0.95).round(2)
    <Quantity(96.7, 'watt / meter ** 2')>
    """
    path = light_path(outer_radius - inner_radius, transmittance)
    return uv_power * path / lit_volume.bare(inner_radius, outer_radius, lit_length)
