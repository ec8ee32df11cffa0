"""How water swallows ultraviolet light: two ways to say how clear it is at 254 nm."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import Number, Range, public

TRANSMITTANCE = Range(0.001, 1)
CENTIMETRE = 0.01
"""The length of water, in m, for which transmittance and absorbance are given."""


@public(returns="1/m", sources=())
def absorption_coefficient(transmittance: Annotated[Number, TRANSMITTANCE]) -> Any:
    """Return how fast ultraviolet light fades in the water, in 1/m.

    Water that looks like glass can still swallow ultraviolet: yellow stains that the eye hardly
    sees cost most of the dose.

    Equation: a = -ln(T) / 1 cm = -100 ln(T), with T the share that passes 1 cm.

    Parameters
    ----------
    transmittance : plain number, 0.001 to 1
        Share of the light of 254 nm that passes 1 cm of the water.

    Returns
    -------
    quantity in 1/m, for natural logarithms

    Raises
    ------
    ValidityError
        If the value is out of range.

    Notes
    -----
    Source: the definition of transmittance.
    Validity: one wavelength, 254 nm; particles also scatter, which is left out.
    Departures: none.

    Examples
    --------
    >>> absorption_coefficient(0.90).round(3)
    <Quantity(10.536, '1 / meter')>
    """
    # Adding zero makes the -0 of pure water a plain 0.
    return -np.log(transmittance) / CENTIMETRE + 0.0


@public(returns="1/cm", sources=())
def absorbance(transmittance: Annotated[Number, TRANSMITTANCE]) -> Any:
    """Return the absorbance at 254 nm, A254, in 1/cm.

    Water laboratories print this number; it says the same as transmittance.

    Equation: A254 = -log10(T), with T the share that passes 1 cm.

    Parameters
    ----------
    transmittance : plain number, 0.001 to 1
        Share of the light of 254 nm that passes 1 cm of the water.

    Returns
    -------
    quantity in 1/cm, for logarithms to the base 10

    Raises
    ------
    ValidityError
        If the value is out of range.

    Notes
    -----
    Source: the definition of absorbance.
    Validity: one wavelength, 254 nm.
    Departures: none.

    Examples
    --------
    >>> absorbance(0.90).round(4)
    <Quantity(0.0458, '1 / centimeter')>
    """
    return absorption_coefficient.bare(transmittance) / np.log(10.0)
