"""How each row of `data/measured_elsewhere.csv` is computed: many runs over what is not known.

A road returns the results of all runs; their 5, 50 and 95 % are what the row holds. What the
source does not tell is drawn evenly on a logarithmic scale between two ends, which the row's
column `asked` says in words.
"""

from __future__ import annotations

import numpy as np
from scipy.stats import qmc

from aqualib.draws import HIGH, LOW, MIDDLE, drawn, percentile
from aqualib.filtration.biofilm import areal_rate, film_limits
from aqualib.filtration.biofilm.film_law import first_order_rate
from aqualib.tank.load import fasting_oxygen
from aqualib.tank.maturation import Dose, Scenario, Stock
from aqualib.tank.maturation.course import play
from aqualib.tank.maturation.forecast import draw, follow
from aqualib.tank.maturation.many_sets import solve
from aqualib.tank.sizing.food_limits import rock_area
from aqualib.units import Q

TANKS = 16
SETS = 60
FILMS = 4000
UNSEEDED = (1e-7, 1e-4)
WARM, ROOM = (24, 29), (18, 28)


def spread(count, ends, seed=0):
    """Return `count` draws between the ends of each of some ranges, even on a logarithmic scale."""
    low, high = (np.log([end[i] for end in ends.values()]) for i in (0, 1))
    cube = qmc.LatinHypercube(len(ends), rng=np.random.default_rng(seed)).random(count)
    return [dict(zip(ends, row, strict=True)) for row in np.exp(low + cube * (high - low))]


def over_tanks(scenario_for, result, **ends):
    """Return the results of all sets of bacteria in all tanks."""
    found = []
    for place, known in enumerate(spread(TANKS, ends)):
        found.append(result(scenario_for(**known), draw(SETS, place)))
    return np.concatenate(found)


def ready_days(scenario, values):
    """Return the first safe day of each set; infinite if there is none."""
    return follow(scenario, values).ready_days


def peak_days_of_nitrite(scenario, values):
    course = play(scenario, values, solve, half_days(scenario))
    return course.time[course.state.nitrite.argmax(axis=0)]


def highest_nitrite(scenario, values):
    return play(scenario, values, solve, half_days(scenario)).state.nitrite.max(axis=0)


def highest_ammonia(scenario, values):
    return play(scenario, values, solve, half_days(scenario)).state.ammonia.max(axis=0)


def half_days(scenario):
    return np.arange(0, scenario.in_days.days + 0.25, 0.5)


def tank(seed, celsius, load_per_area=0.1, load_per_litre=1.0, days=120, **more):
    """Return 100 L with a load in mg/L a day on as much surface as a load in g/m² a day needs."""
    load = load_per_litre * 0.1
    return Scenario(
        volume=Q(100, "L"), load=Q(load, "g/day"), media_area=Q(load / load_per_area, "m**2"),
        seed=seed, temperature=Q(celsius, "degC"), days=Q(days, "day"), **{"ph": 7.5, **more},
    )  # fmt: skip


# --- start-ups -----------------------------------------------------------------------------------


def start_up(seed, celsius, **more):
    ends = {
        "seed": seed, "celsius": celsius, "load_per_area": (0.02, 0.1), "load_per_litre": (0.3, 3),
    }  # fmt: skip
    return over_tanks(lambda **known: tank(**known, **more), ready_days, **ends)


def six_to_seven_weeks():
    return start_up(UNSEEDED, WARM)


def handbook_days():
    return start_up((1e-7, 1e-3), ROOM)


def glossary_weeks():
    return start_up((1e-7, 1e-1), ROOM)


def left_after_five_days(seed):
    """Return what is left of one dose of 50 mg/L of ammonium after five days, in per cent."""
    dose = 50.0 * 14.007 / 18.039

    def scenario_for(seed, celsius, area):
        return Scenario(
            volume=Q(100, "L"), media_area=Q(area, "m**2"), load=Q(0, "g/day"), seed=seed, ph=7.5,
            temperature=Q(celsius, "degC"), days=Q(5, "day"),
            events=(Dose(Q(0, "day"), Q(dose, "mg/L")),),
        )  # fmt: skip

    def share(scenario, values):
        return play(scenario, values, solve, half_days(scenario)).state.ammonia[-1] / dose * 100

    return over_tanks(scenario_for, share, seed=seed, celsius=WARM, area=(2, 20))


