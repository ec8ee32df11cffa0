"""What is wrong, and what do I do tonight: two measurements lead through a tree to an answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from aqualib.edge import model
from aqualib.parameters import parameter
from aqualib.tank.symptoms.ammonia_and_nitrite import ammonia_stays, nitrite_stays
from aqualib.tank.symptoms.flow_and_noise import air, film_on_top, leak, rattle, weak_flow
from aqualib.tank.symptoms.how_it_looks import cloudy_white, green, yellow
from aqualib.tank.symptoms.how_it_smells import earth, eggs
from aqualib.tank.symptoms.nitrate_and_ph import nitrate_stays, ph_sinks
from aqualib.tank.symptoms.old_tank_trap import Water
from aqualib.tank.symptoms.oxygen_and_power import gasping, power_cut
from aqualib.tank.symptoms.questions import Figure, Worked
from aqualib.tank.symptoms.what_it_says import PARTS, TESTS, Leaf, Symptom, symptoms
from aqualib.units import Quantity
from aqualib.validity import OneOf, Range, ValidityError

TREES: dict[str, Callable[..., Worked]] = {
    "cloudy white": cloudy_white,
    "green": green,
    "yellow": yellow,
    "smell of eggs": eggs,
    "smell of earth": earth,
    "weak flow": weak_flow,
    "air": air,
    "rattle": rattle,
    "film on top": film_on_top,
    "ammonia stays": ammonia_stays,
    "nitrite stays": nitrite_stays,
    "nitrate stays": nitrate_stays,
    "ph sinks": ph_sinks,
    "gasping": gasping,
    "power cut": power_cut,
    "leak": leak,
}
"""The sums of each symptom of `data/symptoms.json`, by its code."""
ROWS = {
    "alkalinity": "alkalinity_reading",
    "ammonia": "total_ammonia_reading",
    "bore": "hose_bore",
    "carbon": "carbon_in_use",
    "chloride": "tap_chloride",
    "drops": "drops_caught",
    "feed": "tank_feed",
    "flow": "media_flow",
    "lamp": "lamp_in_use",
    "nitrate": "nitrate_now",
    "nitrite": "nitrite_reading",
    "oxygen": "oxygen_reading",
    "ph": "tested_ph",
    "rated_flow": "pump_rated_flow",
    "rated_head": "pump_rated_head",
    "salinity": "tank_salinity",
    "tap_nitrate": "fill_nitrate",
    "temperature": "tested_temperature",
    "volume": "tank_volume",
}
"""The row of a measurement: its range, and what holds where it is left out."""


def row_of(measurement: str) -> str:
    """Return the name of a measurement's row; most bear the same name."""
    return ROWS.get(measurement, measurement)


CLAMPED = {
    "alkalinity",
    "change_share",
    "chloride",
    "ph",
    "salinity",
    "salt_rise",
    "tap_alkalinity",
    "temperature",
    "weekly_change",
}
"""Measurements whose laws end with their rows: one beyond is taken as the end, and it is said."""
MAY_BE = {"ph": (0.0, 14.0), "temperature": (-5.0, 45.0)}
"""What a keeper may read where the ends are no multiples."""
REACH = 100.0
"""How many times past the ends of its slider any other reading may lie; its sums go on there."""


def _range(measurement: str) -> Range:
    """Return what a keeper may tell: far more than a slider has room for."""
    row = parameter(row_of(measurement))
    if measurement in MAY_BE:
        return Range(*MAY_BE[measurement], row.unit)
    if row.unit == "percent":
        return Range(0.0, 100.0, row.unit)
    return Range(row.low / REACH, row.high * REACH, row.unit)


