"""Which reading is a slip of the pen: one that neither its neighbours nor the food allow.

No model of bacteria is asked. Whatever the bacteria do, and however late the food turns into
ammonia, nitrogen rises no faster than food brings it, and is not gone for a day and back again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from aqualib.parameters import parameter
from aqualib.tank.test_log.balance import complete_lines, errors_of, summed, within
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.log import KeepersLog, Reading

STRANGE = 3.5
"""Standard deviations from which a single reading is named."""

Fed = Callable[[float], float]
"""All nitrogen that was fed up to a day, mg/L."""


class Day(NamedTuple):
    """The readings of one line: numbers, and "<" as half the limit."""

    day: float
    found: dict[str, Reading]

    def between(self, other: Day) -> tuple[float, float]:
        """Return the days of both, the earlier first."""
        return min(self.day, other.day), max(self.day, other.day)


def slips_of_the_pen(log: KeepersLog, fed: Fed, events: Sequence[float]) -> tuple[Reading, ...]:
    """Return the readings that stand out from those before and after, on the scale of nitrogen.

    `events` are days on which something else happened, such as a change of water: nothing is
    said across them.
    """
    days = [Day(day, readings) for (day, _), readings in sorted(complete_lines(log).items())]
    found = []
    for before, here, after in zip(days, days[1:], days[2:], strict=False):
        if any(before.day <= event <= after.day for event in events):
            continue
        for what in NITROGEN:
            if here.found[what].sign == "=" and _stands_out(what, before, here, after, fed):
                found.append(here.found[what])
    return tuple(found)


def _stands_out(what: str, before: Day, here: Day, after: Day, fed: Fed) -> bool:
    """Return whether this reading alone breaks the total of the day, upwards or downwards."""
    rises = [_most_rise(fed, here.between(other)) for other in (before, after)]
    here_all, error = summed(here.found)
    others = [summed(before.found), summed(after.found)]
    spread = [STRANGE * float(np.hypot(error, e)) for _, e in others]
    # Between two tests nitrogen rises by the food at most, and plants take no more than that.
    above = all(
        here_all > other + rise + far
        for (other, _), rise, far in zip(others, rises, spread, strict=True)
    )
    below = all(
        here_all < other - rise - far
        for (other, _), rise, far in zip(others, rises, spread, strict=True)
    )
    if not above and not below:
        return False
    value, near = within(here.found[what]), [within(d.found[what]) for d in (before, after)]
    far = STRANGE * float(errors_of(np.array([value] * 3))[NITROGEN.index(what)])
    return value > max(near) + far if above else value < min(near) - far


def _most_rise(fed: Fed, span: tuple[float, float]) -> float:
    return parameter("load_guess").high * (fed(span[1]) - fed(span[0]))
