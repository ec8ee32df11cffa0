"""The rates of many sets, set by set those of the equations written out for one."""

import numpy as np
import pytest
from chemostats import problem

from aqualib.tank.maturation.one_set import right_hand_side
from aqualib.tank.maturation.rates import paces
from aqualib.tank.maturation.set_rates import Sets

CROWDED = {
    "load": 1.0,
    "full_a": 1.0,
    "full_n": 0.7,
    "attach": 2.0,
    "detach": 0.1,
    "loss": 0.3,
    "cells_nitrogen": 0.05,
    "ammonia_on_a": 0.1,
    "acid_on_a": 0.2,
    "ammonia_on_n": 0.3,
    "acid_on_n": 0.4,
    "half_alkalinity": 25.0,
    "oxygen": 5.0,
    "sourest": 1.0,
    "oxygen_half_a": 0.6,
    "oxygen_half_n": 0.2,
    "breath_a": 14.0,
    "breath_n": 18.0,
    "air": 9.0,
    "transfer": 8.0,
    "rotting": 0.8,
    "extra": -0.6,
    "available": 0.8,
    "ammonia_shape": 900.0,
    "acid_shape": 0.01,
}


@pytest.mark.parametrize("falling", [False, True])
def test_rates_are_those_of_one_set(falling):
    crowded = problem(**CROWDED)
    if falling:
        crowded = crowded._replace(per_nitrogen=7.0, per_cells=0.4)
    random = np.random.default_rng(3)
    matter = random.uniform(0.0, 4.0, (2, 5))
    log_film = np.log(random.uniform(0.01, 0.9, (2, 5)))
    water = random.uniform(0.001, 0.1, (2, 5))
    since = random.uniform(0.0, 5.0, 5)
    many = Sets(crowded, 5).rates((matter, log_film, water), since)
    one = right_hand_side(crowded, 0.0)
    for k in range(5):
        film, free = np.exp(log_film[:, k]), water[:, k]
        state = [
            *matter[:, k],
            log_film[0, k],
            free[0] / film[0],
            log_film[1, k],
            free[1] / film[1],
        ]
        ammonia, nitrite, up_a, ratio_a, up_n, ratio_n = one(np.array(state), since[k])
        np.testing.assert_allclose(many.matter[:, k], [ammonia, nitrite], rtol=1e-12, atol=1e-12)
        np.testing.assert_allclose(many.log_film[:, k], [up_a, up_n], rtol=1e-12, atol=1e-12)
        # The ratio to the film is what one set is written in.
        ratios = np.array([ratio_a, ratio_n]) + free / film * np.array([up_a, up_n])
        np.testing.assert_allclose(many.water[:, k], ratios * film, rtol=1e-12, atol=1e-12)


def test_sets_that_are_at_their_end_are_left_behind():
    sets = Sets(problem(**CROWDED), 3)
    point = (np.full((2, 3), 1.0), np.log(np.full((2, 3), 0.2)), np.full((2, 3), 0.01))
    whole = sets.rates(point, np.zeros(3))
    sets.keep(np.array([True, False, True]))
    fewer = sets.rates(tuple(part[:, :2] for part in point), np.zeros(2))
    np.testing.assert_array_equal(fewer.matter, whole.matter[:, [0, 2]])


def test_both_follow_the_law_as_it_is_written_for_arrays():
    """The two solvers write the film's law out for speed: here it stands beside the plain one."""
    crowded = problem(**CROWDED)
    matter, film = np.array([[1.5], [0.8]]), np.array([[0.4], [0.3]])
    found = Sets(crowded, 1).rates((matter, np.log(film), 0.1 * film), np.zeros(1))
    plain = paces(crowded.growth, 1.5, 0.8, 100.0, 0.4, 0.3)
    np.testing.assert_allclose(found.pace[:, 0], [plain.film_a, plain.film_n], rtol=1e-12)
    np.testing.assert_allclose(found.swim[:, 0], [plain.water_a, plain.water_n], rtol=1e-12)


def test_slopes_are_those_of_the_paces():
    # That a change of food changes the oxygen left is not followed: here oxygen is plenty.
    sets = Sets(problem(**{**CROWDED, "oxygen": 1e6}), 1)
    film, free = np.array([[0.4], [0.3]]), np.array([[0.05], [0.08]])
    matter = np.array([[1.5], [0.8]])

    def at(change):
        return sets.rates((matter + change, np.log(film), free), np.zeros(1))

    now, hair = at(0.0), 1e-6
    for row in range(2):
        change = np.zeros((2, 1))
        change[row] = hair
        for name, own, other in (("pace", now.own_pace, now.other_pace),
                                 ("swim", now.own_swim, now.other_swim)):  # fmt: skip
            slope = (getattr(at(change), name) - getattr(at(-change), name))[:, 0] / (2 * hair)
            assert slope[row] == pytest.approx(own[row, 0], rel=1e-6), name
            # Through nitrite ammonia oxidisers are slowed; ammonia hands nitrite on as well.
            assert slope[1 - row] == pytest.approx(other[1 - row, 0], rel=1e-5, abs=1e-9), name
