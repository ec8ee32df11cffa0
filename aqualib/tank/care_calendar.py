"""The tasks that a plan brings with it, as a calendar to read, to print or to load."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from aqualib.edge import Range, one_number
from aqualib.parameters import parameter
from aqualib.tank.care_file import save
from aqualib.tank.care_icalendar import as_icalendar
from aqualib.tank.care_page import as_page
from aqualib.tank.care_task import Task, a_day, days_of, whole_days
from aqualib.units import shown
from aqualib.validity import ValidityError

__all__ = ["Task", "as_icalendar", "as_page", "days_of", "save", "usual_tasks"]

WATER = Range(0.01, 1e6, "L")
CARBON = Range(0.1, 1e6, "g")
SHARE = Range(0.01, 1)
UNPLUG = "Unplug everything in the water before a hand goes in."
SAME_WATER = "Rinse in water taken from the tank: chlorine in tap water kills the bacteria."
CHANGE = "Takes out nitrate and what else piles up. New water as warm as the tank's, no chlorine."
TEST = "Write the readings down: a change over weeks tells more than one number."
MEDIA = "Only a part at a time, so that enough bacteria stay for the ammonia of the day."
LAMP = (
    "It still glows when it has grown too weak. Follow the maker's instructions; never look at "
    "a lit ultraviolet lamp."
)
FRESH_CARBON = "A portion fills up, then takes no more out."
FRESH_WATER = "Only water leaves as vapour; salts stay. Top up with water that has no salt."
SWITCH = (
    "Press the test button of the residual-current switch (RCD, GFCI): the power must go off. If "
    "it does not, use nothing on it and call a licensed electrician. Local codes come first."
)
RINSE = "A full pad lets less water through."


def usual_tasks(
    start: date,
    *,
    change: Any = None,
    change_every: int | None = None,
    test_every: int | None = None,
    rinse_coarse_every: int | None = None,
    rinse_medium_every: int | None = None,
    rinse_fine_every: int | None = None,
    media_share: Any = None,
    media_every: int | None = None,
    lamp_every: int | None = None,
    lamp_since: date | None = None,
    carbon: Any = None,
    carbon_every: int | None = None,
    top_up: Any = None,
    top_up_every: int | None = None,
    safety_switch_every: int | None = None,
) -> tuple[Task, ...]:
    """Return the tasks of a plan that begins on the day `start`; what is not given is left out.

    `change` is the water changed each time, in litres; `media_share` the part of the biological
    media cleaned each time; `carbon` the portion put in, in grams; `top_up` what evaporates in a
    day. Those go with their own `..._every`, in days. Rinsing, changing, cleaning and renewing
    come for the first time when their days are over, all else on the first day. The lamp counts
    from `lamp_since`, on which it was new. Pressing the safety switch's button is always there.
    """
    a_day("start", start)
    _pairs(
        change=(change, change_every),
        media_share=(media_share, media_every),
        carbon=(carbon, carbon_every),
        top_up=(top_up, top_up_every),
    )
    tasks = [
        *_now(start, "Test the water and write it down", test_every, "test_every", TEST),
        *_water(start, change, change_every),
        *_top_up(start, top_up, top_up_every),
    ]
    pads = {
        "coarse": rinse_coarse_every,
        "medium": rinse_medium_every,
        "fine": rinse_fine_every,
    }
    for grade, every in pads.items():
        why = f"{RINSE} {SAME_WATER} {UNPLUG}"
        tasks += _later(start, f"Rinse the {grade} pad", every, f"rinse_{grade}_every", why)
    tasks += _media(start, media_share, media_every)
    tasks += _carbon(start, carbon, carbon_every)
    tasks += _lamp(start, lamp_every, lamp_since)
    if safety_switch_every is None:
        safety_switch_every = round(parameter("safety_switch_test_interval").value)
    what = "Press the test button of the safety switch"
    return (*tasks, *_now(start, what, safety_switch_every, "safety_switch_every", SWITCH))


def _pairs(**pairs: tuple[Any, int | None]) -> None:
    for name, (amount, every) in pairs.items():
        if (amount is None) != (every is None):
            other = "media_every" if name == "media_share" else f"{name}_every"
            missing, valid = (name, "an amount") if amount is None else (other, "days")
            why = "is left out, though its partner is given"
            raise ValidityError(missing, "None", valid, "", why)


def _now(start: date, what: str, every: int | None, name: str, why: str) -> Iterator[Task]:
    if every is not None:
        yield Task(what, start, whole_days(name, every), why)


def _later(start: date, what: str, every: int | None, name: str, why: str) -> Iterator[Task]:
    if every is not None:
        days = whole_days(name, every)
        yield Task(what, start + timedelta(days), days, why)


def _single(name: str, value: Any, rule: Range) -> float:
    """Return one amount in the unit of its rule."""
    number = one_number(name, value, rule)
    return float(value.m_as(rule.unit)) if rule.unit else number


def _water(start: date, change: Any, every: int | None) -> Iterator[Task]:
    if every is not None:
        amount = shown(_single("change", change, WATER), "L")
        yield from _later(start, f"Change {amount} of water", every, "change_every", CHANGE)


def _top_up(start: date, top_up: Any, every: int | None) -> Iterator[Task]:
    if every is not None:
        litres = _single("top_up", top_up, WATER) * whole_days("top_up_every", every)
        what = f"Top up about {shown(litres, 'L', 2)} of evaporated water"
        yield from _later(start, what, every, "top_up_every", FRESH_WATER)


def _media(start: date, share: Any, every: int | None) -> Iterator[Task]:
    if every is not None:
        percent = 100.0 * _single("media_share", share, SHARE)
        what = f"Clean {percent:.0f} % of the biological media"
        why = f"{MEDIA} {SAME_WATER} {UNPLUG}"
        yield from _later(start, what, every, "media_every", why)


def _carbon(start: date, carbon: Any, every: int | None) -> Iterator[Task]:
    if every is not None:
        amount = shown(_single("carbon", carbon, CARBON), "g")
        why = f"{FRESH_CARBON} {UNPLUG}"
        yield from _later(start, f"Put in {amount} of new carbon", every, "carbon_every", why)


def _lamp(start: date, every: int | None, since: date | None) -> Iterator[Task]:
    if every is None:
        if since is not None:
            raise ValidityError("lamp_every", "None", "days", "", "is left out")
        return
    days = whole_days("lamp_every", every)
    due = (start if since is None else a_day("lamp_since", since)) + timedelta(days)
    # A lamp that is overdue is replaced on the first day, and counts from then.
    yield Task("Put in a new ultraviolet lamp", max(due, start), days, f"{LAMP} {UNPLUG}")
