"""Safe cleaning: more washed out never means less ammonia, and the answer sits at the limit."""

import numpy as np
import pytest

from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Cleaning, Scenario, WaterChange
from aqualib.tank.upkeep.cleaning import (
    largest_safe_cleaning,
    peaks_after_cleaning,
)
from aqualib.units import Q
from aqualib.validity import ValidityError

FULL = Scenario(seed=1.0, load=Q(0.1, "g/day"), days=Q(60, "day"))


def mg(value):
    return Q(value, "mg/L")


def highest(share, scenario=FULL):
    return peaks_after_cleaning(scenario, share).ammonia.m_as("mg/L")


def test_more_cleaning_never_means_less_ammonia():
    peaks = [highest(share) for share in np.linspace(0, 0.99, 34)]
    assert np.all(np.diff(peaks) >= -1e-9)
    assert peaks[-1] > 5 * peaks[0]


def test_no_cleaning_is_the_tank_left_alone():
    alone = simulate(FULL)
    late = alone.time.m_as("day") >= 40
    expected = alone.total_ammonia_nitrogen.m_as("mg/L")[late].max()
    assert highest(0) == pytest.approx(expected, rel=1e-5)


def test_it_is_the_event_played_by_the_model():
    played = simulate(
        Scenario(
            seed=1.0,
            load=Q(0.1, "g/day"),
            days=Q(60, "day"),
            events=(Cleaning(Q(30, "day"), 0.6),),
        )
    )
    late = played.time.m_as("day") >= 30
    expected = played.total_ammonia_nitrogen.m_as("mg/L")[late].max()
    ours = peaks_after_cleaning(FULL, 0.6, at=Q(30, "day")).ammonia.m_as("mg/L")
    assert ours == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("limit", [0.2, 0.5, 1.0])
def test_the_largest_share_sits_at_the_limit(limit):
    share = largest_safe_cleaning(FULL, mg(limit))
    assert highest(share) <= limit
    assert highest(min(share + 2e-4, 0.99)) > limit
    assert highest(share) == pytest.approx(limit, rel=0.01)


def test_a_higher_limit_allows_more():
    shares = [largest_safe_cleaning(FULL, mg(limit)) for limit in (0.17, 0.3, 0.6, 1.2, 100)]
    assert np.all(np.diff(shares) > 0)
    assert shares[-1] == 0.99


def test_a_fuller_stock_allows_less():
    loads = (0.05, 0.1, 0.2)
    tanks = [Scenario(seed=1.0, load=Q(g, "g/day"), days=Q(60, "day")) for g in loads]
    shares = [largest_safe_cleaning(tank, mg(0.5)) for tank in tanks]
    assert shares[0] > shares[1] > shares[2]


def test_nitrite_stays_below_ammonia_until_most_is_gone():
    """Nitrite oxidisers of an aquarium catch a trace: ammonia shows a cleaning first."""
    peaks = [peaks_after_cleaning(FULL, share) for share in np.linspace(0, 0.9, 10)]
    nitrite = [p.nitrite.m_as("mg/L") for p in peaks]
    assert np.all(np.diff(nitrite) >= -1e-9)
    assert all(p.nitrite < p.ammonia for p in peaks)
    # Beyond that both climb, and nitrite is harmful at less.
    alone = largest_safe_cleaning(FULL, mg(0.9))
    both = largest_safe_cleaning(FULL, mg(0.9), nitrite_limit=mg(0.3))
    assert both < alone
    assert peaks_after_cleaning(FULL, both).nitrite.m_as("mg/L") <= 0.3
    with pytest.raises(ValidityError, match="nitrite_limit"):
        largest_safe_cleaning(FULL, mg(0.5), nitrite_limit=mg(0.01))


def test_other_events_stay_in():
    changed = Scenario(
        seed=1.0,
        load=Q(0.1, "g/day"),
        days=Q(60, "day"),
        events=(WaterChange(Q(41, "day"), 0.5),),
    )
    assert highest(0.9, changed) < highest(0.9)


def test_bad_input():
    with pytest.raises(ValidityError, match="even without cleaning"):
        largest_safe_cleaning(FULL, mg(0.01))
    for share in (-0.1, 1.0, np.nan, [0.1, 0.2], mg(1)):
        with pytest.raises(ValidityError, match="share"):
            peaks_after_cleaning(FULL, share)
    for limit in (0.5, mg(np.nan), mg([0.5, 0.6]), mg(-1), Q(1, "day")):
        with pytest.raises(ValidityError, match="limit"):
            largest_safe_cleaning(FULL, limit)
    with pytest.raises(ValidityError, match="at"):
        peaks_after_cleaning(FULL, 0.5, at=Q(61, "day"))
    with pytest.raises(ValidityError, match="at"):
        peaks_after_cleaning(Scenario(days=Q(20, "day")), 0.5)
    with pytest.raises(ValidityError, match="scenario"):
        peaks_after_cleaning("tank", 0.5)
