"""Why no day can be named from a test log, and which measurement would decide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np

from aqualib.parameters import parameter
from aqualib.tank.maturation import Buffer, Scenario, Temperature, WaterChange
from aqualib.tank.maturation.scenario import TEMPERATURE
from aqualib.tank.test_log.balance import (
    SURE,
    late_balance,
    nitrogen_balance,
    with_nitrate_times,
    within,
)
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.log import KeepersLog, Reading
from aqualib.tank.test_log.model import near_zero
from aqualib.tank.test_log.when import two_figures
from aqualib.units import number
from aqualib.water.ammonia import PRINTED_PH
from aqualib.water.nitrogen import NITRATE_PER_NITROGEN, alkalinity_demand

FEWEST_DAYS = 4
TIMES = {2: "two", 3: "three"}
FALL_OF_PH = 0.3
"""Half the alkalinity is gone where pH has fallen so far (log10 of 2)."""
LEFT = 0.7
"""Share of the first alkalinity; below it is called a fall."""
SPENT = 0.6
"""Share of the alkalinity that may be used up before it is asked for."""
OVERDRAWN = 1.3
"""Share of it that cannot have been used up, as well as tests tell."""
GONE = 3.0
"""Standard deviations of the test: ammonia below them is gone."""
FARTHEST = 2.5
"""Readings that scatter so many times more than tests do are not of the tank that was told."""
BASIS_SLIP = 0.3
"""How near 1 the balance must come with another basis for a mix-up to be named."""
STEADY = 4.0
"""So many °C a tank in a room may swing."""
PH_OF_MODEL, CELSIUS_OF_MODEL = ((reach.low, reach.high) for reach in (PRINTED_PH, TEMPERATURE))


class NoDay(NamedTuple):
    """Why no day is named, and the one measurement that would decide; two sentences."""

    why: str
    measure: str


class Known(NamedTuple):
    """What is known of a tank when a day is to be named."""

    log: KeepersLog
    scenario: Scenario
    time: Any
    told: Any
    """All nitrogen in the water at `time` if the food were as told, mg/L."""
    misfit: float = 1.0
    middle: float = np.inf
    """The day that the readings would name, if they may."""


def why_no_day(known: Known) -> NoDay | None:
    """Return the most pressing reason against naming a day; None if a day may be named."""
    for ask in ASKED:
        for reason in ask(known):
            return reason
    return None


def _untested(known: Known) -> Iterator[NoDay]:
    for what in ("ammonia", "nitrite"):
        if not known.log.of(what):
            others = " and ".join(w for w in NITROGEN if w != what and known.log.of(w))
            why = f"{what.capitalize()} was never read: {others} alone cannot tell when it is safe."
            yield NoDay(why, f"Test {what} tonight, and every second day with the others.")


def _too_few(known: Known) -> Iterator[NoDay]:
    days = {what: {reading.day for reading in known.log.of(what)} for what in NITROGEN[:2]}
    fewest = min(days, key=lambda what: len(days[what]))
    count = len(days[fewest])
    if count < FEWEST_DAYS:
        times = "once" if count == 1 else f"on {TIMES[count]} days only"
        why = f"{fewest.capitalize()} was read {times}: that fits too many pasts."
        yield NoDay(why, "Test ammonia, nitrite and nitrate every second day for a week.")


def _beyond(known: Known) -> Iterator[NoDay]:
    """Speak of water that the laws of the model do not reach."""
    ph, celsius = known.log.middle("ph"), known.log.middle("temperature")
    if ph is not None and ph < PH_OF_MODEL[0]:
        yield NoDay(
            f"At pH {number(ph, 2)} alkalinity is nearly gone, and most nitrifiers rest: no one "
            "can say when they go on.",
            "Measure alkalinity (KH) tonight: it tells how much is left to work with.",
        )
    if ph is not None and ph > PH_OF_MODEL[1]:
        yield NoDay(
            f"At pH {number(ph, 2)} the limits of ammonia are not printed, and much of it is "
            "un-ionised.",
            "Measure pH again, with another test.",
        )
    low, high = CELSIUS_OF_MODEL
    if celsius is not None and not low <= celsius <= high:
        holds = f"it holds from {low:g} to {high:g} °C."
        why = f"At {number(celsius, 3)} °C the model says nothing: {holds}"
        yield NoDay(why, "Measure the temperature again, with another thermometer.")


def _spell(known: Known) -> Iterator[NoDay]:
    """Ask for a cold or warm spell that was not told: bacteria keep other time in it."""
    found = [r.value for r in known.log.of("temperature") if r.sign == "="]
    told = any(isinstance(event, Temperature) for event in known.scenario.events)
    if not told and found and max(found) - min(found) > STEADY:
        yield NoDay(
            f"The water was read at {number(min(found), 3)} and at {number(max(found), 3)} °C, and "
            "nothing was said of a change.",
            "Read the temperature each day, and tell the days with "
            'events=(Temperature(Q(5, "day"), Q(19, "degC")), ...).',
        )


def _alkalinity(known: Known) -> Iterator[NoDay]:
    """Ask for alkalinity where it is taken as kept, and the readings speak against it."""
    if not known.scenario.alkalinity_kept:
        return
    measured = known.log.of("alkalinity")
    if len(measured) > 1:
        first, last = measured[0].value, measured[-1].value
        error = SURE * parameter("test_alkalinity_error").value * np.sqrt(2.0)
        if last < LEFT * first and first - last > error:
            yield NoDay(
                f"Alkalinity fell from {two_figures(first)} to {two_figures(last)} mg/L as CaCO3. "
                "Bacteria that make nitrate use it up, and stop without it.",
                "Top it up, and measure alkalinity again in two days.",
            )
        return
    fall = fall_of_ph(known.log)
    if fall:
        yield NoDay(
            f"The pH fell by {number(fall, 1)}, as it does when alkalinity runs out; without "
            "alkalinity the bacteria stop.",
            "Measure alkalinity (KH) tonight.",
        )


def _unknown(known: Known) -> Iterator[NoDay]:
    """Ask for alkalinity where nothing tells whether it is still there.

    Where far more was used than there was, someone tops it up; where ammonia is gone, the
    bacteria still have some.
    """
    followed = known.log.of("alkalinity") or len(known.log.of("ph")) >= FEWEST_DAYS
    gone = within(known.log.of("ammonia")[-1]) < GONE * float(near_zero()[0])
    if followed or gone or not known.scenario.alkalinity_kept:
        return
    used, there = alkalinity_used(known.log), alkalinity_had(known)
    if used >= OVERDRAWN * there:
        return
    if used > SPENT * there:
        yield NoDay(
            f"The nitrite and nitrate that came up used some {two_figures(used)} mg/L of "
            f"alkalinity; you speak of {two_figures(there)}, and neither it nor pH was followed.",
            "Measure alkalinity (KH) tonight.",
        )
        return
    needed = float(alkalinity_demand.bare(np.interp(known.middle, known.time, known.told)))
    if np.isfinite(known.middle) and needed > OVERDRAWN * there:
        yield NoDay(
            f"To get ready the bacteria need some {two_figures(needed)} mg/L of alkalinity; you "
            f"speak of {two_figures(there)}, and neither it nor pH was followed.",
            "Measure alkalinity (KH) tonight, and pH with each test.",
        )


def fall_of_ph(log: KeepersLog) -> float:
    """Return by how much pH fell from the first third of its readings to the last; 0 if not.

    The last two are looked at as well: it falls fast when alkalinity has run out.
    """
    found = [reading.value for reading in log.of("ph") if reading.sign == "="]
    if len(found) < 2:
        return 0.0
    part = max(len(found) // 3, 1)
    falls = [_fall(found, part, last) for last in {part, min(part, 2)}]
    return max(falls)


def _fall(found: Sequence[float], first: int, last: int) -> float:
    fall = float(np.mean(found[:first]) - np.mean(found[-last:]))
    error = parameter("test_ph_error").value * np.sqrt(1.0 / first + 1.0 / last)
    return fall if fall >= FALL_OF_PH and fall > SURE * error else 0.0


def alkalinity_used(log: KeepersLog) -> float:
    """Return what the oxidised nitrogen of the readings has used up, mg/L as CaCO3."""
    sums: dict[float, float] = {}
    for day in {reading.day for reading in log.of("nitrite")}:
        nitrate = [r.value for r in log.of("nitrate") if r.day == day and r.sign != "<"]
        nitrite = [r.value for r in log.of("nitrite") if r.day == day and r.sign != "<"]
        sums[day] = max(nitrite, default=0.0) + max(nitrate, default=0.0)
    if not sums:
        return 0.0
    rise = sums[max(sums)] - sums[min(sums)]
    return float(alkalinity_demand.bare(max(rise, 0.0)))


def alkalinity_had(known: Known) -> float:
    """Return what there was and what came in since, as far as it was told, mg/L as CaCO3."""
    start = float(known.scenario.in_days.alkalinity)
    had = start
    for event in known.scenario.events:
        if event.in_days.at > known.log.last_day:
            continue
        if isinstance(event, WaterChange):
            fresh = event.in_days.alkalinity
            had += event.in_days.share * (start if fresh is None else fresh)
        elif isinstance(event, Buffer):
            had += event.in_days.alkalinity
    return had


def _balance(known: Known) -> Iterator[NoDay]:
    found = nitrogen_balance(known.log, known.time, known.told)
    if found and found.too_much:
        basis = _other_basis(known, 1.0 / NITRATE_PER_NITROGEN, "as the ion", "as N")
        yield NoDay(
            f"Nitrogen rose {number(found.ratio, 2)} times as fast as the food can explain. "
            f"{basis} food was not counted, something died, or a test reads high.",
            "Weigh the food of a day, and test nitrate of the tank and of the tap side by side.",
        )
    if found and found.too_little:
        share = number(100.0 * max(found.ratio, 0.0), 2)
        basis = _other_basis(known, NITRATE_PER_NITROGEN, "as N", "as the ion")
        yield NoDay(
            f"Only {share} % of the food's nitrogen turns up. {basis} less food went in, something "
            "dead was all of it, plants take it up, or a water change was not written down.",
            "Feed what you said for a week, change no water, and test nitrate before and after.",
        )
    late = late_balance(known.log, known.time, known.told)
    if late and late.too_little:
        yield NoDay(
            "Nitrogen rose at first and then stopped, as it does when something dead is all the "
            "food, and is used up.",
            "Give the food that is planned for a week, and test nitrate before and after.",
        )


def _other_basis(known: Known, factor: float, is_it: str, heading: str) -> str:
    """Ask whether nitrate is in another basis, if nitrogen would then balance."""
    changed = with_nitrate_times(known.log, factor)
    found = nitrogen_balance(changed, known.time, known.told)
    if found is None or abs(found.ratio - 1.0) >= BASIS_SLIP:
        return "Perhaps"
    return f"Is nitrate written {is_it} where the heading says {heading}? Or perhaps"


def _zeros(known: Known) -> Iterator[NoDay]:
    """Zeros with nitrate that rises as the food says are a ripe filter; without it, nothing."""
    if not all(_is_nothing(r) for what in NITROGEN[:2] for r in known.log.of(what)):
        return
    if nitrogen_balance(known.log, known.time, known.told) is None:
        yield NoDay(
            "Zeros alone fit a ripe filter as well as a tank that got no food.",
            "Feed as planned for a week, and test nitrate before and after.",
        )


def _is_nothing(reading: Reading) -> bool:
    return reading.sign == "<" or reading.value == 0.0


def _misfit(known: Known) -> Iterator[NoDay]:
    if known.misfit > FARTHEST:
        yield NoDay(
            f"The readings lie {number(known.misfit, 2)} times as far from the model as tests "
            "should: something happened that is not in what you told.",
            "Test ammonia, nitrite and nitrate on three days, and write down all that you do.",
        )


ASKED = (
    _untested,
    _too_few,
    _beyond,
    _spell,
    _alkalinity,
    _balance,
    _zeros,
    _misfit,
    _unknown,
)
"""Reasons against a day, the most pressing first."""
