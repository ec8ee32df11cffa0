"""The doubt of the model: days become wider, and nothing is turned around."""

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.test_log.model_doubt import doubted


def test_days_ahead_are_stretched_and_shortened_by_the_row():
    days = doubted(np.full(50, 120.0), 20.0)
    spread = np.std(np.log((days - 20.0) / 100.0))
    assert spread == pytest.approx(parameter("log_wait_error").value, rel=0.05)
    assert np.median(days) == pytest.approx(120.0, rel=0.03)


def test_days_that_are_past_get_the_error_of_days_only():
    days = doubted(np.full(50, 30.0), 60.0)
    assert np.std(days) == pytest.approx(parameter("log_day_error").value, rel=0.05)


def test_what_is_not_ready_today_was_not_ready_before():
    days = doubted(np.linspace(23.1, 23.9, 50), 23.0)
    assert days.min() >= 23.0


def test_what_never_gets_ready_stays_so_and_nothing_is_drawn_anew():
    days = np.array([10.0, np.inf, 30.0, 50.0])
    assert np.isinf(doubted(days, 20.0)).tolist() == [False, True, False, False]
    assert np.array_equal(doubted(days, 20.0), doubted(days, 20.0))
