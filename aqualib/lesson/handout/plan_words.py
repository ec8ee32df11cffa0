"""What a plan says, in the words and the units of its reader: one page and one letter share it."""

from __future__ import annotations

import math
from typing import NamedTuple

from aqualib.lesson.handout.first_of_all import interval_words
from aqualib.lesson.handout.layers import grams, told, weight
from aqualib.lesson.handout.new_water_words import (
    alkalinity_words,
    every_so_many,
    nitrate_words,
)
from aqualib.lesson.handout.reminders import (
    dated_steps,
    go_date,
    lines_of,
    of_a_running_filter,
)
from aqualib.lesson.handout.this_water import beyond_assumed, beyond_words
from aqualib.parameters import parameter
from aqualib.tank.plan import FilterPlan
from aqualib.tank.plan.assumed import Assumption
from aqualib.tank.plan.doubts import Unknown
from aqualib.tank.plan.parts import CATCHERS
from aqualib.tank.plan.what_it_does import LEAST_FLOW, flows
from aqualib.tank.upkeep import Task
from aqualib.units import SECONDS_PER_DAY, from_si, number, shown

GRAMS_A_KILOGRAM = 1000.0
NEVER = "begin with less food, more surface, or more seed."


class Line(NamedTuple):
    """One thing that a plan says: what it is about, and the words."""

    term: str
    words: str


ONE_FILTER = Line(
    "One filter",
    "with two, plan each with its share of the food, and nitrate and the tank's oxygen with all of "
    "it (our arithmetic).",
)
"""A limit of the system: it has one filter."""


class Part(NamedTuple):
    """Lines under a heading."""

    title: str
    lines: tuple[Line, ...]


def this_water(plan: FilterPlan) -> Part:
    """Return what holds in water that is sourer or hotter than was measured; no lines in other."""
    return Part("Your water", tuple(Line(*words) for words in beyond_words(plan)))


def beside(plan: FilterPlan) -> Part:
    """Return the same filter by the trade's rules, in the other water, and as fish."""
    kilograms, turnovers = parameter("media_rule"), parameter("turnover_rule")
    by_mass = told(plan.now.media_mass / kilograms.bare, "L")
    rule = (
        f"media of {shown(kilograms.value, kilograms.unit)} (marine) suit a tank of {by_mass} here"
    )
    by_flow = plan.whole.rated_flow / turnovers.bare
    low, best, high = (grams(end) for end in plan.elsewhere)
    other = "fresh water" if plan.whole.is_sea else "sea water"
    least, stock, most = (weight(end.m_as("kg")) for end in plan.stock)
    tank = told(plan.whole.volume, "L", 3)
    return Part(
        "Beside it",
        (
            Line(
                "By the trade's rules",
                f"{rule if plan.now.media_mass else 'there are no media to weigh'}, "
                f"{number(turnovers.value)} turnovers an hour by the box one of "
                f"{told(by_flow, 'L')}; yours holds {tank} (common practice, no source).",
            ),
            Line(f"In {other}", f"the same filter carries {best} g a day ({low} to {high})."),
            Line("In animals", f"{stock} of such fish eat what it carries ({least} to {most})."),
        ),
    )


def flow(plan: FilterPlan) -> Part:
    """Return the delivered flow, the days to cleaning, and nitrate."""
    return Part(
        "Flow, pads, nitrate",
        (
            Line("Flow", flow_words(plan)),
            Line("Pads", pad_words(plan)),
            Line("Nitrate", nitrate_words(plan)),
            Line("Alkalinity", alkalinity_words(plan)),
        ),
    )


def flow_words(plan: FilterPlan) -> str:
    """Return the flow clean and dirty, against the box."""
    box, clean, due = plan.whole.rated_flow, plan.now.flow_clean, plan.now.flow_due
    if clean <= 0.0:
        return f"none: the pump cannot lift the water so high. The box says {told(box, 'L/h', 3)}."
    how = "measured" if plan.whole.measured_flow else "by the sum"
    return (
        f"{told(clean, 'L/h', 3)} with clean pads ({how}), {told(due, 'L/h', 3)} when they are "
        f"due; the box says {told(box, 'L/h', 3)}, so {number(100.0 * due / box, 2)} % arrives."
        f"{_beside_the_sum(plan)}"
    )


