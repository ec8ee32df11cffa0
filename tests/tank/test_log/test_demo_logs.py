"""The logs that come with the lessons are those that their makers make, and say what they say."""

import numpy as np
import pytest
from tank.test_log.demo_logs import LOGS, PLANNED, SHRIMP, TRUE_VALUES, TRUTH
from tank.test_log.keepers_logs import played

from aqualib.files import data_file
from aqualib.tank.maturation import simulate
from aqualib.tank.test_log import example_log, fit_log, own_tank, read_test_log, report

TANK = own_tank().scenario


@pytest.mark.parametrize("name", LOGS)
def test_a_file_is_what_its_maker_makes(name):
    """If the model has changed: python tests/tank/test_log/demo_logs.py."""
    assert data_file(name).read_text("utf-8") == LOGS[name]()


def test_the_truth_stands_in_the_file_and_lies_in_the_band():
    truth = simulate(TRUTH, TRUE_VALUES).ready_day
    assert f"Ready on day {truth:.0f}." in "".join(example_log().lines)
    for day in (9, 19, 23):
        ready = fit_log(example_log().until(day), TANK).ready
        assert ready.low <= truth <= ready.high


def test_the_width_is_the_story():
    widths = []
    for day in (9, 19, 23):
        ready = fit_log(example_log().until(day), TANK).ready
        widths.append((ready.high - ready.low) / 2.0)
    assert widths[0] > 1.5 * widths[1] > 3.0 * widths[2]


def test_the_second_log_is_refused_its_day_once_the_shrimp_is_gone():
    """Its truth is never. While it rots there is a day, and a wide band; then there is none."""
    assert np.isinf(played(SHRIMP, PLANNED).ready)
    log = read_test_log(data_file("example_shrimp_log.csv"), start="2026-03-02")
    for day in (7, 11, 15):
        low, _, high = fit_log(log.until(day), TANK).ready
        assert high - low > 20.0, day
    for day in (19, 23, 27):
        found = report(fit_log(log.until(day), TANK))
        assert found.headline == "no day can be named yet", day
    assert "of the food's nitrogen turns up" in found.day
