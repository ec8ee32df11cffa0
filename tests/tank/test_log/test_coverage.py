"""What a log says of tanks that are not the model: how often is it right, refused, unjust?

The logs are those of `keepers_logs`; 200 to 279 set `log_wait_error`, `log_day_error` and the
ranges of the paces, 0 to 199 are judged here. Option -s shows the table.
"""

import re
from collections import Counter
from functools import cache
from typing import NamedTuple

import numpy as np
import pytest
from tank.test_log.keepers_logs import FAULTS, KINDS, keepers_log

from aqualib.draws import HIGH, LOW, of_the_next
from aqualib.tank.test_log.fit import fit_log
from aqualib.tank.test_log.in_words import report

LOGS = 200
SAMPLE = (0, 1, 3, 7, 11, 15, 17)
CONDITION = "It holds only while alkalinity lasts"


class Outcome(NamedTuple):
    kind: str
    true: float
    low: float
    high: float
    refused: str
    accused: int
    slip_found: bool
    conditional: bool
    delay: float

    @property
    def inside(self):
        return not self.refused and self.low <= self.true <= self.high

    @property
    def too_early(self):
        """Whether a day was named with its end, and the truth came after it."""
        return not self.refused and self.true > self.high


@cache
def outcome(number):
    kept = keepers_log(number)
    forecast = fit_log(kept.log, kept.told)
    low, high = (of_the_next(forecast.ready_days, share) for share in (LOW, HIGH))
    return Outcome(
        kind=kept.kind,
        true=kept.tank.ready,
        low=low,
        high=high,
        refused=forecast.no_day.why if forecast.no_day else "",
        accused=len(forecast.slips) - (kept.slip in forecast.slips),
        slip_found=kept.slip in forecast.slips,
        conditional=any(words.startswith(CONDITION) for words in report(forecast).remarks),
        delay=kept.nature.rotting,
    )


def line(kind, found):
    dated = [one for one in found if not one.refused]
    open_ended = sum(np.isinf(one.high) for one in dated)
    inside, early = (sum(getattr(one, w) for one in dated) for w in ("inside", "too_early"))
    return (
        f"{kind:36}{len(found):5}{len(found) - len(dated):9}{len(dated):7}{inside:8}{early:7}"
        f"{len(dated) - inside - early:8}{open_ended:6}{sum(one.accused > 0 for one in found):9}"
    )


def table(found):
    head = f"{'kind':36}{'logs':>5}{'refused':>9}{'dated':>7}{'inside':>8}{'later':>7}"
    print(f"\n{head}{'sooner':>8}{'open':>6}{'accused':>9}")
    for kind in ("sound", *FAULTS):
        print(line(kind, [one for one in found if one.kind == kind]))
    print(line("all", found))
    slips = of(found, "a slip of the pen")
    print(f"slips found: {sum(one.slip_found for one in slips)} of {len(slips)}")
    reasons = Counter(re.sub(r"[\d.]+", "#", one.refused)[:50] for one in found if one.refused)
    for why, count in reasons.most_common():
        print(f"{count:5}  {why}")


def of(found, *kinds):
    return [one for one in found if one.kind in kinds]


@pytest.mark.sweep
def test_200_logs_of_tanks_that_are_not_the_model():
    found = [outcome(number) for number in range(LOGS)]
    table(found)
    sound = of(found, "sound")
    dated = [one for one in sound if not one.refused]
    assert sum(one.accused for one in found) == 0
    assert min(one.delay for one in sound) < 0.4
    assert max(one.delay for one in sound) > 2.5
    assert len(dated) >= 0.7 * len(sound)
    assert sum(one.inside for one in dated) >= 0.8 * len(dated)
    assert sum(one.too_early for one in dated) <= 0.15 * len(dated)
    # A broken log is refused, or its day is wide; where it hangs on alkalinity it says so.
    broken = of(found, *FAULTS)
    wrong = [one for one in broken if one.too_early and not one.conditional]
    assert len(wrong) <= 0.15 * len(broken)
    assert sum(bool(one.refused) for one in broken) >= 0.4 * len(broken)
    assert all(one.refused for one in of(found, "never fed"))
    soft = of(found, *(kind for kind in FAULTS if kind.startswith("alkalinity")))
    assert all(one.refused or one.conditional for one in soft)


def test_a_few_logs_of_tanks_that_are_not_the_model():
    found = [outcome(number) for number in SAMPLE]
    assert [one.kind for one in found] == [KINDS[number] for number in SAMPLE]
    assert sum(one.accused for one in found) == 0
    sound = of(found, "sound")
    assert sum(one.inside for one in sound) >= len(sound) - 1
    assert all(one.refused or one.conditional or not one.too_early for one in found)
