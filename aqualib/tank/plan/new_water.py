"""How much water to change, and how often: one advice, for page, text, calendar and changes."""

from __future__ import annotations

import math
from typing import NamedTuple

from aqualib.parameters import parameter
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.what_it_does import nitrate_gain
from aqualib.tank.upkeep import schedule_for_interval
from aqualib.units import SECONDS_PER_DAY

DAYS_A_WEEK = 7
WEEK = DAYS_A_WEEK * SECONDS_PER_DAY
MUCH_MORE = 1.5
"""Times what a keeper changes now, from which on a tank has to get used to it: a judgement."""
BETWEEN = 2
"""Days from one small change to the next at least."""
NITRATE, KEEPER, NO_END = "nitrate", "keeper", "no end"
"""What an advice rests on: the limit of nitrate, the keeper's own habit where that is more, or
the habit where no change holds the limit."""


class WaterPlan(NamedTuple):
    """What the keeper's water changes come to, and what is advised, in SI units."""

    peak: float
    limit: float
    weekly: float
    """New water a week that holds the limit; infinite where no change can."""
    share: float
    """Share of the water that is advised each time."""
    every: int
    """Days from one such change to the next."""
    ground: str
    """`NITRATE`, `KEEPER` or `NO_END`."""
    small: float
    """Share of the small changes with which a tank begins that stands high; 0 where it need not."""
    small_every: int
    """Days from one small change to the next: in all no less than the keeper changes now."""


def water_plan(whole: Filled, peak: float, *, trapped: bool = False) -> WaterPlan:
    """Return what the keeper's water changes come to, and the one change that is advised.

    It is what holds the limit of nitrate, or what the keeper does now where that is more. Never
    is more changed at once than is changed in need (`tonight_most_changed`): a larger change
    goes in steps, days apart. A tank begins with small changes whose nitrate reads above the limit,
    or which is `trapped`, whatever they rest on: its water has lost its alkalinity. So does one
    that by the sum stands above the limit, where much more is asked than its keeper changes now.
    """
    limit = float(parameter("nitrate_limit").bare)
    weekly = _weekly(whole, limit)
    now = whole.change / whole.change_every
    asked = weekly / whole.volume / WEEK
    ground = NITRATE if asked > now else KEEPER
    if not math.isfinite(weekly):
        ground = NO_END
    pace, days = (asked, DAYS_A_WEEK) if ground == NITRATE else (now, _days(whole.change_every))
    share, every = in_steps(pace, days)
    small, apart = _small(now, share, every)
    # Nothing was read: what the sum says counts, where much more is asked than now.
    unread = math.isnan(whole.nitrate_now) and peak > limit and ground == NITRATE
    used_to_less = unread and pace >= MUCH_MORE * now and apart <= every
    if not (trapped or whole.nitrate_now > limit or used_to_less):
        small, apart = 0.0, 0
    return WaterPlan(peak, limit, weekly, share, every, ground, small, apart)


def _small(now: float, share: float, every: int) -> tuple[float, int]:
    """Return share and days of small changes that are together no less than is changed now.

    A day without one lies between two of them in any case: the tank has time to follow.
    """
    small = min(float(parameter("trap_change").bare), share)
    apart = small / now / SECONDS_PER_DAY if now else math.inf
    return small, max(BETWEEN, math.floor(min(every, apart) + 1e-9))


def in_steps(pace: float, days: int) -> tuple[float, int]:
    """Return share and days of a change: that of so many days, or steps of it that are allowed.

    `pace` is the share of the water in a second. Nitrate asks for the same litres a week in
    either way.
    """
    most = float(parameter("tonight_most_changed").bare)
    whole_share = pace * days * SECONDS_PER_DAY
    steps = max(1, math.ceil(whole_share / most - 1e-9))
    every = max(1, days // steps)
    return min(pace * every * SECONDS_PER_DAY, most), every


def _days(seconds: float) -> int:
    return max(1, round(seconds / SECONDS_PER_DAY))


def _weekly(whole: Filled, limit: float) -> float:
    if limit <= whole.tap_nitrate:
        # New water that stands at the limit cannot hold it.
        return math.inf
    gain = nitrate_gain(whole)
    plan = schedule_for_interval.bare(gain, limit, whole.tap_nitrate, whole.volume, WEEK)
    share = float(plan.share)
    return share * whole.volume if share <= 1.0 else math.inf
