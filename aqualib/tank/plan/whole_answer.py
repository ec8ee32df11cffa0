"""The whole answer for one system: what it carries, its flow, its weeks, its start, its changes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from aqualib.draws import Span
from aqualib.filtration.carbon import carbon_run
from aqualib.filtration.hydraulics import cost_per_year, energy_per_year
from aqualib.filtration.ultraviolet import (
    delivered_fluence,
    lamp_kill_rate,
    output_share,
    service_hours,
)
from aqualib.parameters import parameter
from aqualib.tank.plan.assumed import Assumption
from aqualib.tank.plan.changes import ranked_changes
from aqualib.tank.plan.doubts import Unknown, widest_assumed, widest_unknowns
from aqualib.tank.plan.first_weeks import (
    Dated,
    StartUp,
    dated_start,
    start_up,
    stocking_stop,
)
from aqualib.tank.plan.new_water import WaterPlan, water_plan
from aqualib.tank.plan.nothing_open import Filled, filled
from aqualib.tank.plan.parts import ZEOLITE
from aqualib.tank.plan.readings import Alarm, alarms, asks_small_steps, is_trapped
from aqualib.tank.plan.spent_in_bags import OUT_FIRST, bag_alarms
from aqualib.tank.plan.system import System
from aqualib.tank.plan.what_it_buys import Change, gains
from aqualib.tank.plan.what_it_does import (
    VERDICTS,
    Outcome,
    carries,
    outcome,
)
from aqualib.tank.upkeep.calendar import a_day
from aqualib.units import SECONDS_PER_DAY, Q, Quantity
from aqualib.validity import ValidityError, quoted

WEEK = 7.0 * SECONDS_PER_DAY
MOST_WEEKLY = 0.99
"""Share of the water changed in a week; a tank that is emptied has no law of mixing."""
MEASURES = 3
"""Measurements that a plan names."""


class LampPlan(NamedTuple):
    """What the lamp does, in SI units: dose of one pass, kill a second, hours that are left."""

    dose: float
    kill_rate: float
    share_of_light: float
    hours_left: float


@dataclass(frozen=True)
class FilterPlan:
    """The plan of one system; amounts are quantities, `whole` and `now` are plain SI numbers."""

    system: System
    start: date
    whole: Filled
    now: Outcome
    assumed: tuple[Assumption, ...]
    first_weeks: StartUp
    lamp: LampPlan | None
    carbon_halved: float
    """Seconds until half of the carbon's effect is gone; NaN without carbon."""
    changing: WaterPlan
    energy: float
    """Of pump and lamp in a year, in J."""
    cost: float
    """In the money of the price."""
    elsewhere: Span
    """Food carried in the other water: the sea for a fresh tank, fresh for a marine one; kg/s."""
    changes: tuple[Change, ...]
    unknowns: tuple[Unknown, ...]
    """The three whose measurement would shrink the doubt most."""
    widest_guess: Unknown | None
    """What was assumed and leaves most open; None where nothing assumed moves the answer."""

    @property
    def readings(self) -> tuple[Alarm, ...]:
        """What readings and chemical media ask for before any plan, in the reader's units."""
        return (*alarms(self.system, self.whole), *bag_alarms(self.whole))

    @property
    def carried(self) -> Span:
        """The food that the filter carries, low, best and high, as quantities."""
        return Span(*(Q(end, "kg/s").to("g/day") for end in self.now.carried.feed))

    @property
    def stock(self) -> Span:
        """The fish that eat that food, as quantities."""
        return Span(*(Q(end, "kg").to("g") for end in self.now.carried.stock))

    @property
    def given(self) -> Quantity:
        """The food that is given."""
        return Q(self.whole.feed, "kg/s").to("g/day")

    @property
    def water(self) -> Quantity:
        """The water in the tank."""
        return Q(self.whole.volume, "m**3").to("L")

    @property
    def verdict(self) -> str:
        """One of `VERDICTS`: carried at the low end, within the doubt, or beyond the high end."""
        return self.now.verdict

    @property
    def is_trapped(self) -> bool:
        """Whether new water, soda or air would poison the tank, by its last readings."""
        return is_trapped(self.system, self.whole)

    @property
    def asks_small_steps(self) -> bool:
        """Whether nothing that lifts the pH may be done at a stroke."""
        return asks_small_steps(self.system, self.whole)

    @property
    def is_judged(self) -> bool:
        """Whether there is anything to judge: food and a filter that the keeper told."""
        return self.tells_food and self.tells_filter and self.whole.feed > 0.0

    @property
    def tells_food(self) -> bool:
        """Whether the keeper told the food, or fish that eat."""
        stock = self.system.stock
        return stock.gives("food") or stock.gives("fish")

    @property
    def tells_filter(self) -> bool:
        """Whether the keeper told what stands in the filter."""
        return self.system.filter is not None and self.system.filter.gives("trays")

    @property
    def limiting(self) -> str:
        """Which part limits, a key of `aqualib.tank.sizing.LIMITS`."""
        return self.now.carried.limiting

    @property
    def flow_clean(self) -> Quantity:
        """The flow with clean pads."""
        return Q(self.now.flow_clean, "m**3/s").to("L/h")

    @property
    def flow_due(self) -> Quantity:
        """The flow when the pads are due."""
        return Q(self.now.flow_due, "m**3/s").to("L/h")

    @property
    def due(self) -> Quantity:
        """Days from one cleaning to the next; infinite if half a year is too short."""
        return Q(self.now.due / SECONDS_PER_DAY, "day")

    @property
    def nitrate(self) -> Quantity:
        """Where nitrate, as nitrate, comes to just before a change."""
        return Q(self.changing.peak, "kg/m**3").to("mg/L")

    @property
    def ready_day(self) -> float:
        """The day of the start from which it is safe; NaN where none can be named."""
        ready = self.first_weeks.ready
        return float(ready.best) if ready else math.nan

    def dated_start(self, dose: str, carried: str) -> tuple[Dated, ...]:
        """Return the first weeks by date; `dose` and `carried` in the reader's units.

        The stock stops at the food that the filter `carried`, where the tank's is too much.
        """
        lamp, stop = self.whole.lamp_power > 0.0, None
        if self.verdict == VERDICTS[-1]:
            stop = stocking_stop(self.whole.feed, self.now.carried.feed.best, carried)
        dated = dated_start(
            self.start,
            self.first_weeks,
            dose,
            stop,
            lamp=lamp,
            seeded=self.system.care.seed != "none",
            salinity=self.whole.salinity,
        )
        # Zeolite would leave the new bacteria nothing to eat.
        hides = bool(dated) and bool(self.whole.holding(ZEOLITE))
        return (*([Dated(self.start, OUT_FIRST)] if hides else []), *dated)

    @property
    def best_change(self) -> Change | None:
        """The change that buys most; None where none gains anything."""
        first = self.changes[0] if self.changes else None
        if first is None or not gains(self.now, first.after).any:
            return None
        return first


