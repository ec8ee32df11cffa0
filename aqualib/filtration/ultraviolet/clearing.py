"""A tank in which an ultraviolet lamp works: how fast what swims there is cleared, and how far."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.draws import Span
from aqualib.edge import public
from aqualib.filtration.hydraulics.hose import LOOP_FLOWS
from aqualib.filtration.hydraulics.pump import LEAST_FLOW
from aqualib.filtration.ultraviolet.chamber import RADIUS, TRANSMITTANCE, check_radii
from aqualib.filtration.ultraviolet.dose import delivered_fluence
from aqualib.filtration.ultraviolet.inactivation import (
    ORGANISMS,
    inactivated_share,
    tabled_inactivation,
)
from aqualib.filtration.ultraviolet.lamp import ELECTRIC_POWER, HOURS, OUTPUT_SHARES
from aqualib.units import SECONDS_PER_DAY, Amount, Number
from aqualib.validity import OneOf, Range, ValidityError

LAMP_VOLUMES = Range(0.1, 1e6, "L")
PER_PASS = Range(0, 1)
SOME_PER_PASS = Range(1e-6, 1)
GROWTH = Range(0, 100, "1/day")


@public(returns="1/day", sources=())
def kill_rate(
    flow: Annotated[Amount, LOOP_FLOWS],
    inactivated: Annotated[Number, PER_PASS],
    volume: Annotated[Amount, LAMP_VOLUMES],
) -> Number:
    """Return how fast a lamp clears what swims in the tank, per day.

    It counts only for what is suspended: nothing on glass, gravel, media or fish ever passes.

    Equation: k = Q f / V, with f the share inactivated in one pass.

    flow: Through the lamp's housing, Q.
    inactivated: Share inactivated in one pass, f, see `inactivated_share`.
    Source: the balance of a well-mixed tank.
    Validity: a lamp that runs all day; else times the share of the day that it runs.
    Departures: corners that the flow does not reach are cleared more slowly.

    >>> kill_rate(Q(600, "L/h"), 0.9, Q(200, "L")).round(1)
    <Quantity(64.8, '1 / day')>
    """
    return flow * inactivated / volume


@public(
    returns={"low": "1/day", "best": "1/day", "high": "1/day"},
    sources=(),
    together=check_radii,
)
def lamp_kill_rate(
    electric_power: Annotated[Amount, ELECTRIC_POWER],
    flow: Annotated[Amount, LEAST_FLOW],
    volume: Annotated[Amount, LAMP_VOLUMES],
    inner_radius: Annotated[Amount, RADIUS],
    outer_radius: Annotated[Amount, RADIUS],
    transmittance: Annotated[Number, TRANSMITTANCE],
    organism: Annotated[str, OneOf(ORGANISMS)] = "tank_coliforms",
    lamp_hours: Annotated[Amount, HOURS] = 0.0,
    fouling: Annotated[Number | None, OUTPUT_SHARES] = None,
) -> Span:
    """Return how fast a lamp kills what swims in its tank, per day, from the watts printed on it.

    One lamp has one answer, whatever asks: clearing green water, or a filter whose bacteria still
    swim.

    Equation: k = Q f / V of `kill_rate`, with the share f that `tabled_inactivation` gives for
    the low, the best and the high dose of `delivered_fluence`.

    electric_power: As printed on the lamp.
    flow: Through the lamp's housing, Q.
    inner_radius: Outer radius of the quartz sleeve.
    outer_radius: Inside radius of the shell.
    transmittance: Share of the light of 254 nm that passes 1 cm of the water.
    organism: Left out, the bacteria that were counted in the water of a fish farm.
    lamp_hours: Hours that the lamp has run.
    fouling: Share of the light that passes the sleeve; left out, the row `sleeve_fouling` with
        its low and high ends.
    Raises: the shell is no wider than the sleeve.
    Source: that of the functions named.
    Validity: theirs; beyond the last dose of a table no more is killed than at the last.

    >>> size = Q(12.5, "mm"), Q(30, "mm")
    >>> rates = lamp_kill_rate(Q(9, "W"), Q(600, "L/h"), Q(200, "L"), *size, 0.9)
    >>> [round(float(end.m), 1) for end in rates]
    [13.1, 46.5, 63.8]
    """
    doses = delivered_fluence.bare(
        electric_power, flow, inner_radius, outer_radius, transmittance, lamp_hours, fouling
    )
    steps = (tabled_inactivation.bare(organism, dose, at_least=True) for dose in doses)
    return Span(*(kill_rate.bare(flow, inactivated_share.bare(step), volume) for step in steps))


@public(returns="", sources=())
def survivors(
    volume: Annotated[Amount, LAMP_VOLUMES],
    flow: Annotated[Amount, LOOP_FLOWS],
    inactivated: Annotated[Number, PER_PASS],
    time: Annotated[Amount, Range(0, 1e5, "h")],
    growth: Annotated[Amount, GROWTH] = 0.0,
) -> Number:
    """Return the share of what swam in the tank that is left after a time, as a plain fraction.

    It never reaches nothing: each turnover leaves about a third of what was there before. What
    grows faster than the lamp kills becomes more.

    Equation: N / N0 = exp((g - Q f / V) t).

    flow: Through the lamp's housing, Q.
    inactivated: Share inactivated in one pass, f.
    time: Hours in which the lamp runs.
    growth: How fast those that are left multiply, g; rows `green_water_growth` and
        `bloom_growth`. A lamp that is lit for a part of the day leaves them the dark as well:
        divide g by that part.
    Source: the balance of a well-mixed tank, without anything that comes in.
    Validity: growth that nothing else stops; for what comes in see `steady_count`.

    >>> round(survivors(Q(200, "L"), Q(600, "L/h"), 0.9, Q(1, "h")), 4)
    0.0672
    """
    return np.exp((growth - kill_rate.bare(flow, inactivated, volume)) * time)


def _check_clears(volume: Any, flow: Any, inactivated: Any, growth: Any, **_: Any) -> None:
    """Raise where what is left grows as fast as the lamp kills, or faster."""
    killed = np.asarray(kill_rate.bare(flow, inactivated, volume))
    if np.any(np.asarray(growth) >= killed):
        shown = f"{SECONDS_PER_DAY * np.max(growth):g} 1/day"
        valid = f"less than what the lamp kills, {SECONDS_PER_DAY * np.min(killed):g} 1/day"
        why = "is at least what the lamp kills, so the tank never clears"
        raise ValidityError("growth", shown, valid, "", why)


@public(returns="h", sources=(), together=_check_clears)
def time_to_clear(
    volume: Annotated[Amount, LAMP_VOLUMES],
    flow: Annotated[Amount, LEAST_FLOW],
    inactivated: Annotated[Number, SOME_PER_PASS],
    share: Annotated[Number, Range(0, 0.999999)],
    growth: Annotated[Amount, GROWTH] = 0.0,
) -> Number:
    """Return how long the lamp takes to clear a share of what swims in the tank, in h.

    Ninety-nine in a hundred take twice as long as nine in ten, and need at least 4.6 turnovers.

    Equation: t = -ln(1 - s) / (Q f / V - g), with s the share that is cleared.

    flow: Through the lamp's housing, Q.
    inactivated: Share inactivated in one pass, f.
    share: The share to be cleared, s; 0.5 gives the half-life.
    growth: g, as in `survivors`.
    Raises: those that are left grow at least as fast as the lamp kills.
    Source: the balance of a well-mixed tank, without anything that comes in.
    Validity: as `survivors`. Cells that can no longer multiply stay in the water, and green,
        until a pad or the dark takes them: the eye sees it days later.

    >>> time_to_clear(Q(200, "L"), Q(600, "L/h"), 0.9, 0.99).round(2)
    <Quantity(1.71, 'hour')>
    """
    return -np.log1p(-share) / (kill_rate.bare(flow, inactivated, volume) - growth) + 0.0


@public(returns="", sources=())
def share_passed(turnovers: Annotated[Number, Range(0, 1000)]) -> Number:
    """Return the share of a mixed tank's water that has passed the lamp at least once.

    One turnover is not the whole tank: the same water comes round again before other water has
    come once.

    Equation: s = 1 - exp(-n), with n = Q t / V turnovers.

    turnovers: Tank volumes that have passed, n.
    Returns: 0 to 1.
    Source: the balance of a well-mixed tank.
    Validity: water that mixes fast against its turnover.

    >>> [round(share_passed(n), 3) for n in (1, 2, 3)]
    [0.632, 0.865, 0.95]
    """
    return -np.expm1(-turnovers)


@public(returns="", sources=("AdamsSpotte1981",))
def steady_count(
    source: Annotated[Amount, Range(0, 1e15, "1/h")],
    flow: Annotated[Amount, LEAST_FLOW],
    inactivated: Annotated[Number, SOME_PER_PASS],
    volume: Annotated[Amount, LAMP_VOLUMES],
) -> Number:
    """Return how many swim in the tank in the end when new ones keep coming, as a plain number.

    A lamp thins out what a sick fish sheds; it does not stop it, and the next fish may be nearer
    than the lamp.

    Equation: N = G V / (Q f), where what comes in equals what is inactivated.

    source: New ones in an hour, from fish, food or growth, G.
    flow: Through the lamp's housing, Q.
    inactivated: Share inactivated in one pass, f.
    Returns: In the whole tank.
    Source: the balance of a well-mixed tank; that a lamp cannot stop a disease in a closed
        system is argued by AdamsSpotte1981 (abstract read).
    Validity: a source that stays the same; no other death, which would lower the count.
    Departures: contested: MizunoEtAl2019 kept young salmon free of two parasites, but with a
        far greater dose (2200 mJ/cm²) than a small lamp gives.

    >>> round(steady_count(Q(1e6, "1/h"), Q(600, "L/h"), 0.9, Q(200, "L")))
    370370
    """
    return source / kill_rate.bare(flow, inactivated, volume)
