"""The forecast: its days and chances belong together, and it names none where none is to be had."""

from dataclasses import replace

import pytest
from tank.test_log.sound_logs import forecast_of

from aqualib.tank.test_log.no_day import NoDay
from aqualib.validity import ValidityError


def test_chances_and_days_belong_together():
    forecast = forecast_of(9)
    for share in (0.2, 0.5, 0.8):
        assert forecast.chance_by(forecast.day_by(share)) == pytest.approx(share, abs=0.03)
    assert forecast.ready == tuple(forecast.day_by(share) for share in (0.05, 0.5, 0.95))


def test_no_day_is_a_refusal_in_words():
    forecast = replace(forecast_of(9), no_day=NoDay("Too few tests.", "Test again."))
    with pytest.raises(ValidityError) as refused:
        _ = forecast.ready
    assert str(refused.value) == ("log = made up names no day. Too few tests. Valid: Test again.")