def dried_cells_come_back():
    """Return the days until a film of at most a tenth does 95 % of what it ends up doing."""

    def scenario_for(**known):
        # Ammonia in excess throughout: a little film for much of it.
        return tank(**known, load_per_area=2.0, load_per_litre=3.0, days=30)

    def first(scenario, values):
        course = play(scenario, values, solve, half_days(scenario))
        done = course.state.film_a >= 0.95 * course.state.film_a.max(axis=0)
        return course.time[done.argmax(axis=0)]

    return over_tanks(scenario_for, first, seed=(0.01, 0.1), celsius=(20, 30))


def prawns(result):
    """Return what 22 weeks of prawns that grow come to: their load rises by as much every week."""

    def scenario_for(seed, celsius, mean, load_per_area):
        weeks = 22
        step = 2.0 * mean / (weeks - 1) * 0.1
        stock = tuple(Stock(Q(7.0 * week, "day"), Q(step, "g/day")) for week in range(weeks))
        return Scenario(
            volume=Q(100, "L"), media_area=Q(2 * mean * 0.1 / load_per_area, "m**2"),
            load=Q(2 * mean * 0.1, "g/day"), seed=seed, temperature=Q(celsius, "degC"),
            salinity=35.0, ph=8.1, days=Q(154, "day"), events=stock,
        )  # fmt: skip

    ends = {"seed": UNSEEDED, "celsius": (22, 28), "mean": (0.8, 1.0), "load_per_area": (0.02, 0.1)}
    return over_tanks(scenario_for, result, **ends)


def pond_water():
    """Return the day of the nitrite peak in coastal water with nothing put in."""
    return over_tanks(
        lambda **known: tank(**known, salinity=25.0, ph=8.0), peak_days_of_nitrite,
        seed=(1e-6, 1e-3), celsius=(25, 30), load_per_area=(0.02, 0.1), load_per_litre=(0.3, 3),
    )  # fmt: skip


def carp_fry(result):
    """Return what the start-up with carp fry comes to; it chose the seed of a squeeze."""
    return over_tanks(
        lambda **known: tank(**known, days=60), result,
        seed=(1e-4, 1e-2), celsius=(22, 27), load_per_area=(0.05, 0.1), load_per_litre=(0.8, 1.2),
    )  # fmt: skip


# --- rates of films that are grown ---------------------------------------------------------------

LAW = ("film_transfer", "ammonia_film_capacity", "nitrifying_share", "sea_film_capacity")


def film(ammonia, celsius, salinity=0.0, share=None):
    """Return rates of many films in g/m² a day, at ammonia drawn between two ends."""
    rows = drawn((*LAW, "total_ammonia_half_saturation"), FILMS, np.random.default_rng(0))
    given = spread(FILMS, {"ammonia": ammonia, "celsius": celsius})
    columns = {name: np.array([one[name] for one in given]) for name in given[0]}
    rate = areal_rate(
        Q(columns["ammonia"], "mg/L"), Q(columns["celsius"], "degC"), salinity, None,
        share or rows["nitrifying_share"], Q(rows["film_transfer"], "m/day"),
        Q(rows["ammonia_film_capacity"], "g/m**2/day"), rows["sea_film_capacity"],
        Q(rows["total_ammonia_half_saturation"], "mg/L"),
    )  # fmt: skip
    return rate.m_as("g/m**2/day")


def at_little_ammonia():
    """Return metres of water a day that films clean while ammonia is scarce."""
    names = ("film_transfer", "ammonia_film_capacity", "total_ammonia_half_saturation")
    rows = drawn((*names, "nitrifying_share"), FILMS, np.random.default_rng(0))
    limits = film_limits(
        Q(20, "degC"), 0.0, None, rows["nitrifying_share"],
        Q(rows["film_transfer"], "m/day"), Q(rows["ammonia_film_capacity"], "g/m**2/day"),
    )  # fmt: skip
    half = Q(rows["total_ammonia_half_saturation"], "mg/L")
    return first_order_rate(limits.transfer, limits.ammonia_most, half).m_as("m/day")