@dataclass(frozen=True, slots=True)
class Answer:
    """One question of the path: what was asked, the numbers, and whether the answer was yes."""

    question: str
    numbers: str
    yes: bool


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What is likely, how sure that is, and what to do: the leaf that was reached, filled in."""

    symptom: Symptom
    leaf: Leaf
    worked: Worked
    tested: bool
    """Whether ammonia and pH were told, where the leaf wants them before it acts."""
    beyond: tuple[str, ...]
    """What was told but lies beyond the sums, with the number that was taken in its place."""

    @property
    def code(self) -> str:
        """The name of the leaf."""
        return self.leaf.code

    @property
    def path(self) -> tuple[Answer, ...]:
        """The questions that were asked, in order, to the one that was answered with yes."""
        asked = self.worked.steps[: self.worked.place + 1]
        return tuple(
            Answer(leaf.question, step.text, step.yes)
            for leaf, step in zip(self.symptom.leaves, asked, strict=False)
        )

    @property
    def amounts(self) -> dict[str, Quantity | float]:
        """The numbers of the sum, with their units, by the names they bear in the words."""
        return {name: figure.amount for name, figure in self.worked.figures.items()}

    @property
    def words(self) -> dict[str, str]:
        """The sentences of the leaf with their numbers, in the unit set in force, by part."""
        figures, tested = self.worked.figures, self.tested
        return {part: self.leaf.filled(part, figures, tested=tested) for part in PARTS}

    @property
    def tonight(self) -> str:
        """What to do tonight."""
        return self.words["tonight"]

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to mind while doing it."""
        return tuple(caution.says for caution in self.leaf.cautions)

    @property
    def first(self) -> str:
        """What to mind before anything else, in a few words."""
        return self.leaf.cautions[0].first

    @property
    def minds(self) -> str:
        """All that is to be minded, in a few words each, and what was taken for a reading."""
        return " ".join([*(caution.first for caution in self.leaf.cautions), *self.beyond])

    @property
    def origin(self) -> str:
        """Where the words come from."""
        return self.leaf.origin

    def __str__(self) -> str:
        said = self.words
        lines = [f"{self.symptom.says}: {said['likely']}", f"How sure: {said['sure']}"]
        lines += [f"The sum: {said['sum']}", f"It could also be: {said['otherwise']}"]
        lines += [f"Before you act: {self.first}"]
        lines += [f"Tonight: {said['tonight']}", f"This week: {said['week']}"]
        lines += [f"Call: {said['call']}", *(f"Mind: {caution}" for caution in self.cautions)]
        lines += [f"Note: {one}" for one in self.beyond]
        return "\n".join([*lines, f"From: {self.origin}."])

    __repr__ = __str__


@model(returns={})
def diagnose(
    symptom: Annotated[str, OneOf(tuple(TREES))],
    alkalinity: Annotated[float | None, _range("alkalinity")] = None,
    ammonia: Annotated[float | None, _range("ammonia")] = None,
    bore: Annotated[float | None, _range("bore")] = None,
    carbon: Annotated[float | None, _range("carbon")] = None,
    carbon_day: Annotated[float | None, _range("carbon_day")] = None,
    change_interval: Annotated[float | None, _range("change_interval")] = None,
    change_share: Annotated[float | None, _range("change_share")] = None,
    chloride: Annotated[float | None, _range("chloride")] = None,
    days_since_medicine: Annotated[float | None, _range("days_since_medicine")] = None,
    drops: Annotated[float | None, _range("drops")] = None,
    feed: Annotated[float | None, _range("feed")] = None,
    filter_inside: Annotated[float | None, _range("filter_inside")] = None,
    flow: Annotated[float | None, _range("flow")] = None,
    flow_without_pads: Annotated[float | None, _range("flow_without_pads")] = None,
    glass_clears: Annotated[float | None, _range("glass_clears")] = None,
    gravel_depth: Annotated[float | None, _range("gravel_depth")] = None,
    hours_since_opened: Annotated[float | None, _range("hours_since_opened")] = None,
    hours_stood: Annotated[float | None, _range("hours_stood")] = None,
    lamp: Annotated[float | None, _range("lamp")] = None,
    lamp_hours: Annotated[float | None, _range("lamp_hours")] = None,
    level_fall: Annotated[float | None, _range("level_fall")] = None,
    nitrate: Annotated[float | None, _range("nitrate")] = None,
    nitrate_limit: Annotated[float | None, _range("nitrate_limit")] = None,
    nitrite: Annotated[float | None, _range("nitrite")] = None,
    oxygen: Annotated[float | None, _range("oxygen")] = None,
    ph: Annotated[float | None, _range("ph")] = None,
    rated_flow: Annotated[float | None, _range("rated_flow")] = None,
    rated_head: Annotated[float | None, _range("rated_head")] = None,
    salinity: Annotated[float | None, _range("salinity")] = None,
    salt_rise: Annotated[float | None, _range("salt_rise")] = None,
    tank_length: Annotated[float | None, _range("tank_length")] = None,
    tank_width: Annotated[float | None, _range("tank_width")] = None,
    tap_alkalinity: Annotated[float | None, _range("tap_alkalinity")] = None,
    tap_ammonia: Annotated[float | None, _range("tap_ammonia")] = None,
    tap_nitrate: Annotated[float | None, _range("tap_nitrate")] = None,
    temperature: Annotated[float | None, _range("temperature")] = None,
    volume: Annotated[float | None, _range("volume")] = None,
    weekly_change: Annotated[float | None, _range("weekly_change")] = None,
    days_since_cleaning: Annotated[float | None, _range("days_since_cleaning")] = None,
) -> Diagnosis:
    """Return what is likely wrong, how sure that is, and what to do tonight and this week.

    Each symptom asks for two measurements; `symptoms()[symptom].asks` names them. The others that
    help it (`also`) are taken from the invented tank where they are left out. Where water is to be
    changed or the pH lifted, ammonia and pH must be told too: until then the answer is to test.

    Ammonia and nitrite are as nitrogen, nitrate is as nitrate (NO3-), alkalinity as CaCO3.

    Raises: a measurement that the symptom needs is missing, or one is given that it does not use.
    Validity: it knows common causes only. A sum is no test, and no vet.

    >>> diagnose("nitrite stays", nitrite=Q(1, "mg/L"), alkalinity=Q(15, "mg/L")).code
    'nitrite-no-alkalinity'
    """
    told = {name: value for name, value in locals().items() if name != "symptom"}
    return found_in(symptom, {name: value for name, value in told.items() if value is not None})


