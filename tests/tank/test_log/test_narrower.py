"""The test that would narrow the day most: by the draws, and only if it is worth it."""

from dataclasses import replace

import numpy as np
import pytest
from tank.test_log.sound_logs import forecast_of

from aqualib.tank.test_log.narrower import next_test


def with_draws(forecast, rows, ready):
    return replace(forecast, draws=np.array(rows), days_of_model=np.array(ready, dtype=float))


@pytest.fixture(scope="module")
def forecast():
    return forecast_of(9)


def flat_but(forecast, row, values, from_day):
    """Draws alike in everything but one matter from a day on."""
    draws = np.zeros((len(values), 3, len(forecast.time)))
    for draw, value in enumerate(values):
        draws[draw, row, forecast.time >= from_day] = value
    return draws


def test_it_is_what_tells_the_draws_apart(forecast):
    ready = np.arange(10.0, 20.0)
    for row, what in enumerate(("ammonia", "nitrite", "nitrate")):
        draws = flat_but(forecast, row, ready, 12.5)
        found = next_test(with_draws(forecast, draws, ready))
        assert (found.what, found.day) == (what, 13.0)
        assert 0.5 < found.share < 1.0


def test_what_a_test_cannot_see_is_not_worth_it(forecast):
    ready = np.arange(10.0, 20.0)
    hidden = flat_but(forecast, 2, 1e-3 * ready, 0.0)
    assert next_test(with_draws(forecast, hidden, ready)) is None
    shuffled = flat_but(forecast, 2, ready[[4, 9, 0, 7, 2, 5, 8, 1, 6, 3]], 0.0)
    assert next_test(with_draws(forecast, shuffled, ready)) is None


def test_nothing_narrows_a_day_that_is_known(forecast):
    ready = np.full(10, 15.0)
    assert next_test(with_draws(forecast, flat_but(forecast, 1, ready, 0.0), ready)) is None


def test_draws_that_never_get_ready_count_as_late(forecast):
    ready = np.array([12.0] * 5 + [np.inf] * 5)
    draws = flat_but(forecast, 1, [0.0] * 5 + [9.0] * 5, 0.0)
    assert next_test(with_draws(forecast, draws, ready)).what == "nitrite"
