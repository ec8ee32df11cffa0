"""What a plan says, in the words and the units of its reader: one page and one letter share it."""

from __future__ import annotations

import math
from typing import NamedTuple

from aqualib import __version__
from aqualib.lesson.handout.from_sums import care_of
from aqualib.lesson.handout.layers import told
from aqualib.parameters import parameter
from aqualib.tank.plan import Dated, FilterPlan
from aqualib.tank.plan.doubts import Unknown
from aqualib.tank.plan.parts import PADS
from aqualib.tank.sizing import LIMITS
from aqualib.tank.upkeep import Task, usual_tasks
from aqualib.units import SECONDS_PER_DAY, from_si, number, shown

ACTIONS = {
    "comfortable": "It is enough, even if all that is uncertain goes against you.",
    "tight": "It may do or not: feed no more, and test each week.",
    "too much": "Feed less, or change the filter, before it comes to harm.",
}
"""A verdict -> what it means and asks."""
FOOD = "g/day"
LEAST_FOOD = 0.001
"""Grams a day: a hundredth of a pinch."""
NEVER = "begin with less food, more surface, or more seed."
MOST_ASSUMED = 8
"""Assumptions that are named; the rest are counted."""


class Line(NamedTuple):
    """One thing that a plan says: what it is about, and the words."""

    term: str
    words: str


FOOD_PLACE = "stock.food"
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


def byline(plan: FilterPlan) -> str:
    """Return date, water and version."""
    water = "sea water" if plan.whole.is_sea else "fresh water"
    return (
        f"Plan of {plan.start} · {told(plan.whole.volume, 'L', 3)} of {water} · "
        f"aqualib {__version__} · no promise"
    )


def in_short(plan: FilterPlan) -> str:
    """Return the top line: what the filter carries, what limits, what is given, and the verdict."""
    low, best, high = (grams(end) for end in plan.now.carried.feed)
    return (
        f"Carries {best} g of food a day (from {low} to {high}), limited by the "
        f"{LIMITS[plan.limiting]}. {given(plan)}: {plan.verdict}."
    )


def given(plan: FilterPlan) -> str:
    """Return the food of a day, and say so where nobody told it."""
    food = grams(plan.whole.feed)
    if any(one.place == FOOD_PLACE for one in plan.assumed):
        return f"The food was not told; {food} g a day is assumed"
    return f"You give {food} g a day"


def grams(feed: float) -> str:
    """Return a food in grams a day; what no scales show is none."""
    food = from_si(feed, FOOD)
    return number(food, 2) if food >= LEAST_FOOD else "0"


def action(plan: FilterPlan) -> str:
    """Return what the verdict means and asks."""
    return ACTIONS[plan.verdict]


def beside(plan: FilterPlan) -> Part:
    """Return the same filter by the trade's rules, in the other water, and as fish."""
    kilograms, turnovers = parameter("media_rule"), parameter("turnover_rule")
    by_mass = plan.now.media_mass / kilograms.bare
    by_flow = plan.whole.rated_flow / turnovers.bare
    low, best, high = (grams(end) for end in plan.elsewhere)
    other = "fresh water" if plan.whole.is_sea else "sea water"
    least, stock, most = (told(end.m_as("kg"), "g") for end in plan.stock)
    tank = told(plan.whole.volume, "L", 3)
    return Part(
        "Beside it",
        (
            Line(
                "By the trade's rules",
                f"media of {shown(kilograms.value, kilograms.unit)} (marine) suit a tank of "
                f"{told(by_mass, 'L')} here, {number(turnovers.value)} turnovers an hour by the "
                f"box one of {told(by_flow, 'L')}; yours holds {tank} (common practice, no "
                "source).",
            ),
            Line(f"In {other}", f"the same filter carries {best} g a day ({low} to {high})."),
            Line("In animals", f"{stock} of such fish eat what it carries ({least} to {most})."),
        ),
    )


def flow(plan: FilterPlan) -> Part:
    """Return the delivered flow, the days to cleaning, and nitrate."""
    return Part(
        "Flow, pads, nitrate",
        (Line("Flow", flow_words(plan)), Line("Pads", pad_words(plan)), _nitrate(plan)),
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
    )


def pad_words(plan: FilterPlan) -> str:
    """Return the days until each pad is half full on its working face."""
    due = plan.now.due_of.items()
    faces = [f"{name}: {_day_of(when)}" for name, when in due if name != "settling"]
    if not faces and plan.whole.holding(*PADS):
        return "no water or no dirt comes to them."
    if not faces:
        return "there are none, so dirt stays in the tank or settles in the media."
    weeks = number(parameter("filter_cleaning").high)
    first = f" {plan.now.first_due.capitalize()} comes first." if plan.now.first_due else ""
    return (
        f"half full on the face after {'; '.join(faces)}.{first} After {weeks} weeks clean them "
        "all the same, because dirt rots."
    )