def make_plan(
    system: System, start: date | None = None, *, doubt: bool = True, changes: bool = True
) -> FilterPlan:
    """Return the plan of a system that starts on a date (today if none is given).

    Without `doubt` the ready day is one number; without `changes` nothing is ranked. A table of
    many tanks leaves both out.

    >>> from aqualib.tank.plan.system import example_system
    >>> plan = make_plan(example_system(), date(2030, 3, 2), doubt=False)
    >>> plan.verdict, plan.carried.best.round(1)
    ('tight', <Quantity(3.2, 'gram / day')>)
    """
    if not isinstance(system, System):
        raise ValidityError("system", quoted(system), "System(...)", "", "is no system")
    first = date.today() if start is None else a_day("start", start)
    whole, assumed = filled(system)
    now = outcome(whole)
    power = mean_power(whole)
    unknowns = widest_unknowns(system, whole, now, None) if changes else ()
    return FilterPlan(
        system=system,
        start=first,
        whole=whole,
        now=now,
        assumed=assumed,
        first_weeks=start_up(whole, now, doubt=doubt),
        lamp=lamp_plan(whole, now),
        carbon_halved=carbon_halved(whole, now),
        changing=water_plan(whole, now.nitrate_peak, trapped=is_trapped(system, whole)),
        energy=float(energy_per_year.bare(power)),
        cost=float(cost_per_year.bare(power, whole.price)),
        elsewhere=in_other_water(whole, now),
        changes=ranked_changes(whole, now) if changes else (),
        unknowns=unknowns[:MEASURES],
        widest_guess=widest_assumed(unknowns, assumed),
    )


def mean_power(whole: Filled) -> float:
    """Return what pump and lamp draw on average over the day."""
    return whole.power + whole.lamp_power * whole.lamp_hours_a_day / SECONDS_PER_DAY


def lamp_plan(whole: Filled, now: Outcome) -> LampPlan | None:
    """Return what the lamp does in this flow; None without a lamp, or without a flow."""
    if not whole.lamp_power or now.flow <= 0.0:
        return None
    inner, outer = parameter("sleeve_radius").bare, parameter("shell_radius").bare
    clear, sleeve = parameter("water_transmittance").bare, parameter("sleeve_light").bare
    housing = inner, outer, clear
    dose = delivered_fluence.bare(whole.lamp_power, now.flow, *housing, whole.lamp_hours, sleeve)
    kill = lamp_kill_rate.bare(
        whole.lamp_power,
        now.flow,
        whole.volume,
        *housing,
        "green_water",
        whole.lamp_hours,
        sleeve,
    )
    left = float(service_hours.bare()) - whole.lamp_hours
    return LampPlan(
        float(dose.best), float(kill.best), float(output_share.bare(whole.lamp_hours)), left
    )


def carbon_halved(whole: Filled, now: Outcome) -> float:
    """Return when half of the carbon's effect is gone; NaN without carbon."""
    if not whole.carbon or now.flow <= 0.0:
        return math.nan
    days = parameter("carbon_day")
    # What food leaves dissolved goes with the food, from the lessons' tank.
    per_food = parameter("organics_made").bare / parameter("tank_feed").bare
    weekly = min(whole.change / whole.change_every * WEEK, MOST_WEEKLY)
    exchange = -math.log1p(-weekly) / WEEK
    return float(
        carbon_run.bare(
            whole.carbon,
            now.flow,
            per_food * whole.feed,
            whole.volume,
            days.to_base(days.high),
            parameter("organics_at_start").bare,
            exchange=exchange,
        ).halved_on
    )


def in_other_water(whole: Filled, now: Outcome) -> Span:
    """Return the food that the same filter carries in the other water."""
    other = whole._replace(salinity=0.0)
    if not whole.is_sea:
        # A tank of sour water would not be sour as a marine one.
        salt, ph = parameter("sea_salinity").value, parameter("sea_ph").bare
        other = whole._replace(salinity=salt, ph=ph)
    found = carries(other, (now.media_mass, now.media_area), now.pad_area, now.flow, now.dirt_held)
    feed: Span = found.feed
    return feed