def _beside_the_sum(plan: FilterPlan) -> str:
    """Return what a measured flow says that lies far from that of the sum."""
    if not plan.whole.measured_flow:
        return ""
    by_sum, _ = flows(plan.whole._replace(measured_flow=0.0))
    share, near = plan.now.flow_clean / max(by_sum, LEAST_FLOW), parameter("flow_regained").bare
    if near <= share <= 1.0 / near:
        return ""
    said = f" The sum gives {told(by_sum, 'L/h', 3)}"
    if share > 1.0:
        return f"{said}, less than you measured: look again at lift, hose and box."
    return (
        f"{said}; you measured {number(100.0 * share, 2)} % of it. Were the pads clean? Then a "
        "part takes the rest: lesson 04 finds which. Days to cleaning are those of the sum's flow."
    )


def pad_words(plan: FilterPlan) -> str:
    """Return the days until each pad is half full on its working face."""
    due = plan.now.due_of.items()
    faces = [f"{name}: {_day_of(when)}" for name, when in due if name != "settling"]
    if not faces and plan.whole.holding(*CATCHERS):
        return f"no water or no dirt comes to them. {interval_words(plan)}"
    if not faces:
        return "there are none, so dirt stays in the tank or settles in the media."
    first = f" {plan.now.first_due.capitalize()} comes first." if plan.now.first_due else ""
    return f"half full on the face after {'; '.join(faces)}.{first} {interval_words(plan)}"


def _day_of(seconds: float) -> str:
    if math.isinf(seconds):
        return f"over {number(parameter('filter_day').high)} days"
    return f"{number(seconds / SECONDS_PER_DAY, 2)} days"


def first_weeks(plan: FilterPlan) -> Part:
    """Return the dated start, with the lines that the tests must stay below."""
    found, lines = plan.first_weeks, Line("Lines", lines_of(plan).words)
    if found.ready is None:
        return Part("If the filter is new", (lines, Line("No day", found.refused)))
    # What is done twice in the same words stands once, with both dates.
    days: dict[str, list[str]] = {}
    for step in dated_steps(plan):
        days.setdefault(step.words, []).append(str(step.day))
    said = [lines, *(Line(" and ".join(when), words) for words, when in days.items())]
    if math.isinf(found.ready.best):
        ahead = number(parameter("weeks_ahead").value)
        said.append(Line("No day", f"by the sum it is not safe within {ahead} days; {NEVER}"))
    return Part("If the filter is new", tuple(said))


def tasks_of(plan: FilterPlan) -> tuple[Task, ...]:
    """Return the care of the plan as tasks, of a filter that runs."""
    return of_a_running_filter(plan)


def care(plan: FilterPlan) -> Part:
    """Return the cleaning and water calendar."""
    lines = (Line(_from(task), f"{task.what}.") for task in tasks_of(plan))
    return Part(care_title(plan), tuple(lines))


def care_title(plan: FilterPlan) -> str:
    """Return whose care it is: the days of a new filter count from GO."""
    go = go_date(plan)
    new = f"; in a new one count from GO, {go} at the earliest" if go else ""
    return f"Care of a filter that runs{new}"


def _from(task: Task) -> str:
    if task.once:
        return str(task.first)
    end = f" until {task.last}" if task.last else ""
    return f"{task.first}, then every {every_so_many(task.every)}{end}"


def lamp_carbon_power(plan: FilterPlan) -> Part:
    """Return lamp, carbon, energy and cost."""
    return Part("Lamp, carbon, power", (_lamp(plan), _carbon(plan), _power(plan)))


