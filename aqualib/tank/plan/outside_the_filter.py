"""The changes outside a filter: hose and outlet, air, cleaning, water changes and food."""

from __future__ import annotations

from collections.abc import Iterator

from aqualib.parameters import parameter
from aqualib.tank.plan.new_water import NITRATE, water_plan
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.parts import AIR
from aqualib.tank.plan.what_it_buys import SAME, Change
from aqualib.tank.plan.what_it_does import Outcome, flows, nitrate_peak
from aqualib.units import SECONDS_PER_DAY, Q

MOST_OF_THE_FLOW = 0.5
"""Where less than this share of the flow on the box arrives, the way takes most of it."""
LOST_FLOW = "find the lost flow"
"""The change of a filter that is not as it should be: it comes before any other that gains."""
MOST_AIR = Q(AIR.high, AIR.unit).m_as("1/s")
BORES = (0.009, 0.012, 0.016, 0.019, 0.025, 0.032, 0.04, 0.05, 0.063, 0.075, 0.09, 0.11)
"""Hoses and pipes as they are sold, in m: common practice, no source."""


def around_the_filter(whole: Filled, before: Outcome) -> Iterator[Change]:
    """Give every change of the water's way, the air and the keeper's habits."""
    yield from _lost_flow(whole)
    yield from _wider_hose(whole)
    yield from _easier_way(whole, before)
    yield from _by_hand(whole)


def _lost_flow(whole: Filled) -> Iterator[Change]:
    """Find what takes the flow, where the bucket shows far less than the sum."""
    if not whole.measured_flow:
        return
    mended = whole._replace(measured_flow=0.0)
    if whole.measured_flow < parameter("flow_regained").bare * flows(mended)[0]:
        yield Change(
            LOST_FLOW,
            "Find what takes the flow: clean pads, hoses and pump, then measure again (lesson 04)",
            "The bucket shows far less than pump, hose and pads should give.",
            "04",
            mended,
        )


def _next_bore(whole: Filled) -> float:
    """Return the next wider hose that is sold, or the bore as it is where there is none."""
    wider = (bore for bore in BORES if bore > whole.bore * (1.0 + SAME))
    return next(wider, whole.bore)


def _wider_hose(whole: Filled) -> Iterator[Change]:
    wider = _next_bore(whole)
    if wider > whole.bore and not whole.measured_flow:
        yield Change(
            "a wider hose",
            f"Fit the next wider hose, {1000.0 * wider:g} mm inside",
            "Friction falls with the fifth power of the bore; the filter's own parts stay narrow.",
            "04",
            whole._replace(bore=wider),
        )


def _easier_way(whole: Filled, before: Outcome) -> Iterator[Change]:
    """Ease the water's way, where lift and hose take most of the flow that the box promises."""
    if whole.measured_flow or before.flow_clean > MOST_OF_THE_FLOW * whole.rated_flow:
        return
    if whole.lift:
        yield Change(
            "a lower outlet",
            "Lower the outlet to the water's surface",
            "The pump lifts no water then: all of its head is there for the flow.",
            "04",
            whole._replace(lift=0.0),
        )
    bore = _next_bore(whole)
    wider = (
        f" and fit the next wider ones, {1000.0 * bore:g} mm inside" if bore > whole.bore else ""
    )
    yield Change(
        "a shorter hose",
        f"Halve the length of the hoses{wider}",
        "Less wall to rub on; a lift that the pump cannot reach stays out of its reach.",
        "04",
        whole._replace(bore=bore, hose_length=whole.hose_length / 2.0),
    )


def _air(whole: Filled) -> Iterator[Change]:
    """Stir the surface, unless it boils already: no sum knows of more."""
    if 2.0 * whole.air <= MOST_AIR:
        yield Change(
            "more air",
            "Stir the surface twice as hard, with the outlet or an air stone",
            "Oxygen comes in through a moving surface.",
            "07",
            whole._replace(air=2.0 * whole.air),
        )


def _new_water(whole: Filled) -> Iterator[Change]:
    """Change the water as the plan advises it, where that is more than now."""
    found = water_plan(whole, nitrate_peak(whole))
    if found.ground == NITRATE:
        days = "day" if found.every == 1 else f"{found.every} days"
        yield Change(
            "change more water",
            f"Change {100.0 * found.share:.0f} % of the water every {days}",
            "Nitrate falls with the share; the filter carries no more for it.",
            "11",
            whole._replace(change=found.share, change_every=found.every * SECONDS_PER_DAY),
        )


def _by_hand(whole: Filled) -> Iterator[Change]:
    """What costs nothing, or next to it, but work."""
    yield from _air(whole)
    sooner = whole.clean_every / 2.0
    yield Change(
        "clean twice as often",
        "Rinse the pads twice as often",
        "Dirt taken out in time rots in the bucket, not in the tank.",
        "05",
        whole._replace(clean_every=sooner),
    )
    yield from _new_water(whole)
    yield Change(
        "feed a quarter less",
        "Feed a quarter less, if the animals stay well on it",
        "Ammonia, dirt and nitrate all begin as food.",
        "02",
        whole._replace(feed=0.75 * whole.feed, solids=0.75 * whole.solids),
    )
