"""The rates of many sets of parameters at once, in arrays that are cut as sets get to their end.

Row 0 is ammonia and its oxidisers, row 1 nitrite and its oxidisers; one column a set. The rates are
those of `rates.limits`, written out for speed; a test holds them equal.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from aqualib.tank.maturation.course import StretchProblem

HAIR = 1e-9


class Pairs(NamedTuple):
    """Coefficients of the two groups: row 0 the ammonia oxidisers, row 1 the nitrite oxidisers."""

    growth: Any
    half: Any
    on_itself: Any
    on_other: Any
    per_full: Any
    decay: Any
    dies: Any


class Singles(NamedTuple):
    """Coefficients that both groups share, one number a set."""

    attach: Any
    detach: Any
    needs: Any
    makes: Any
    takes: Any
    nitrogen: Any
    alkalinity: Any
    per_cells: Any
    half_alkalinity: Any


class Rates(NamedTuple):
    """The rates of change per day, then what the Jacobian needs besides."""

    matter: Any
    log_film: Any
    water: Any
    film: Any
    present: Any
    food: Any
    crowd: Any
    slowed: Any
    slope: Any
    pace: Any
    filled: Any
    room: Any
    cells: Any
    settling: Any
    coming: Any
    leaving: Any


class Sets:
    """The coefficients of the sets that are still on their way."""

    def __init__(self, problem: StretchProblem, count: int) -> None:
        g = problem.growth
        self.load = problem.load
        decay = _pair(g.decay_a, g.decay_n, count)
        self.pairs = Pairs(
            growth=_pair(g.growth_a, g.growth_n, count),
            half=_pair(g.half_a, g.half_n, count),
            on_itself=_pair(g.ammonia_on_a, g.acid_on_n, count),
            on_other=_pair(g.acid_on_a, g.ammonia_on_n, count),
            per_full=1.0 / _pair(g.full_a, g.full_n, count),
            decay=decay,
            dies=decay + g.loss,
        )
        ones = np.ones(count)
        self.singles = Singles(
            attach=g.attach * ones,
            detach=g.detach * ones,
            needs=(g.per_yield_a + g.cells_nitrogen) * ones,
            makes=g.per_yield_a * ones,
            takes=g.per_yield_n * ones,
            nitrogen=g.cells_nitrogen * ones,
            alkalinity=problem.alkalinity * ones,
            per_cells=problem.per_cells * ones,
            half_alkalinity=g.half_alkalinity * ones,
        )
        self.available, self.ion_share = g.available, g.ion_share
        self.ammonia_shape, self.acid_shape = g.ammonia_shape, g.acid_shape
        self.per_day, self.per_ammonia = problem.per_day, problem.per_ammonia
        self.falling = problem.per_ammonia > 0.0
        self._follow(self.singles.alkalinity)

    def keep(self, chosen: Any) -> None:
        """Go on with the chosen sets only."""
        self.pairs = Pairs(*(value[:, chosen] for value in self.pairs))
        self.singles = Singles(*(value[chosen] for value in self.singles))
        self._follow(self.singles.alkalinity)

    def _follow(self, alkalinity: Any) -> None:
        """Work out the shares that feed and slow at an alkalinity."""
        self.left = alkalinity
        free = self.available * alkalinity / (alkalinity + self.ammonia_shape)
        acid = 1.0 / (1.0 + self.acid_shape * alkalinity)
        base = alkalinity / (self.singles.half_alkalinity + alkalinity)
        self.food_share = np.array([free, self.ion_share + 0.0 * acid if self.ion_share else acid])
        self.fastest = self.pairs.growth * base * self.food_share
        self.square = self.pairs.on_itself * np.array([free, acid]) * self.food_share
        self.other = self.pairs.on_other * np.array([acid, free])

    def rates(self, point: Any, since: Any) -> Rates:
        """Return the rates of change at a point, so many days into the stretch."""
        pair, one = self.pairs, self.singles
        matter, log_film, water = point
        film = np.exp(log_film)
        cells = film + water
        present = np.maximum(matter, 0.0)
        if self.falling:
            left = one.alkalinity + self.per_day * since + self.per_ammonia * matter[0]
            self._follow(np.maximum(left + one.per_cells * (cells[0] + cells[1]), HAIR))
        food = self.food_share * present
        crowd = present * present
        crowd *= self.square
        crowd += food
        crowd += pair.half
        slowed = present[::-1] * self.other
        slowed += 1.0
        slope = self.fastest / (crowd * slowed)
        pace = slope * present
        filled = film * pair.per_full
        filled *= filled
        room = 1.0 - filled
        grown = slope * matter
        grown *= cells
        died = pair.decay * film
        died += pair.dies * water
        # Cells that find no room are eaten.
        died += filled * grown
        change = np.empty_like(matter)
        change[0] = one.nitrogen * (died[0] + died[1] - grown[1]) - one.needs * grown[0]
        change[0] += self.load
        change[1] = one.makes * grown[0] - one.takes * grown[1]
        settling = one.attach * water
        settling /= film
        coming = pace + settling
        film_change = room * coming
        film_change -= pair.decay + one.detach
        leaving = one.attach - pace
        leaving *= room
        leaving += pair.dies
        water_change = one.detach * film
        water_change -= leaving * water
        return Rates(
            change,
            film_change,
            water_change,
            film,
            present,
            food,
            crowd,
            slowed,
            slope,
            pace,
            filled,
            room,
            cells,
            settling,
            coming,
            leaving,
        )


def _pair(a: Any, n: Any, count: int) -> Any:
    return np.array([np.broadcast_to(a, (count,)), np.broadcast_to(n, (count,))], dtype=float)
