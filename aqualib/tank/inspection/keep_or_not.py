"""Keep, move, add, replace: a verdict on one piece, by running the whole system again."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from typing import NamedTuple

from aqualib.filtration.media import media_kinds
from aqualib.parameters import parameter
from aqualib.tank.inspection.observed import BLACK, NO_MARKS, NOT_LOOKED, Piece
from aqualib.tank.inspection.stacking import remembered_outcome
from aqualib.tank.inspection.what_it_is import Found, litres_of, recognised
from aqualib.tank.inspection.what_to_mind import to_mind
from aqualib.tank.plan.nothing_open import Filled, filled
from aqualib.tank.plan.other_trays import gives_back, own_kind
from aqualib.tank.plan.parts import CARBON, CATCHERS, CHEMICALS, NOTHING, SETTLING, ZEOLITE
from aqualib.tank.plan.system import System
from aqualib.tank.plan.trays import Place, fitting_mass, full_of
from aqualib.tank.plan.what_it_buys import SAME, gains
from aqualib.tank.plan.what_it_does import Outcome
from aqualib.tank.sizing import LIMITS
from aqualib.units import SECONDS_PER_DAY, from_si, number, shown
from aqualib.validity import ValidityError

GRAM = 1e-3
KEEP, MOVE, ADD, REPLACE = WORDS = ("keep", "move", "add", "replace")


class Verdict(NamedTuple):
    """What to do with a piece, and why; the outcomes are of the whole system, in SI units."""

    piece: Piece
    found: Found
    word: str
    """One of `WORDS`."""
    do: str
    why: str
    volume: float
    mass: float
    """Of what its tray has room for."""
    over: float
    """Mass that does not fit."""
    now: Outcome
    without: Outcome
    after: Outcome
    whole: Filled
    """The system after it is done."""
    mind: str
    """What to mind of such a thing, or "" where nothing is known."""

    def __str__(self) -> str:
        room = shown(from_si(self.volume, "L"), "L", 2)
        head = f"{self.piece.name} ({self.found.holds}, {room}): {self.word.upper()}. {self.do}."
        stays = f"{in_kg_and_lb(self.over)} of it do not fit its tray. " if self.over else ""
        mind = f"\n   {self.mind}" if self.mind else ""
        return f"{head}\n   {stays}{self.why} {without_it(self)}{mind}"


class Trial(NamedTuple):
    """One thing that could be done with a piece."""

    word: str
    do: str
    whole: Filled


def judge(piece: Piece, system: System | Filled) -> Verdict:
    """Return whether to keep, move, add to or replace a piece in a system, and why.

    Each answer is tried by running the whole system again, so it holds for this system only: what
    gains nothing today may gain much once the order is right. What costs nothing, moving, wins
    where it gains anything; then what gains most.
    """
    whole = filled(system)[0] if isinstance(system, System) else system
    found = recognised(piece)
    at = _tray_of(piece, found, whole)
    whole, over = _as_observed(whole, at, piece, found)
    now = remembered_outcome(whole)
    place = whole.places[at]
    volume = litres_of(piece, found, whole.floor, place.height)
    best = _must(found, whole, at)
    if best is None:
        best = _best(now, list(_trials(whole, at)))
    after = remembered_outcome(best.whole)
    return Verdict(
        piece=piece,
        found=found,
        word=best.word,
        do=_slowly(best, found, whole),
        why=why_of(found, best, now, after, whole),
        volume=volume,
        mass=place.media,
        over=over,
        now=now,
        without=remembered_outcome(whole.with_tray(at, Place(NOTHING, place.height, 0.0))),
        after=after,
        whole=best.whole,
        mind=" ".join([*to_mind(found, whole), *_if_it_is_stone(piece, system, at)]),
    )


SLOWLY = ", a part a week, with a test of ammonia every day"


def _slowly(best: Trial, found: Found, whole: Filled) -> str:
    """Return what to do; zeolite on which animals live goes out slowly, if it may stay so long."""
    slow = found.holds == ZEOLITE and best.word == REPLACE and not gives_back(whole)
    return best.do + SLOWLY if slow else best.do


def _if_it_is_stone(piece: Piece, system: System | Filled, at: int) -> Iterator[str]:
    """Say what black grains that nobody rubbed would come to if they were no carbon."""
    if piece.looks == BLACK and piece.cloth == NOT_LOOKED:
        stone = judge(replace(piece, cloth=NO_MARKS, tray=at + 1), system)
        yield (
            "Nobody looked whether it marks a white cloth. If it leaves no mark it is no carbon: "
            f"counted as {stone.found.holds} it is {stone.word.upper()}, and this filter carries "
            f"{_food(stone.now)} now."
        )


def _tray_of(piece: Piece, found: Found, whole: Filled) -> int:
    """Return where a piece stands: the tray told, or the one that holds such a thing."""
    if piece.tray is not None:
        at = int(piece.tray) - 1
        if at >= len(whole.places):
            valid = f"1 to {len(whole.places)}, the trays of this filter"
            raise ValidityError("tray", f"{at + 1}", valid, "", "is not there")
        return at
    # Stone that came as carbon stands where carbon was told to be.
    likely = (CARBON,) if piece.looks == BLACK else ()
    for wanted in (found.holds, *likely, NOTHING):
        places = [n for n, place in enumerate(whole.places) if place.holds == wanted]
        if places:
            return places[0]
    why = "stands in no tray, and none is empty"
    raise ValidityError("tray", found.holds, "the tray that it stands in", "", why)


SLIP = 10.0
"""Times what a tray holds, from which on a weight is taken for one in another unit."""


def _as_observed(whole: Filled, at: int, piece: Piece, found: Found) -> tuple[Filled, float]:
    """Return the system with the piece in its tray as it was observed, and what does not fit."""
    place = whole.places[at]
    if found.holds not in media_kinds():
        return whole.with_tray(at, Place(found.holds, place.height, 0.0)), 0.0
    fits = fitting_mass(found.holds, whole.floor * place.height)
    given = piece.bare.dry
    if given is None and place.holds == found.holds:
        given = place.media
    mass = fits if given is None else given
    if mass > SLIP * fits:
        why = "is far more than its tray holds: is it in grams?"
        raise ValidityError("dry", f"{mass:.3g} kg", f"up to about {fits:.2g} kg", "", why)
    over = mass - fits if mass > (1.0 + SAME) * fits else 0.0
    return whole.with_tray(at, Place(found.holds, place.height, mass - over)), over


def _must(found: Found, whole: Filled, at: int) -> Trial | None:
    """Return what no sum can outweigh: a pad that is worn out, rock that dissolves."""
    if found.is_worn:
        return Trial(REPLACE, f"Put a new {found.holds} in its place", whole)
    if found.holds == ZEOLITE and gives_back(whole):
        out = _instead(whole, at, own_kind(whole))
        return out._replace(do=f"Test ammonia now. {out.do}, and test daily for a week")
    if found.is_carbonate and dissolves_in(whole):
        kind = next(kind for kind in media_kinds() if kind != found.holds)
        return _instead(whole, at, kind)
    return None


def dissolves_in(whole: Filled) -> bool:
    """Return whether carbonate rock dissolves in this water."""
    return not whole.is_sea and whole.ph < parameter("carbonate_keeps_ph").value


def _trials(whole: Filled, at: int) -> Iterator[Trial]:
    place = whole.places[at]
    yield Trial(KEEP, "Leave it where it is", whole)
    yield from _moves(whole, at)
    if place.holds in media_kinds():
        more = fitting_mass(place.holds, whole.floor * place.height) - place.media
        if more > SAME * place.media:
            full = place._replace(media=place.media + more)
            words = f"Add {in_kg_and_lb(more)}, until its tray is full"
            yield Trial(ADD, words, whole.with_tray(at, full))
        return
    if whole.holding(*CATCHERS) == [place]:
        return  # its only pad: what would catch the dirt without it?
    if place.holds in {*CHEMICALS, *CATCHERS}:
        yield _instead(whole, at, own_kind(whole))
        if not whole.holding(SETTLING):
            rest = [other for n, other in enumerate(whole.places) if n != at]
            first = Place(SETTLING, place.height, 0.0)
            words = "Take it out and leave its tray empty, first in the water's way, to settle dirt"
            yield Trial(REPLACE, words, whole.with_trays((first, *rest)))


def _moves(whole: Filled, at: int) -> Iterator[Trial]:
    """Give the other places of a piece; none that puts media or a bag in front of a pad."""
    rest = [other for n, other in enumerate(whole.places) if n != at]
    for to in range(len(whole.places)):
        if to != at:
            places = (*rest[:to], whole.places[at], *rest[to:])
            words = f"Move it to place {to + 1}, {_beside(rest, to)}"
            clean = {*media_kinds(), *({*CHEMICALS} & {whole.places[at].holds})}
            if _unscreened(places, clean) <= _unscreened(whole.places, clean):
                yield Trial(MOVE, words, whole.with_trays(places))


def _unscreened(places: tuple[Place, ...], kept_clean: set[str]) -> int:
    """Return how often what a pad should keep dirt from stands before one."""
    return sum(
        first.holds in kept_clean and later.holds in CATCHERS
        for first, later in combinations(places, 2)
    )


def _beside(rest: list[Place], to: int) -> str:
    if to == 0:
        return "first in the water's way"
    return f"behind the {rest[to - 1].holds}" if rest[to - 1].holds != NOTHING else "further on"


def _instead(whole: Filled, at: int, kind: str) -> Trial:
    """Return the trial of media in the place of a piece."""
    place = whole.places[at]
    full = full_of(kind, place.height, whole.floor)
    words = f"Take it out and put {in_kg_and_lb(full.media)} of {kind} in its place"
    return Trial(REPLACE, words, whole.with_tray(at, full))


def _best(now: Outcome, trials: list[Trial]) -> Trial:
    """Return what is free where it gains, else what gains most; keep where nothing does."""
    gained = [(_gained(now, remembered_outcome(trial.whole)), trial) for trial in trials]
    good = [pair for pair in gained if _is_gain(pair[0])]
    if not good:
        return trials[0]
    moves = [pair for pair in good if pair[1].word == MOVE]
    return max(moves or good, key=lambda pair: pair[0])[1]


def _gained(now: Outcome, after: Outcome) -> tuple[float, float]:
    found = gains(now, after)
    return found.food, found.days


def _is_gain(gained: tuple[float, float]) -> bool:
    """Return whether more food is carried, or as much for more days."""
    food, days = gained
    return food > 0.0 or (food == 0.0 and days > 0.0)


def why_of(found: Found, best: Trial, now: Outcome, after: Outcome, whole: Filled) -> str:
    """Return the reason in words, from the sums."""
    if found.is_worn:
        return "It stays flat: foam that does not spring back lets water pass in few places."
    if best.word == REPLACE and found.is_carbonate and dissolves_in(whole):
        rise = from_si(GRAM / whole.volume, "mg/L")
        return (
            f"It fizzes, so it dissolves at pH {number(whole.ph)}: each gram hardens this water by "
            f"{number(rise, 2)} mg/L as CaCO3 and pushes its pH up. "
            "Right for the sea and for hard water."
        )
    if found.holds == ZEOLITE and gives_back(whole):
        return "In salt water it takes little, and a loaded one gives its ammonia back."
    if best.word == KEEP:
        limits = LIMITS[now.carried.limiting]
        return f"Nothing that was tried carries more or lasts longer: the {limits} limits."
    food = _from_to(_food(now), _food(after))
    return f"Food carried: {food}. First cleaning: {_from_to(days(now.due), days(after.due))}."


def without_it(verdict: Verdict) -> str:
    """Return what the system would do without the piece, in words."""
    gone = verdict.without
    return f"Without it: {_food(gone)}, first cleaning {days(gone.due)}; now {_food(verdict.now)}."


def _from_to(before: str, after: str) -> str:
    return f"{before}, as before" if before == after else f"{before} → {after}"


def _food(does: Outcome) -> str:
    return shown(from_si(float(does.carried.feed.best), "g/day"), "g/day", 2)


def days(time: float) -> str:
    """Return a time to cleaning in words."""
    if math.isinf(time):
        return "not within half a year"
    return f"day {number(time / SECONDS_PER_DAY, 2)}"


def in_kg_and_lb(mass: float) -> str:
    """Return a mass in both, whatever units are shown: media are sold in either."""
    return f"{number(mass, 3)} kg = {number(from_si(mass, 'lb'), 3)} lb"
