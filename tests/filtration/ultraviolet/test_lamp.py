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


@given(SHARES, RATES)
def test_ageing_there_and_back(share, rate):
    hours = service_hours.bare(share, rate)
    assert output_share.bare(hours, rate) == pytest.approx(share, rel=1e-9)


@given(st.floats(0.0, 3e8), st.floats(0.0, 3e8), RATES)
def test_a_lamp_only_loses(one, other, rate):
    shares = output_share.bare(np.sort([one, other]), rate)
    assert shares[0] >= shares[1] >= 0.0
    assert output_share.bare(0.0, rate) == 1.0


def test_the_row_spans_both_texts():
    """10 to 15 % lost over 9000 h in one, about 30 % after 7000 h in the other."""
    row = parameter("lamp_ageing_rate")
    slow, fast = (Q(end, "1/hour") for end in (row.low, row.high))
    assert output_share(Q(9000, "h"), slow) == pytest.approx(0.9, abs=0.001)
    assert output_share(Q(7000, "h"), fast) == pytest.approx(0.7, abs=0.001)
    assert 0.7 < output_share(Q(9000, "h")) < 0.85


def test_output_takes_what_is_not_known_from_the_rows():
    factors = [parameter(n).value for n in ("lamp_efficiency", "lamp_ageing", "sleeve_fouling")]
    assert lamp_output(Q(10, "W")).m == pytest.approx(10 * np.prod(factors))
    assert lamp_output(Q(10, "W"), 0.4, 1, 1).m == pytest.approx(4.0)
    assert lamp_output(Q(10, "W"), ageing=0).m == 0.0


@given(
    st.dates(date(1990, 1, 1), date(2100, 1, 1)),
    st.floats(0.5, 24.0),
    st.floats(0.3, 0.99),
)
def test_day_of_replacement_is_the_day_the_share_is_passed(start, daily, share):
    day = replacement_date(start, Q(daily, "h"), share)
    before = (day - start).days * daily
    assert output_share(Q(before, "h")) >= share - 1e-9
    assert output_share(Q(before + daily, "h")) <= share + 1e-9


def test_day_of_replacement_by_hand():
    rate = Q(-np.log(0.7) / 7000, "1/hour")
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