def _day_of(seconds: float) -> str:
    if math.isinf(seconds):
        return f"over {number(parameter('filter_day').high)} days"
    return f"{number(seconds / SECONDS_PER_DAY, 2)} days"


def _nitrate(plan: FilterPlan) -> Line:
    limit = told(plan.changing.limit, "mg/L")
    if math.isinf(plan.changing.peak):
        return Line("Nitrate", f"climbs without end, for no water is changed (limit {limit}).")
    peak, weekly = told(plan.changing.peak, "mg/L", 3), plan.changing.weekly
    asked = (
        f"to hold {limit} change {told(weekly, 'L', 3)} a week"
        if math.isfinite(weekly)
        else f"no weekly change holds {limit}: feed less"
    )
    return Line("Nitrate", f"comes to {peak} (as nitrate) before a change; {asked}.")


def dated_steps(plan: FilterPlan) -> tuple[Dated, ...]:
    """Return what is to be done on which date; nothing where no day can be named."""
    if plan.first_weeks.ready is None:
        return ()
    carried = f"{grams(plan.now.carried.feed.best)} g of food a day"
    return plan.dated_start(told(plan.first_weeks.dose, "g"), carried)


def first_weeks(plan: FilterPlan) -> Part:
    """Return the dated start, with the lines that the tests must stay below."""
    found = plan.first_weeks
    ammonia, nitrite = (told(x, "mg/L") for x in (found.ammonia_line, found.nitrite_line))
    lines = Line("Lines", f"ammonia {ammonia}, nitrite {nitrite}, both as N: stay below both.")
    if found.ready is None:
        return Part("If the filter is new", (lines, Line("No day", found.refused)))
    said = [lines, *(Line(str(step.day), step.words) for step in dated_steps(plan))]
    if math.isinf(found.ready.best):
        ahead = number(parameter("weeks_ahead").value)
        said.append(Line("No day", f"by the sum it is not safe within {ahead} days; {NEVER}"))
    return Part("If the filter is new", tuple(said))


def tasks_of(plan: FilterPlan) -> tuple[Task, ...]:
    """Return the care of the plan as tasks."""
    return usual_tasks(plan.start, **care_of(plan))


def care(plan: FilterPlan) -> Part:
    """Return the cleaning and water calendar."""
    lines = (Line(_from(task), f"{task.what}.") for task in tasks_of(plan))
    return Part("Care, once it runs", tuple(lines))


def _from(task: Task) -> str:
    return f"{task.first}, then every {task.every} days"


def lamp_carbon_power(plan: FilterPlan) -> Part:
    """Return lamp, carbon, energy and cost."""
    return Part("Lamp, carbon, power", (_lamp(plan), _carbon(plan), _power(plan)))


def _lamp(plan: FilterPlan) -> Line:
    lamp = plan.lamp
    if lamp is None:
        return Line("Lamp", "none, or no water flows past it.")
    left = lamp.hours_left / plan.whole.lamp_hours_a_day
    until = f"good for {number(left, 2)} more days" if left > 0.0 else "overdue: put in a new one"
    return Line(
        "Lamp",
        f"{told(lamp.dose, 'mJ/cm**2')} in a pass, at {number(100.0 * lamp.share_of_light, 2)} % "
        f"of its light; {until}. Off until a week after the filter is ready.",
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
    money = plan.system.currency or "(in the money of the price)"
    words = f"{energy} kWh a year for pump and lamp, {number(plan.cost, 2)} {money}."
    return Line("Power", words)


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
    if not plan.assumed:
        return Part("Assumed", (Line("Nothing", "you gave all of it."), ONE_FILTER))
    named = plan.assumed[:MOST_ASSUMED]
    words = "; ".join(f"{spoken(one.place)} {_value(one.value)}" for one in named)
    more = len(plan.assumed) - len(named)
    rest = f"; and {more} more" if more else ""
    return Part(
        "Assumed",
        (
            Line("Not told", f"{words}{rest} (as in the lessons' tank, or what goes with it)."),
            Line("The biggest", _widest(plan.widest_guess)),
            ONE_FILTER,
        ),
    )


def _widest(guess: Unknown | None) -> str:
    if guess is None:
        return "none of them is among those that food carried or nitrate hang on most."
    return f"{guess.name}. {doubt_words(guess)}"


def spoken(place: str) -> str:
    """Return the name of a field in words: `tank.water_depth` is "tank: water depth"."""
    part, _, field = place.partition(".")
    return f"{part}: {field.replace('_', ' ')}" if field else part


def _value(text: str) -> str:
    """Return an assumed amount in the units of the reader, as the plan wrote it in metric."""
    plain, _, unit = text.partition(" ")
    return shown(float(plain), unit) if unit else text
