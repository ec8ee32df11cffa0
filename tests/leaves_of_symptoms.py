"""A case for each leaf of the trees of symptoms, with its sum worked by hand.

The sums are written out here with numbers of their own: printed tables, constants, and the rows of
the invented tank as they are (190 L, 24.5 degC, pH 7.6, 3.5 g of food a day with 43 % protein).
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from aqualib.parameters import parameter
from aqualib.tank.symptoms import Diagnosis, diagnose
from aqualib.tank.symptoms.what_tonight import row_of
from aqualib.units import Q


class Case(NamedTuple):
    """What a keeper measured, in the units of the rows, and what the sum must come to."""

    symptom: str
    given: dict[str, float]
    sums: dict[str, float]


def with_units(given: dict[str, float]) -> dict[str, Any]:
    """The measurements as a keeper gives them."""
    units = {name: parameter(row_of(name)).unit for name in given}
    return {name: Q(x, units[name]) if units[name] else x for name, x in given.items()}


def found(case: Case) -> Diagnosis:
    """The diagnosis of a case."""
    return diagnose(case.symptom, **with_units(case.given))


# Printed: oxygen 8.40 mg/L at 24 and 8.26 at 25 degC; so 8.33 at 24.5.
FULL = 8.33
# 0.092 x 3.5 g x 0.43 = 138.5 mg of ammonia nitrogen a day in 190 L.
MADE = 92.0 * 3.5 * 0.43 / 190.0
# The long-term and the short-term limit of EPA 2013 at pH 7.6 and 24.5 degC.
LONG = (
    0.8876 * (0.0278 / (1 + 10 ** (7.688 - 7.6)) + 1.1994 / (1 + 10 ** (7.6 - 7.688)))
    * 2.126 * 10 ** (0.028 * (20 - 24.5))
)  # fmt: skip
SHORT = (
    0.7249 * (0.0114 / (1 + 10 ** (7.204 - 7.6)) + 1.6181 / (1 + 10 ** (7.6 - 7.204)))
    * 23.12 * 10 ** (0.036 * (20 - 24.5))
)  # fmt: skip


def nh3(ammonia: float, ph: float, celsius: float = 24.5) -> float:
    """Un-ionised ammonia by the formula of Emerson et al. 1975."""
    return ammonia / (1 + 10 ** (0.09018 + 2729.92 / (celsius + 273.15) - ph))


# A grain of 5 µm and 2650 kg/m³ in water of 997.2 kg/m³ and 0.90 mPa s, over 10 cm, in minutes.
DUST = 0.10 / ((2650 - 997.2) * 9.81 * 5e-6**2 / (18 * 0.900e-3)) / 60
# Room in the filter, L: 24 cm wide, 5 cm and three pads of 4.5 cm high, and 1.8 kg at 0.45 kg/L.
INSIDE = math.pi / 4 * 2.4**2 * (0.5 + 3 * 0.45) + 1.8 / 0.45
# mg of oxygen an hour: of dirt alone, and with nitrifiers (4.329 g for each gram of nitrogen).
DIRT = 0.2 * 3500 / 24
ALL = DIRT + 4.329 * 92 * 3.5 * 0.43 / 24
EARLY, LATE = INSIDE * FULL / ALL, INSIDE * FULL / DIRT
# A fish of 4 g at 24.5 degC: 0.0464 w^0.788 t^1.837 kJ a day, 13.56 kJ/g, 1.8 times as much when
# fed; it eats 1.5 times 43.2 w^0.80 kJ, 2.06 times less for 10 degC down from 27, at 19.66 kJ/g.
BREATHES = 1.8 * 0.04643 * 0.004**0.7882 * 24.5**1.837 / 13.56
EATS = 1.5 * 43.2 * 0.004**0.80 * 2.06**-0.25 / 19.66
FISH = BREATHES / EATS * 3500 / 24
# A tank at night holds 0.7 of what it can.
TANK = (0.7 * FULL - 3) * 190 / (FISH + DIRT)
# Clean pads and 16 mm of hose, by lesson 04.
CLEAN = 743.0
SODA = 2 * 84.006 / 100.086 * 0.020 * 190
"""Grams that lift 190 L by 20 mg/L as CaCO3."""
NITRATE = 4.4266 * MADE * 14
"""Nitrate in mg/L that fourteen days make."""
PEAK = NITRATE / 0.30 + 8

TESTED = {"ammonia": 0.25, "ph": 7.6}
"""Ammonia and pH of a tank in which nothing speaks against a change of water."""
OLD = {"ammonia": 2, "ph": 6.5, "alkalinity": 10}
"""An old tank. Half of the water at 120 mg/L makes 65, and in the air of a room pH 7.94."""
TRAP = {"left": 1, "harmful": nh3(2, 6.5), "harmful_then": nh3(1, 7.94), "tenth": 10}
MUCH = {"ammonia": 1.5, "ph": 7.6}
FIRST = {"limit_ammonia": LONG, "acute": SHORT, "share_ammonia": 100 * (1 - LONG / 1.5),
         "after_ammonia": LONG}  # fmt: skip
OLD_GLASS = {"glass_clears": 720}
CARBON = {"carbon": 0, "carbon_day": 0}
EARTH = {"days_since_cleaning": 20, "weekly_change": 5}
HIGH = {"nitrate": 100, "tap_nitrate": 8}
BREATH = {"oxygen": 7, "nitrite": 1}
GREEN = {"lamp": 11, "lamp_hours": 3250}
CASES = {
    "white-dust": Case(
        "cloudy white", {"glass_clears": 30, "ammonia": 0.1}, {"dust": DUST, "grain": 5}
    ),
    "white-trap": Case("cloudy white", {**OLD_GLASS, **OLD}, TRAP),
    "white-ammonia": Case(
        "cloudy white", {**OLD_GLASS, **MUCH}, {**FIRST, "doubling": 24 * math.log(2) / 6}
    ),
    "white-bloom": Case(
        "cloudy white", {"glass_clears": 720, "ammonia": 0.2}, {"limit_ammonia": LONG, "part": 30}
    ),
    "green-no-lamp": Case(
        "green", {"lamp": 0, "lamp_hours": 0}, {"killed": 0, "doubling": 24 * math.log(2)}
    ),
    "green-lamp-weak": Case("green", {**GREEN, "lamp": 0.05, "flow": 20}, {"grows": 1}),
    "green-lamp-old": Case("green", {**GREEN, "lamp_hours": 9500}, {"life": 9000}),
    # All that passes is killed at most: 740 L/h through 190 L, 93 a day.
    "green-lamp-works": Case("green", GREEN, {"clear": 24 * math.log(100) / (49.3 - 1)}),
    "yellow-trap": Case("yellow", {**CARBON, **OLD}, TRAP),
    "yellow-ammonia": Case("yellow", {**CARBON, **MUCH}, FIRST),
    "yellow-no-carbon": Case("yellow", {**CARBON, **TESTED}, {"changes": 4, "half": 50}),
    "yellow-carbon-spent": Case("yellow", {"carbon": 120, "carbon_day": 90}, {"day": 90}),
    "yellow-source": Case(
        "yellow", {"carbon": 500, "carbon_day": 5, **TESTED}, {"carbon": 500, "half": 50}
    ),
    "eggs-stood": Case(
        "smell of eggs",
        {"hours_stood": 8, "days_since_cleaning": 10},
        {"early": EARLY, "late": LATE},
    ),
    "eggs-dirt": Case(
        "smell of eggs",
        {"hours_stood": 0, "days_since_cleaning": 60},
        {"dirt": 0.25 * 3.5 * 60, "holds": 40, "rule": 56},
    ),
    "eggs-ground": Case(
        "smell of eggs",
        {"hours_stood": 0, "days_since_cleaning": 10, "gravel_depth": 12},
        {"gravel": 12, "deep": 8},
    ),
    "eggs-body": Case(
        "smell of eggs", {"hours_stood": 0, "days_since_cleaning": 10}, {"gravel": 4}
    ),
    "earth-dirt": Case(
        "smell of earth", {"days_since_cleaning": 90, "weekly_change": 25}, {"rule": 56}
    ),
    "earth-trap": Case("smell of earth", {**EARTH, **OLD}, TRAP),
    "earth-ammonia": Case("smell of earth", {**EARTH, **MUCH}, FIRST),
    # Half each time, four changes leave a sixteenth.
    "earth-stale": Case("smell of earth", {**EARTH, **TESTED}, {"fewer": 4, "part": 30}),
    "earth-film": Case(
        "smell of earth",
        {"days_since_cleaning": 20, "weekly_change": 25},
        {"least": 10, "rule": 56},
    ),
    "flow-readings": Case(
        "weak flow", {"flow": 1000, "flow_without_pads": 300}, {"backed": 800, "without": 300}
    ),
    "flow-usual": Case("weak flow", {"flow": 700, "flow_without_pads": 740}, {"clean": CLEAN}),
    "flow-pads": Case("weak flow", {"flow": 300, "flow_without_pads": 720}, {"good": 0.8 * CLEAN}),
    "flow-stopped": Case(
        "weak flow", {"flow": 20, "flow_without_pads": 100}, {"hardly": 0.2 * CLEAN}
    ),
    # Lesson 04: 540 L/h, 1.56 m given, 0.623 m known, 0.936 m unknown, a K of 33.
    "flow-loop": Case(
        "weak flow",
        {"flow": 520, "flow_without_pads": 540},
        {"given": 2 * (1 - (540 / 1150) ** 2), "known": 0.623, "unknown": 0.936, "fittings": 33.0},
    ),
    "air-left": Case(
        "air",
        {"hours_since_opened": 5, "flow": 700},
        {"litres": INSIDE, "renewed": INSIDE / 700 * 60},
    ),
    "air-starved": Case("air", {"hours_since_opened": 100, "flow": 200}, {"weak": CLEAN / 2}),
    "air-drawn": Case("air", {"hours_since_opened": 100, "flow": 700}, {"clean": CLEAN}),
    "rattle-impeller": Case("rattle", {"flow": 200, "hours_since_opened": 5}, {"weak": CLEAN / 2}),
    "rattle-seat": Case("rattle", {"flow": 700, "hours_since_opened": 5}, {"gone_by": 24}),
    "rattle-shelf": Case("rattle", {"flow": 700, "hours_since_opened": 100}, {"clean": CLEAN}),
    "film-air": Case("film on top", {"oxygen": 2, "flow": 700}, {"least": 3, "full": FULL}),
    # Half of a gap closes in ln 2 over the rate: 0.04 an hour still, 1 rippled, 1.024 a degree.
    "film-oxygen": Case(
        "film on top",
        {"oxygen": 5, "flow": 700},
        {
            "kept": 0.7 * FULL,
            "still": math.log(2) / 0.04 / 1.024**4.5,
            "rippled": math.log(2) / 1.024**4.5,
        },
    ),
    "film-still": Case("film on top", {"oxygen": 7, "flow": 200}, {"weak": CLEAN / 2}),
    "film-ugly": Case("film on top", {"oxygen": 7, "flow": 700}, {"full": FULL}),
    # More than half is never asked for at once.
    "ammonia-act": Case(
        "ammonia stays",
        {"ammonia": 6, "ph": 7.6},
        {"acute": SHORT, "harmful": nh3(6, 7.6), "share_ammonia": 50, "after_ammonia": 3},
    ),
    "ammonia-none": Case("ammonia stays", {"ammonia": 0.05, "ph": 7.6}, {"allowed": 0.1}),
    "ammonia-tap": Case(
        "ammonia stays",
        {"ammonia": 0.6, "ph": 7.6, "tap_ammonia": 0.5},
        {"chlorine": 0.5 * 70.9 / 14.007},
    ),
    "ammonia-trap": Case("ammonia stays", OLD, TRAP),
    # From 10 to 80 at 20 a day are four days, the last of them half; at 80 the air makes it 8.03.
    "ammonia-no-alkalinity": Case(
        "ammonia stays",
        {"ammonia": 0.4, "ph": 7.6, "alkalinity": 10},
        {
            "soda": SODA,
            "soda_all": 3.5 * SODA,
            "soda_days": 4,
            "soda_ph": 7.94 + math.log10(80 / 65),
        },
    ),
    "ammonia-harms": Case("ammonia stays", MUCH, {**FIRST, "made": MADE}),
    # At the peak, t = p: 1 - 2/e of the meal is out.
    "ammonia-meal": Case(
        "ammonia stays",
        {"ammonia": 0.4, "ph": 7.6},
        {"made": MADE, "soon": MADE * (1 - 2 / math.e)},
    ),
    "nitrite-trap": Case("nitrite stays", {"nitrite": 1, **OLD}, TRAP),
    # Ammonia wants less than half changed, nitrite all that may be: the larger share.
    "nitrite-ammonia": Case(
        "nitrite stays",
        {"nitrite": 1, "alkalinity": 80, **MUCH},
        {**FIRST, "share_ammonia": 50, "after_ammonia": 0.75},
    ),
    "nitrite-low": Case("nitrite stays", {"nitrite": 0.05, "alkalinity": 80}, {"limit": 0.10}),
    "nitrite-no-alkalinity": Case(
        "nitrite stays",
        {"nitrite": 1, "alkalinity": 15, **TESTED},
        {"soda": SODA, "soda_days": 4, "share": 50, "after": 0.5, "as_ion": 14.007 / 46.005},
    ),
    "nitrite-cold": Case(
        "nitrite stays",
        {"nitrite": 1, "alkalinity": 80, **TESTED, "temperature": 12},
        {"pace": 100 * 1.06**-13, "doubling": 24 * math.log(2) / (0.62 * 1.06**-8)},
    ),
    "nitrite-chloramine": Case(
        "nitrite stays",
        {"nitrite": 1, "alkalinity": 80, **TESTED, "tap_ammonia": 0.4},
        {"chlorine": 0.4 * 70.9 / 14.007},
    ),
    # Half-way between 1 at salinity 10 and 0.01/0.22 at 15.
    "nitrite-salt": Case(
        "nitrite stays",
        {"nitrite": 1, "alkalinity": 80, **TESTED, "salt_rise": 12.5},
        {"kept": 100 * (1 + 0.01 / 0.22) / 2},
    ),
    "nitrite-medicine": Case(
        "nitrite stays",
        {"nitrite": 1, "alkalinity": 80, **TESTED, "days_since_medicine": 5},
        {"shadow": 21},
    ),
    "nitrite-basis": Case(
        "nitrite stays",
        {"nitrite": 0.3, "alkalinity": 80, **TESTED},
        {"as_ion": 0.3 * 14.007 / 46.005, "limit": 0.10, "share": 50},
    ),
    "nitrite-young": Case(
        "nitrite stays",
        {"nitrite": 1, "alkalinity": 80, **TESTED, "chloride": 20},
        {"limit": 0.20, "share": 50, "doubling": 24 * math.log(2) / (0.62 * 1.06**4.5)},
    ),
    "nitrate-trap": Case("nitrate stays", {**HIGH, **OLD}, TRAP),
    "nitrate-ammonia": Case("nitrate stays", {**HIGH, **MUCH}, FIRST),
    "nitrate-fine": Case(
        "nitrate stays", {"nitrate": 20, "tap_nitrate": 8}, {"as_ion": 20 * 62.004 / 14.007}
    ),
    "nitrate-tap": Case("nitrate stays", {"nitrate": 70, "tap_nitrate": 50}, {"tap": 50}),
    "nitrate-hidden": Case(
        "nitrate stays",
        {"nitrate": 120, "tap_nitrate": 8, "feed": 1, "change_share": 50, **TESTED},
        {"peak": NITRATE / 3.5 / 0.5 + 8, "much": 1.5 * (NITRATE / 3.5 / 0.5 + 8)},
    ),
    # Water a week: 7 x 3.23 mg/L a day x 190 L over the room of 42 mg/L.
    "nitrate-habit": Case(
        "nitrate stays",
        {**HIGH, **TESTED},
        {
            "peak": PEAK,
            "water": 7 * NITRATE / 14 * 190 / 42,
            "food": 3.5 * 42 / (PEAK - 8),
            "now": 30,
        },
    ),
    # Round after round by hand below, in `rounds`.
    "nitrate-patience": Case(
        "nitrate stays",
        {"nitrate": 60, "tap_nitrate": 8, "feed": 0.9, **TESTED},
        {"peak": 0.9 * NITRATE / 3.5 / 0.3 + 8, "changes": 6},
    ),
    "ph-trap": Case("ph sinks", OLD, TRAP),
    "ph-ammonia": Case("ph sinks", {"alkalinity": 80, **MUCH}, FIRST),
    "ph-spent": Case(
        "ph sinks",
        {"ph": 6.8, "alkalinity": 20, "ammonia": 0.25},
        {"soda": SODA, "soda_all": 3 * SODA, "soda_days": 3, "short": 40},
    ),
    # A rule of thumb for soft water: 2 mg/L of CO2 for 1 of alkalinity at pH 6.0, so 20 at pH 7.
    "ph-stale": Case(
        "ph sinks", {"ph": 6.8, "alkalinity": 100, "ammonia": 0.25}, {"gas": 19.7 * 10**0.2}
    ),
    "ph-own": Case("ph sinks", {"ph": 8.0, "alkalinity": 100}, {"gas": 19.7 * 10**-1.0}),
    # A rippled surface closes 1.024^4.5 of the gap in an hour.
    "gasp-oxygen": Case(
        "gasping",
        {"oxygen": 2, "nitrite": 0},
        {"full": FULL, "used": FISH + DIRT, "brought": 1.024**4.5 * (FULL - 2) * 190},
    ),
    "gasp-trap": Case("gasping", {**BREATH, **OLD}, TRAP),
    "gasp-ammonia": Case("gasping", {**BREATH, **MUCH}, FIRST),
    "gasp-nitrite": Case("gasping", {**BREATH, **TESTED}, {"nitrite_days": 3 * 0.10, "full": FULL}),
    "gasp-dip": Case("gasping", {"oxygen": 4.5, "nitrite": 0}, {"kept": 0.7 * FULL}),
    "gasp-gills": Case("gasping", {"oxygen": 7.5, "nitrite": 0}, {"full": FULL}),
    "cut-fish": Case(
        "power cut",
        {"hours_stood": 10, "temperature": 24.5},
        {"tank": TANK, "early": EARLY, "late": LATE},
    ),
    "cut-rinse": Case(
        "power cut",
        {"hours_stood": 5, "temperature": 24.5, "volume": 400},
        {"late": LATE, "tank": TANK * 400 / 190, "start": 0.7 * FULL},
    ),
    "cut-smell": Case("power cut", {"hours_stood": 2.5, "temperature": 24.5}, {"early": EARLY}),
    "cut-restart": Case("power cut", {"hours_stood": 1, "temperature": 24.5}, {"early": EARLY}),
    # 105 cm x 42 cm is 0.441 m²: a millimetre is 0.441 L, and the air takes 10 mm at most.
    "leak-unseen": Case(
        "leak",
        {"drops": 0, "level_fall": 30},
        {"gone": 13.23, "air": 4.41, "unseen": 8.82},
    ),
    "leak-joint": Case("leak", {"drops": 50, "level_fall": 6}, {"bowl": 20, "caught": 1.2}),
    "leak-none": Case("leak", {"drops": 0, "level_fall": 6}, {"gone": 2.646, "unseen": 0}),
}


def rounds(start: float, gain: float, share: float, source: float, limit: float) -> int:
    """How many changes until the level before a change is within the limit, round by round."""
    level, count = start, 0
    while True:
        count += 1
        level = (level + gain) * (1 - share) + share * source
        if level + gain <= limit:
            return count
