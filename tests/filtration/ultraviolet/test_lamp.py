"""The lamp: output, ageing there and back, the day of replacement, and heat against a library."""

from datetime import date, datetime

import gsw
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.ultraviolet.lamp import (
    lamp_output,
    output_share,
    replacement_date,
    service_hours,
    warming,
)
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError

RATES = st.floats(1e-6 / 3600.0, 1e-3 / 3600.0)
SHARES = st.floats(0.01, 1.0)


LIFE = parameter("lamp_life")


@given(SHARES, RATES)
def test_ageing_there_and_back_within_a_lamps_life(share, rate):
    hours = service_hours.bare(share, rate)
    left = output_share.bare(hours, rate)
    assert hours <= LIFE.bare
    assert left == pytest.approx(share, rel=1e-9) or (hours == LIFE.bare and left > share)


@given(st.floats(0.0, 3e8), st.floats(0.0, 3e8), RATES)
def test_a_lamp_only_loses(one, other, rate):
    shares = output_share.bare(np.sort([one, other]), rate)
    assert shares[0] >= shares[1] >= 0.0
    assert output_share.bare(0.0, rate) == 1.0


def test_the_row_is_what_was_measured_and_its_high_end_a_weak_text():
    """11 % lost over 12 000 h; 10 to 15 % over 9000 h in one text, 30 % after 7000 h in another."""
    row = parameter("lamp_ageing_rate")
    fast = Q(row.high, "1/hour")
    assert output_share(Q(12000, "h")) == pytest.approx(0.89, abs=0.001)
    assert output_share(Q(7000, "h"), fast) == pytest.approx(0.7, abs=0.001)
    assert output_share(Q(9000, "h"), fast) < 0.85
    assert output_share(Q(9000, "h")) > 0.9


def test_output_takes_what_is_not_known_from_the_rows():
    factors = [parameter(n).value for n in ("lamp_efficiency", "sleeve_fouling")]
    spent = output_share(LIFE.quantity)
    assert lamp_output(Q(10, "W")).m == pytest.approx(10 * spent * np.prod(factors))
    assert lamp_output(Q(10, "W"), 0.4, 1, 1).m == pytest.approx(4.0)
    assert lamp_output(Q(10, "W"), ageing=0).m == 0.0


@given(
    st.dates(date(1990, 1, 1), date(2100, 1, 1)),
    st.floats(0.5, 24.0),
    st.floats(0.3, 0.99),
)
def test_day_of_replacement_is_the_day_the_share_or_the_life_is_passed(start, daily, share):
    day = replacement_date(start, Q(daily, "h"), share)
    before = Q((day - start).days * daily, "h")
    assert output_share(before) >= share - 1e-9
    assert before <= LIFE.quantity * (1 + 1e-9)
    after = before + Q(daily, "h")
    assert output_share(after) <= share + 1e-9 or after >= LIFE.quantity * (1 - 1e-9)


def test_day_of_replacement_by_hand():
    rate = Q(-np.log(0.7) / 7000, "1/hour")
    # The row's rate leaves a lamp its whole life: 9000 h are 375 days.
    assert replacement_date(date(2025, 1, 1)) == date(2026, 1, 11)
    # 7000 h in whole days of 24 h: 291.67, so the 291st day after the first.
    assert replacement_date(date(2025, 1, 1), None, 0.7, rate) == date(2025, 10, 19)
    assert replacement_date(date(2025, 1, 1), Q(7, "h"), 0.7, rate) in {
        date(2027, 9, 27),
        date(2027, 9, 28),
    }
    assert replacement_date(date(2024, 2, 28), share=1.0) == date(2024, 2, 28)


def test_a_time_of_day_is_cut_off():
    assert replacement_date(datetime(2025, 1, 1, 23, 59)) == replacement_date(date(2025, 1, 1))
    assert type(replacement_date(datetime(2025, 1, 1, 23, 59))) is date


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("start", "2025-01-01"),
        ("start", None),
        ("hours_a_day", Q(25, "h")),
        ("hours_a_day", Q(0, "h")),
        ("hours_a_day", 24),
        ("hours_a_day", Q([12.0, 24.0], "h")),
        ("share", 0),
        ("share", float("nan")),
        ("share", np.array([0.5, 0.7])),
        ("ageing_rate", Q(1, "1/hour")),
    ],
)
def test_bad_dates_are_refused_by_name(name, value):
    with pytest.raises(ValidityError, match=name):
        replacement_date(**{"start": date(2025, 1, 1), name: value})


def test_the_calendar_ends_somewhere():
    with pytest.raises(ValidityError, match="start = 9999-12-31 is too late"):
        replacement_date(date(9999, 12, 31))


@pytest.mark.parametrize("salinity", [0.0, 20.0, 35.0])
@pytest.mark.parametrize("celsius", [10.0, 25.0, 30.0])
def test_heat_of_the_row_is_near_the_library_for_any_tank_water(salinity, celsius):
    absolute = salinity * 35.16504 / 35.0
    heat = gsw.rho_t_exact(absolute, celsius, 0) * gsw.cp_t_exact(absolute, celsius, 0) / 1e6
    row = parameter("water_heat_per_volume")
    assert row.low - 0.01 <= heat <= row.high
    assert row.value == pytest.approx(heat, rel=0.021)


def test_warming_in_both_scales():
    rise = warming(Q(9, "W"), Q(200, "L"))
    assert rise.m_as("delta_degF/day") == pytest.approx(1.8 * rise.m)
    assert rise.m_as("K/hour") == pytest.approx(rise.m / 24)
    assert warming(Q(9, "W"), Q(100, "L")).m == pytest.approx(2 * rise.m)
    assert warming(Q(0, "W"), Q(100, "L")).m == 0.0
