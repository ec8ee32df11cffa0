"""The parameters that fit readings best, and how sure of them one may be."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import least_squares
from scipy.special import log_ndtr

from aqualib.arguments import plain_number
from aqualib.validity import Range, ValidityError

Residuals = Callable[[Any], Any]
CONCENTRATIONS, RATES = Range(0, 1e30), Range(-1e30, 1e30)
FIRST_DAMPING, MOST_DAMPING = 1e-2, 1e3
EASIER, HARDER = 5.0, 5.0
MOST_STEPS = 40
LEARNT, MEASURED = range(2)
"""Whether the slopes that weigh were measured where the search stands."""
STRONG = 2.0
"""Sum of squared slopes of a value; where there are priors, each gives it one to begin with."""
FAR = 1000.0
"""So many times beyond all concentrations, half saturation is out of their reach."""


class Fit(NamedTuple):
    """The best fit; `covariance` is that of residuals with a spread of one (Laplace)."""

    values: Any
    covariance: Any
    residuals: Any
    slopes: Any
    """How the residuals follow the values, at the best fit."""

    @property
    def spread(self) -> float:
        """The standard deviation of the residuals, for what they have left to vary."""
        left = len(self.residuals) - len(self.values)
        return float(np.sqrt(self.residuals @ self.residuals / left))

    @property
    def errors(self) -> Any:
        """The standard errors, if the spread of the residuals is all there is to know of them."""
        return self.spread * np.sqrt(np.diag(self.covariance))


def estimate(residuals: Residuals, start: Any, step: Any, tolerance: float = 1e-8) -> Fit:
    """Return the values with the least sum of squared residuals, from `start`.

    `step` is how far each value is moved to see what follows, for the derivatives.
    """
    first = np.array(start, dtype=float)
    steps = np.broadcast_to(np.asarray(step, dtype=float), first.shape)
    found = least_squares(
        residuals, first, _jacobian(residuals, steps), method="lm", ftol=tolerance, xtol=tolerance
    )
    slopes: Any = found.jac
    return Fit(found.x, np.linalg.pinv(slopes.T @ slopes), found.fun, slopes)


def estimate_in_few_calls(residuals: Residuals, start: Any, step: float, tolerance: float) -> Fit:
    """Return what `estimate` does, for residuals that are dear: a model has to be run for each.

    Slopes are measured at the start; on the way they are learnt from what each step does
    (Broyden's update). Where that leads no further those that weigh are measured again.
    Steps are damped (Levenberg and Marquardt).
    """
    place = np.array(start, dtype=float)
    here = residuals(place)
    slopes = _measured(residuals, place, here, step)
    damping, known = FIRST_DAMPING, MEASURED
    for _ in range(MOST_STEPS):
        normal = slopes.T @ slopes
        move = -np.linalg.solve(normal + damping * np.diag(np.diag(normal)), slopes.T @ here)
        if not move.any():
            break
        there = residuals(place + move)
        learn(slopes, there - here, move)
        gained = here @ here - there @ there
        if gained > 0.0:
            place, here, damping = place + move, there, damping / EASIER
        else:
            damping *= HARDER
        if gained > tolerance * (here @ here):
            known = LEARNT
        elif known == MEASURED:
            if gained > 0.0 or damping > MOST_DAMPING:
                break
        else:
            strong = (slopes**2).sum(axis=0) > STRONG
            slopes[:, strong] = _measured(residuals, place, here, step, np.flatnonzero(strong))
            known = MEASURED
    else:
        slopes = _measured(residuals, place, here, step)
    return Fit(place, np.linalg.pinv(slopes.T @ slopes), here, slopes)


def learn(slopes: Any, change: Any, move: Any) -> None:
    """Change slopes the least, so that they tell how residuals changed on a move (Broyden)."""
    slopes += np.outer(change - slopes @ move, move) / (move @ move)


def _measured(residuals: Residuals, place: Any, here: Any, step: Any, which: Any = None) -> Any:
    """Return the slopes of the residuals, of all values or of some; `step` is one or one each."""
    columns = range(len(place)) if which is None else which
    steps = np.broadcast_to(step, len(place))
    found = np.empty((len(here), len(columns)))
    for number, column in enumerate(columns):
        moved = place.copy()
        moved[column] += steps[column]
        found[:, number] = (residuals(moved) - here) / steps[column]
    return found


def _jacobian(residuals: Residuals, steps: Any) -> Residuals:
    return lambda values: _measured(residuals, values, residuals(values), steps)


def beyond(room: Any) -> Any:
    """Return the residual of a reading of which only a limit is known.

    `room` is how far inside the limit the model lies, in standard deviations. Half the square of
    the residual is minus the logarithm of the chance that a reading lies beyond the limit, so that
    "<0.25" counts for exactly what it says (a Tobit model).
    """
    return np.sqrt(-2.0 * log_ndtr(room))


class SaturationConstants(NamedTuple):
    """The two constants of a saturation curve and their standard errors, in the units given."""

    largest: float
    half: float
    largest_error: float
    half_error: float


def saturation_constants(concentrations: Any, rates: Any) -> SaturationConstants:
    """Return V and K of v = V c / (K + c) that fit measured rates with the least squares.

    Three different concentrations or more, as plain numbers in any unit; each rate counts alike.
    Rates that rise in a straight line, or do not rise, hold no such constants and are refused.
    """
    c = np.asarray(plain_number("concentrations", concentrations, CONCENTRATIONS))
    v = np.asarray(plain_number("rates", rates, RATES))
    if c.shape != v.shape or c.ndim != 1 or len(np.unique(c)) < 3:
        valid = "two lists of the same length, with three different concentrations or more"
        shown = f"shapes {c.shape} and {v.shape}"
        raise ValidityError("concentrations, rates", shown, valid, "", "are too few to fit")
    if v.max() <= 0.0:
        valid = "at least one above zero"
        raise ValidityError("rates", "a list", valid, "", "holds none that is above zero")
    # Both constants are above zero, so their logarithms are fitted.
    start = np.log([v.max(), np.median(c[c > 0.0])])
    found = estimate(lambda p: v - np.exp(p[0]) * c / (np.exp(p[1]) + c), start, 1e-6, 1e-12)
    largest, half = np.exp(found.values)
    if not c[c > 0.0].min() / FAR < half < c.max() * FAR:
        valid = "rates that rise fast at first and then ever less"
        raise ValidityError("rates", "a list", valid, "", "does not bend, or does not rise")
    errors = found.errors * (largest, half)
    return SaturationConstants(*(float(number) for number in (largest, half, *errors)))
