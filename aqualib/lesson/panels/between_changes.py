"""The panel of nitrate between water changes: a saw-tooth, a limit, and the water it costs."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from aqualib.lesson.charts.saw_teeth import Changes, SawTeeth
from aqualib.lesson.controls import Slider
from aqualib.lesson.drawing.shapes import Array
from aqualib.lesson.panel import Panel
from aqualib.tank.load import ammonia_production, nitrate_rise
from aqualib.tank.upkeep import after_water_changes, steady_peak, steady_trough
from aqualib.units import from_si, number, shown

FEW_WEEKS, MANY_WEEKS = 12, 26
"""What the picture shows: few weeks where nitrate has settled by then."""
SETTLED = 0.1
"""Of a tooth's height: no further from the long run than this is settled."""
LONGEST = 3650.0
"""Days over which the limit is watched."""
HAIR = 1e-9


class Routine(NamedTuple):
    """Water changes and what they work against, in days and mg/L as nitrate."""

    share: float
    days: float
    gain: float
    tap: float
    now: float

    def after(self, count: float | Array) -> Array:
        """Return nitrate just after so many changes."""
        made = self.gain * self.days
        return np.asarray(after_water_changes.bare(self.now, made, self.share, self.tap, count))

    @property
    def long_run(self) -> tuple[float, float]:
        """Lowest and highest nitrate after very many changes."""
        if not self.share:
            return math.inf, math.inf
        given = self.gain * self.days, self.share, self.tap
        return float(steady_trough.bare(*given)), float(steady_peak.bare(*given))


def compute(
    share: float,
    days: float,
    feed: float,
    limit: float,
    volume: float,
    protein: float,
    tap: float,
    now: float,
) -> Changes:
    """Follow nitrate from change to change; SI numbers in, nitrate as nitrate.

    All ammonia of the food is taken to become nitrate, and nothing but changes takes it out.
    """
    made = nitrate_rise.bare(ammonia_production.bare(feed, protein), volume)
    routine = Routine(
        share=share,
        days=from_si(days, "day"),
        gain=from_si(float(made), "mg/L/day"),
        tap=from_si(tap, "mg/L"),
        now=from_si(now, "mg/L"),
    )
    most = from_si(limit, "mg/L")
    lowest, highest = routine.long_run
    weeks = weeks_of(routine)
    time, nitrate = teeth(routine, 7.0 * weeks)
    return Changes(
        share=from_si(share, "percent"),
        every=routine.days,
        gain=routine.gain,
        tap=routine.tap,
        now=routine.now,
        litres=from_si(volume, "L"),
        limit=most,
        weeks=weeks,
        days=time,
        nitrate=nitrate,
        lowest=lowest,
        highest=highest,
        passed=first_passed(routine, most),
        needed=needed_share(routine, most),
    )


def weeks_of(routine: Routine) -> int:
    """Return how many weeks to show: until nitrate has settled, if it does."""
    lowest, highest = routine.long_run
    if math.isinf(highest):
        return MANY_WEEKS
    gap = abs(float(routine.after(FEW_WEEKS * 7.0 // routine.days)) - lowest)
    return FEW_WEEKS if gap <= SETTLED * (highest - lowest) else MANY_WEEKS


def teeth(routine: Routine, end: float) -> tuple[Array, Array]:
    """Return days and nitrate of the saw-tooth: two points at each change, one at the end."""
    count = int(end / routine.days + HAIR)
    after = routine.after(np.arange(count + 1.0))
    before = after[:-1] + routine.gain * routine.days
    last = after[-1] + routine.gain * (end - count * routine.days)
    changes = routine.days * np.arange(1, count + 1)
    time = np.concatenate([[0.0], np.repeat(changes, 2), [end]])
    rest = np.column_stack([before, after[1:]]).ravel()
    return time, np.concatenate([after[:1], rest, [last]])


def first_passed(routine: Routine, limit: float) -> float:
    """Return when nitrate first passes the limit, in days; 0 from the start, infinite if never.

    Never is not within ten years.
    """
    after = routine.after(np.arange(float(math.ceil(LONGEST / routine.days))))
    over = after + routine.gain * routine.days > limit * (1.0 + HAIR)
    if not over.any():
        return math.inf
    tooth = int(np.argmax(over))
    return routine.days * tooth + max(0.0, limit - float(after[tooth])) / routine.gain


def needed_share(routine: Routine, limit: float) -> float:
    """Return the percent at a change that keeps the limit in the long run; infinite if none."""
    if limit <= routine.tap:
        return math.inf
    # Up to the slider's next step, since a hair too little is too little.
    percent = math.ceil(100.0 * routine.gain * routine.days / (limit - routine.tap) - HAIR)
    return float(percent) if percent <= 100 else math.inf


def describe(changes: Changes) -> str:
    """Say what the picture shows."""
    start = f"Food adds {number(changes.gain, 2)} mg/L of nitrate (NO3) a day. "
    return f"{start}{in_the_long_run(changes)} {at_the_limit(changes)}"


def in_the_long_run(changes: Changes) -> str:
    """Say between which two numbers nitrate ends up."""
    if math.isinf(changes.highest):
        return "Nothing is taken out, so nitrate rises without end."
    return (
        f"With {number(changes.share)} % changed {often(changes)}, "
        f"{shown(changes.new_water, 'L')} a week, it swings in the long run from "
        f"{number(changes.lowest)} mg/L just after a change to {number(changes.highest)} just "
        "before the next."
    )


def often(changes: Changes) -> str:
    """Say how often water is changed."""
    return "every day" if changes.every == 1.0 else f"every {number(changes.every)} days"


def at_the_limit(changes: Changes) -> str:
    """Say when the limit is passed."""
    limit = f"your limit of {number(changes.limit)} mg/L"
    if math.isinf(changes.passed):
        return f"It never passes {limit}."
    if not changes.passed:
        return f"It is above {limit} from the start."
    return f"It first passes {limit} on day {math.floor(changes.passed) + 1}."


def answer(changes: Changes) -> tuple[str, str]:
    """Give the highlighted answer: what keeps the limit in the long run."""
    what = f"To keep nitrate to {number(changes.limit)} mg/L"
    if changes.highest <= changes.limit:
        return what, "go on as now"
    if math.isfinite(changes.needed):
        return what, f"change {number(changes.needed)} % {often(changes)}"
    if changes.limit <= changes.tap:
        return what, "find other water: the new water has too much"
    return what, "change more often, or feed less"


def changes_panel() -> Panel:
    """Return the panel of nitrate between water changes."""
    controls = {
        "share": Slider("Water changed each time", "change_share", 1.0),
        "days": Slider("Days between changes", "change_interval", 1.0),
        "feed": Slider("Food in a day", "tank_feed", 0.1),
        "limit": Slider("Your limit for nitrate (NO3)", "nitrate_limit", 5.0),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "protein": Slider("Protein in the food", "food_protein", 1.0),
        "tap": Slider("Nitrate (NO3) in the new water", "fill_nitrate", 1.0),
        "now": Slider("Nitrate (NO3) in the tank now", "nitrate_now", 1.0),
    }
    title = "What do water changes do to nitrate?"
    return Panel(title, controls, compute, SawTeeth(), describe, answer)
