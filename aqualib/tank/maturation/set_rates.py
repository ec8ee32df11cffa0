"""The rates of many sets of parameters at once, in arrays that are cut as sets get to their end.

Row 0 is ammonia and its oxidisers, row 1 nitrite and its oxidisers; one column a set. The rates are
those of `rates.paces`, with the slopes that the solver needs; a test holds them equal.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from aqualib.tank.maturation.course import Food, StretchProblem
from aqualib.tank.maturation.rates import CROWDING, FULLEST

HAIR = 1e-9


class Pairs(NamedTuple):
    """Coefficients of the two groups: row 0 the ammonia oxidisers, row 1 the nitrite oxidisers."""

    growth: Any
    half: Any
    air_half: Any
    breath: Any
    behind: Any
    per_full: Any
    decay: Any
    dies: Any
    takes: Any
    """Nitrogen taken up for each cell grown."""
    ammonia_slows: Any
    acid_slows: Any


class Singles(NamedTuple):
    """Coefficients that both groups share, one number a set."""

    attach: Any
    detach: Any
    makes: Any
    nitrogen: Any
    alkalinity: Any
    per_cells: Any
    half_alkalinity: Any
    base: Any
    load: Any
    extra: Any
    rotting: Any
    oxygen: Any


class Rates(NamedTuple):
    """The rates of change per day, then what the Jacobian needs besides."""

    matter: Any
    log_film: Any
    water: Any
    film: Any
    free: Any
    pace: Any
    """Of growth in the film."""
    swim: Any
    """Of growth in the water."""
    own_pace: Any
    own_swim: Any
    """Slopes with the food of the group."""
    other_pace: Any
    other_swim: Any
    """Slopes with the food of the other group."""
    elastic: Any
    """By how much the pace falls as the film grows, per share of it."""
    filled: Any
    room: Any
    settling: Any
    coming: Any
    leaving: Any


class Sets:
    """The coefficients of the sets that are still on their way."""

    def __init__(self, problem: StretchProblem, count: int) -> None:
        g, food = problem.growth, problem.food
        decay = _pair(g.decay_a, g.decay_n, count)
        takes = _pair(g.per_yield_a + g.cells_nitrogen, g.per_yield_n + g.cells_nitrogen, count)
        per_yield = _pair(g.per_yield_a, g.per_yield_n, count)
        self.pairs = Pairs(
            growth=_pair(g.growth_a, g.growth_n, count),
            half=_pair(g.half_a, g.half_n, count),
            air_half=_pair(g.oxygen_half_a, g.oxygen_half_n, count),
            breath=_pair(g.breath_a, g.breath_n, count) / g.air,
            behind=per_yield / g.transfer,
            per_full=1.0 / _pair(g.full_a, g.full_n, count),
            decay=decay,
            dies=decay + g.loss,
            takes=takes,
            ammonia_slows=_pair(g.ammonia_on_a, g.ammonia_on_n, count),
            acid_slows=_pair(g.acid_on_a, g.acid_on_n, count),
        )
        ones = np.ones(count)
        self.singles = Singles(
            attach=g.attach * ones,
            detach=g.detach * ones,
            makes=g.per_yield_a * ones,
            nitrogen=g.cells_nitrogen * ones,
            alkalinity=problem.alkalinity * ones,
            per_cells=problem.per_cells * ones,
            half_alkalinity=g.half_alkalinity * ones,
            base=g.base * ones,
            load=food.load * ones,
            extra=food.extra * ones,
            rotting=food.rotting * ones,
            oxygen=g.oxygen * ones,
        )
        self.available = g.available
        self.ammonia_shape, self.acid_shape = g.ammonia_shape, g.acid_shape
        self.sourest = g.sourest
        self.per_nitrogen = problem.per_nitrogen
        self.falling = problem.per_nitrogen > 0.0
        self._set_out()

    def keep(self, chosen: Any) -> None:
        """Go on with the chosen sets only."""
        self.pairs = Pairs(*(value[:, chosen] for value in self.pairs))
        self.singles = Singles(*(value[chosen] for value in self.singles))
        self._set_out()

    def _set_out(self) -> None:
        one = self.singles
        self.food = Food(one.load, one.extra, one.rotting)
        self._follow(one.alkalinity)

    def _follow(self, alkalinity: Any) -> None:
        """Work out what feeds and slows at an alkalinity."""
        one, pair = self.singles, self.pairs
        self.left = alkalinity
        kept = np.maximum(alkalinity, self.sourest)
        free = self.available * kept / (kept + self.ammonia_shape)
        acid = 1.0 / (1.0 + self.acid_shape * kept)
        self.ammonia_on = pair.ammonia_slows * free
        self.acid_on = pair.acid_slows * acid
        self.able = pair.growth.copy()
        self.able[0] *= one.base * alkalinity / (one.half_alkalinity + alkalinity)

    def hurry(self, now: Rates, since: Any) -> Any:
        """Return how the rates of ammonia and nitrite change with time alone, per day.

        Food on its way grows or fades; and what has come has taken alkalinity with it.
        """
        one = self.singles
        slope = np.zeros_like(now.matter)
        slope[0] = -one.rotting * one.extra * np.exp(-one.rotting * since)
        if self.falling:
            slower = self.base_slope() * self.food.rate(since)
            slower *= (1.0 - now.elastic[0]) * now.pace[0] * now.film[0] + now.swim[0] * now.free[0]
            slope[0] += self.pairs.takes[0] * slower
            slope[1] -= one.makes * slower
        return slope

    def base_slope(self) -> Any:
        """Return by which share ammonia oxidisers speed up with a mg/L more of ammonia."""
        half = self.singles.half_alkalinity
        return self.per_nitrogen * half / (self.left * (half + self.left))

    def rates(self, point: Any, since: Any) -> Rates:
        """Return the rates of change at a point, so many days into the stretch."""
        pair, one = self.pairs, self.singles
        matter, log_film, free = point
        film = np.exp(log_film)
        present = np.maximum(matter, 0.0)
        if self.falling:
            left = one.alkalinity + self.per_nitrogen * (matter[0] - self.food.came(since))
            left = left + one.per_cells * (film + free).sum(axis=0)
            self._follow(np.maximum(left, HAIR))
        slow_ammonia = 1.0 + self.ammonia_on * present[0]
        slow_acid = 1.0 + self.acid_on * present[1]
        able = self.able / (slow_ammonia * slow_acid)
        top = able * self._air(able, film)
        food, pace, gain, elastic, from_ammonia = self._film(top, film, present)
        fed = food / (pair.half + food)
        swims = able * one.oxygen / (pair.air_half + one.oxygen)
        swim = swims * fed
        steepness = swims * pair.half / (pair.half + food) ** 2
        scale = np.array([np.full_like(one.oxygen, self.available), np.ones_like(one.oxygen)])
        by_ammonia, by_acid = self.ammonia_on / slow_ammonia, self.acid_on / slow_acid
        own = np.array([by_ammonia[0], by_acid[1]])
        other = np.array([by_acid[0], by_ammonia[1]])
        # What slows the bacteria leaves them more food at the film.
        felt = (1.0 - elastic) * pace
        own_pace, own_swim = scale * gain - own * felt, scale * steepness - own * swim
        other_pace, other_swim = -other * felt, -other * swim
        other_pace[1] += from_ammonia * own_pace[0]
        own_pace[1] += from_ammonia * other_pace[0]
        full = film * pair.per_full
        filled = np.minimum(full**CROWDING, FULLEST)
        room = 1.0 - filled
        grown = pace * film + swim * free
        died = pair.decay * film + pair.dies * free + filled * grown
        change = np.empty_like(matter)
        change[0] = self.food.rate(since) - pair.takes[0] * grown[0]
        change[0] += one.nitrogen * (died[0] + died[1])
        change[1] = one.makes * grown[0] - pair.takes[1] * grown[1]
        settling = one.attach * free / film
        coming = pace + settling
        film_change = room * coming - (pair.decay + one.detach)
        leaving = room * (one.attach - swim) + pair.dies
        water_change = one.detach * film - leaving * free
        return Rates(
            change,
            film_change,
            water_change,
            film,
            free,
            pace,
            swim,
            own_pace,
            own_swim,
            other_pace,
            other_swim,
            elastic,
            filled,
            room,
            settling,
            coming,
            leaving,
        )

    def _air(self, able: Any, film: Any) -> Any:
        """Return the share of its pace that the oxygen in the film leaves each group."""
        oxygen, half = self.singles.oxygen, self.pairs.air_half
        need = (self.pairs.breath * able * film).sum(axis=0)
        got = share(oxygen, half[0], need)
        left = half[0] * got / (1.0 - got)
        return left / (half + left)

    def _film(self, top: Any, film: Any, present: Any) -> tuple[Any, Any, Any, Any, Any]:
        """Return food, pace, its slope with food, its fall with film, and the ammonia's part."""
        pair = self.pairs
        behind = pair.behind * top * film
        food = present.copy()
        food[0] *= self.available
        pace, gain, elastic = np.empty((3, *np.shape(top)))
        reaching = food[0]
        for row in range(2):
            part = share(reaching, pair.half[row], behind[row])
            # What reaches the bacteria, and the slope of their share with it.
            slope = (1.0 - part) ** 2 / pair.half[row]
            pace[row] = top[row] * part
            gain[row] = top[row] * slope / (1.0 + behind[row] * slope)
            elastic[row] = behind[row] * slope / (1.0 + behind[row] * slope)
            reaching = food[1] + pair.behind[0] * pace[0] * film[0]
        return food, pace, gain, elastic, gain[1] * pair.behind[0] * film[0]


def share(outside: Any, half: Any, behind: Any) -> Any:
    """Return what `biofilm.share_of_most` does, in as few steps."""
    reach = outside + half
    reach = reach + behind
    root = reach * reach
    root -= 4.0 * outside * behind
    return 2.0 * outside / (reach + np.sqrt(root))


def _pair(a: Any, n: Any, count: int) -> Any:
    return np.array([np.broadcast_to(a, (count,)), np.broadcast_to(n, (count,))], dtype=float)