def found_in(symptom: str, given: dict[str, float], guessed: Sequence[str] = ()) -> Diagnosis:
    """Return the diagnosis for measurements in SI base units; others are the invented tank's.

    What is `guessed` goes into the sums, but is no test; what the tree asks for always is one.
    """
    tree = symptoms()[symptom]
    for name in tree.asks:
        if name not in given:
            rule = _range(name)
            raise ValidityError(name, "nothing", rule.text, "", f'is needed for "{symptom}"')
    for name in given:
        if name not in tree.measurements:
            valid = ", ".join(tree.measurements)
            why = f'is not asked for "{symptom}"'
            raise ValidityError(name, "a number", valid, "", why)
    values = {n: given.get(n, parameter(row_of(n)).bare) for n in tree.measurements}
    taken = {n: _within(n, value) for n, value in values.items()}
    beyond = tuple(_note(n, values[n], taken[n]) for n in given if taken[n] != values[n])
    worked = led_through(TREES[symptom], taken)
    leaf = tree.leaves[worked.place]
    read = {*tree.asks, *(name for name in given if name not in guessed)}
    tested = not leaf.tested_first or set(TESTS) <= read
    return Diagnosis(tree, leaf, worked, tested, beyond)


def led_through(tree: Callable[..., Worked], told: Mapping[str, float]) -> Worked:
    """Return what a tree makes of measurements; a tree may ask for those of the water as one."""
    rest = dict(told)
    if "water" in tree.__annotations__:
        water = Water(**{name: rest.pop(name) for name in Water._fields})
        return tree(water=water, **rest)
    return tree(**rest)


def _within(measurement: str, value: float) -> float:
    """Return what the sums take for a reading: the end of its row, where they end there."""
    if measurement not in CLAMPED:
        return value
    row = parameter(row_of(measurement))
    return min(max(value, row.to_base(row.low)), row.to_base(row.high))


def _note(measurement: str, told: float, taken: float) -> str:
    unit = parameter(row_of(measurement)).unit
    name = "pH" if measurement == "ph" else measurement.replace("_", " ").capitalize()
    one, other = (Figure(bare, unit).text for bare in (told, taken))
    return f"{name} {one}: these sums take {other}."