def _lamp(plan: FilterPlan) -> Line:
    lamp = plan.lamp
    if lamp is None:
        if not plan.whole.lamp_power:
            return Line("Lamp", "none.")
        return Line("Lamp", "no water flows past it: switch it off until it does.")
    left = lamp.hours_left / plan.whole.lamp_hours_a_day
    until = f"good for {number(left, 2)} more days" if left > 0.0 else "overdue: put in a new one"
    return Line(
        "Lamp",
        f"{told(lamp.dose, 'mJ/cm**2')} in a pass, at {number(100.0 * lamp.share_of_light, 2)} % "
        f"of its light; {until}. In a new filter it is off until a week after GO.",
    )


def _carbon(plan: FilterPlan) -> Line:
    if not plan.whole.carbon:
        return Line("Carbon", "none.")
    mass, half = told(plan.whole.carbon, "g", 3), plan.carbon_halved
    if not math.isfinite(half):
        return Line("Carbon", f"{mass}; half of its effect lasts longer than the sum looks ahead.")
    return Line("Carbon", f"{mass}; half of its effect is gone after {_day_of(half)}.")


def _power(plan: FilterPlan) -> Line:
    energy = number(from_si(plan.energy, "kW*h"), 3)
    what = "pump and lamp" if plan.whole.lamp_power else "the pump"
    words = f"{energy} kWh a year for {what}, {number(plan.cost, 2)} {_money(plan)}."
    return Line("Power", words)


def _money(plan: FilterPlan) -> str:
    """Return the money of the cost; a price that nobody told is named."""
    price = f"at {number(plan.whole.price)} a kWh, assumed"
    if plan.system.pump.gives("price"):
        return plan.system.currency or "(in the money of the price)"
    return f"{plan.system.currency} ({price})".strip()


def measures(plan: FilterPlan) -> Part:
    """Return the measurements that would shrink the doubt most."""
    lines = (Line(one.measure, doubt_words(one)) for one in plan.unknowns)
    return Part("Measure this next", tuple(lines))


def doubt_words(one: Unknown) -> str:
    """Return what one unknown leaves open."""
    if one.of == "nitrate":
        low, high = (told(end, "mg/L") for end in (one.low, one.high))
        return f"Alone it moves nitrate from {low} to {high} (lesson {one.lesson})."
    low, high = (number(end, 2) for end in (one.low, one.high))
    return (
        f"Alone it moves what is carried from {low} to {high} times your food "
        f"(lesson {one.lesson})."
    )


def assumed(plan: FilterPlan) -> Part:
    """Return what nobody gave, and the effect of the one that leaves most open."""
    beyond = tuple(Line(*words) for words in beyond_assumed(plan))
    if not plan.assumed:
        nothing = () if beyond else (Line("Nothing", "you gave all of it."),)
        return Part("Assumed", (*nothing, *beyond, ONE_FILTER))
    return Part(
        "Assumed",
        (
            Line(
                "Not told",
                f"{assumed_words(plan)} (as in the lessons' tank, or what goes with it).",
            ),
            Line("The biggest", _widest(plan.widest_guess)),
            *beyond,
            ONE_FILTER,
        ),
    )


def _widest(guess: Unknown | None) -> str:
    if guess is None:
        return "none of them is among those that food carried or nitrate hang on most."
    return f"{guess.name}. {doubt_words(guess)}"


def assumed_words(plan: FilterPlan) -> str:
    """Return all that was assumed, part by part."""
    parts: dict[str, list[str]] = {}
    for one in plan.assumed:
        parts.setdefault(one.place.partition(".")[0], []).append(_assumption(one))
    return "; ".join(f"{part}: {', '.join(said)}" for part, said in parts.items())


def _assumption(one: Assumption) -> str:
    field = one.place.partition(".")[2]
    if not field:
        # The whole filter.
        return f"that of the lessons, {_value(one.value)} across"
    return f"{field.replace('_', ' ')} {_value(one.value)}"


def _value(text: str) -> str:
    """Return an assumed amount in the units of the reader, as the plan wrote it in metric."""
    plain, _, unit = text.partition(" ")
    if unit == "g" and float(plain) >= GRAMS_A_KILOGRAM:
        return shown(float(plain) / GRAMS_A_KILOGRAM, "kg")
    return shown(float(plain), unit) if unit else text