def live_rock():
    """Return mg of nitrogen that a kilogram of live rock takes from the water in a day."""
    names = ("rock_piece", "rock_roughness", "reef_rock_bulk_density")
    rows = drawn(names, FILMS, np.random.default_rng(1))
    area = rock_area(
        Q(1, "kg"), Q(rows["rock_piece"], "mm"), rows["rock_roughness"],
        Q(rows["reef_rock_bulk_density"], "kg/m**3"),
    )  # fmt: skip
    return 1000.0 * area.m_as("m**2") * film((0.05, 1.0), (24, 27), 35.0)


def bed_of_rings():
    """Return g of nitrogen that a cubic metre of rings takes in a day by its outer surface."""
    size, gaps, hole = (np.array(drawn_evenly(*e)) for e in ((8, 25), (0.5, 0.75), (0.5, 0.7)))
    # A ring as long as wide: outside, inside and both ends, over the volume of its wall.
    outer = 2 * np.pi * (1 + hole) * 0.5 + np.pi / 2 * (1 - hole**2)
    wall = np.pi / 4 * (1 - hole**2)
    area = outer / wall / (size / 1000.0) * (1 - gaps)
    return area * film((10, 30), (22, 30), 35.0)


def drawn_evenly(low, high):
    return [one["x"] for one in spread(FILMS, {"x": (low, high)}, seed=int(low * 10))]


# --- what animals do ------------------------------------------------------------------------------


def tilapia_oxygen(grams, celsius):
    """Return the oxygen that fed fish breathe, mg per kg and hour."""
    more = drawn(("fed_metabolism",), FILMS, np.random.default_rng(0))["fed_metabolism"]
    rest = fasting_oxygen(Q(1, "kg"), Q(grams, "g"), Q(celsius, "degC"))
    return rest.m_as("mg/h") * more


def nitrogen_shares():
    """Return what the gut takes up of the food's nitrogen, and what of that is excreted."""
    names = ("feed_nitrogen_taken_up", "taken_up_nitrogen_excreted")
    rows = drawn(names, FILMS, np.random.default_rng(0))
    return (rows[name] for name in names)


def nitrogen_kept():
    taken, excreted = nitrogen_shares()
    return 100.0 * taken * (1.0 - excreted)


def nitrogen_in_solids():
    taken, excreted = nitrogen_shares()
    return 100.0 * (1.0 - taken) / (1.0 - taken + taken * excreted)


ROADS = {
    "local-media": six_to_seven_weeks,
    "plastic-media": six_to_seven_weeks,
    "handbook": handbook_days,
    "glossary": glossary_weeks,
    "ammonium-seeded": lambda: left_after_five_days((1e-2, 3e-1)),
    "ammonium-unseeded": lambda: left_after_five_days(UNSEEDED),
    "dried-cells": dried_cells_come_back,
    "prawn-nitrite": lambda: prawns(highest_nitrite),
    "prawn-ammonia": lambda: prawns(highest_ammonia),
    "pond-nitrite": pond_water,
    "carp-nitrite-day": lambda: carp_fry(peak_days_of_nitrite),
    "carp-nitrite-height": lambda: carp_fry(highest_nitrite),
    "contactor": lambda: film((0.3, 3), (20, 25)),
    "trickling": lambda: film((0.3, 3), (20, 25)),
    "bead-filter": lambda: film((0.3, 3), (20, 25)),
    "tilapia-filters": lambda: film((1, 5), (26, 30)),
    "live-rock": live_rock,
    "shrimp-plastic": lambda: film((0.5, 10), (27, 31), 30.0),
    "rings-sea": bed_of_rings,
    "scarce-ammonia": at_little_ammonia,
    "tilapia-oxygen-50-28": lambda: tilapia_oxygen(50, 28),
    "tilapia-oxygen-50-24": lambda: tilapia_oxygen(50, 24),
    "tilapia-oxygen-150-28": lambda: tilapia_oxygen(150, 28),
    "nitrogen-kept": nitrogen_kept,
    "nitrogen-in-solids": nitrogen_in_solids,
    "moving-bed-most": lambda: film((50, 60), (19, 21)),
    "clean-fresh": lambda: film((50, 60), (23.9, 24.1), share=1.0),
    "clean-sea": lambda: film((50, 60), (23.9, 24.1), 35.0, share=1.0),
}


def ends_of(values):
    """Return the 5, 50 and 95 % of the results of a road."""
    return [percentile(values, share) for share in (LOW, MIDDLE, HIGH)]
