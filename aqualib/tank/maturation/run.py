"""A filter that matures: ammonia rises and falls, then nitrite, until the tank is safe."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from aqualib.arguments import one_number
from aqualib.tank.maturation import one_set
from aqualib.tank.maturation.course import Course, play, water_of
from aqualib.tank.maturation.rates import best_values
from aqualib.tank.maturation.scenario import Scenario, must_be_scenario
from aqualib.tank.maturation.verdict import (
    Safety,
    held_up_by,
    judge,
    ready_day,
    reason,
    why_never,
)
from aqualib.units import SECONDS_PER_DAY, Q
from aqualib.validity import Range, ValidityError, quoted

LARGEST_VALUE = 1e6


@dataclass(frozen=True, eq=False)
class Maturation:
    """What became of a scenario. Amounts are quantities with one number a time.

    `course` and `safety` hold the same as plain numbers: days and mg/L.
    """

    scenario: Scenario
    course: Course
    safety: Safety
    ready_day: float
    """First day from which the tank stays safe; NaN if there is none."""

    @property
    def time(self) -> Any:
        """Days since the start."""
        return Q(self.course.time, "day")

    @property
    def total_ammonia_nitrogen(self) -> Any:
        """Total ammonia, mg/L as nitrogen."""
        return Q(self.course.state.ammonia, "mg/L")

    @property
    def unionised_ammonia_nitrogen(self) -> Any:
        """Un-ionised ammonia, mg/L as nitrogen, as if nothing were bound."""
        return Q(self.course.state.ammonia * self._unionised_share(), "mg/L")

    @property
    def nitrite_nitrogen(self) -> Any:
        """Nitrite, mg/L as nitrogen."""
        return Q(self.course.state.nitrite, "mg/L")

    @property
    def nitrate_nitrogen(self) -> Any:
        """Nitrate, mg/L as nitrogen."""
        return Q(self.course.state.nitrate, "mg/L")

    @property
    def alkalinity(self) -> Any:
        """Alkalinity, mg/L as CaCO3."""
        return Q(self.course.state.alkalinity, "mg/L")

    @property
    def alkalinity_use(self) -> Any:
        """Alkalinity used since the start, mg/L as CaCO3; what the keeper adds if it is kept."""
        return Q(self.course.state.alkalinity_use, "mg/L")

    @property
    def oxygen_use(self) -> Any:
        """Oxygen used by nitrification since the start, mg/L; fish and other bacteria not."""
        return Q(self.course.state.oxygen_use, "mg/L")

    @property
    def ph(self) -> Any:
        """The pH at each time, a plain number on the scenario's scale."""
        return self.safety.ph

    @property
    def ammonia_oxidisers_attached(self) -> Any:
        """Ammonia oxidisers on media, mg COD per litre of tank."""
        return Q(self.course.state.film_a, "mg/L")

    @property
    def ammonia_oxidisers_suspended(self) -> Any:
        """Ammonia oxidisers in the water, mg COD per litre of tank."""
        return Q(self.course.state.water_a, "mg/L")

    @property
    def nitrite_oxidisers_attached(self) -> Any:
        """Nitrite oxidisers on media, mg COD per litre of tank."""
        return Q(self.course.state.film_n, "mg/L")

    @property
    def nitrite_oxidisers_suspended(self) -> Any:
        """Nitrite oxidisers in the water, mg COD per litre of tank."""
        return Q(self.course.state.water_n, "mg/L")

    @property
    def ammonia_limit(self) -> Any:
        """The chronic limit of total ammonia at each time, mg/L as nitrogen."""
        return Q(self.safety.ammonia_limit, "mg/L")

    @property
    def nitrite_limit(self) -> Any:
        """The level of nitrite called safe, mg/L as nitrogen."""
        return Q(self.safety.nitrite_limit, "mg/L")

    @property
    def ready_on(self) -> Any:
        """The first day from which the tank stays safe, as a quantity; None if there is none."""
        return None if np.isnan(self.ready_day) else Q(self.ready_day, "day")

    @property
    def why_not_ready(self) -> str:
        """Why the tank is not safe at the end, or, if it is, what held it up last before."""
        if np.isnan(self.ready_day):
            return reason(self.course, self.safety, len(self.course.time) - 1)
        place = held_up_by(self.course, self.safety, self.ready_day)
        return "" if place is None else reason(self.course, self.safety, place)

    @property
    def why_never(self) -> str:
        """Why more days would not help either, as things stand at the end; "" if they would."""
        if not np.isnan(self.ready_day):
            return ""
        planned = self.scenario.per_litre(self.scenario.in_days.load)
        return why_never(self.course, self.safety, water_of(self.scenario), planned)

    def why_at(self, day: Any) -> str:
        """Return why the tank is not safe for good on a day; "" if it is."""
        last = float(self.course.time[-1])
        when = one_number("day", day, Range(0, last, "day")) / SECONDS_PER_DAY
        index = int(np.searchsorted(self.course.time, when + 1e-9, side="right")) - 1
        return reason(self.course, self.safety, max(index, 0))

    def _unionised_share(self) -> Any:
        alkalinity = self.course.state.alkalinity
        shape = np.array([g.ammonia_shape for g in self.course.growth])
        return alkalinity / (alkalinity + shape[self.course.stretch_of])


def simulate(scenario: Scenario, values: Mapping[str, float] | None = None) -> Maturation:
    """Return how a filter matures, every six hours to the scenario's last day.

    `values` puts other numbers in place of rows of `data/parameters.csv`, in the row's unit:
    `simulate(scenario, {"ammonia_oxidiser_growth": 0.6})`.

    >>> from aqualib.units import Q
    >>> result = simulate(Scenario(seed=0.01, temperature=Q(25, "degC")))
    >>> result.ready_on.round(0)
    <Quantity(11.0, 'day')>
    """
    checked = all_values(values)
    must_be_scenario(scenario)
    course = play(scenario, checked, one_set.solve)
    planned = scenario.per_litre(scenario.in_days.load)
    safety = judge(course, water_of(scenario), checked, planned)
    return Maturation(scenario, course, safety, float(ready_day(course.time, safety)))


def all_values(values: Mapping[str, float] | None) -> dict[str, float]:
    """Return the value of each row of the model, those in `values` replaced, or raise."""
    found = dict(best_values())
    valid = 'numbers by name, such as {"ammonia_oxidiser_growth": 0.6}'
    if not isinstance(values, Mapping | None):
        raise ValidityError("values", quoted(values), valid, "", "is no table of numbers")
    for name, value in (values or {}).items():
        if name not in found:
            valid = "a row of the model: " + ", ".join(sorted(found))
            raise ValidityError("values", repr(name), valid, "", "is not a parameter of the model")
        found[name] = one_number(f"values[{name!r}]", value, Range(1e-12, LARGEST_VALUE))
    return found
