"""The two logs that come with the lessons, made from known truths.

    python tests/tank/test_log/demo_logs.py

writes them into `data/` again, after a change of the model. The first is of a tank that obeys the
model of maturation; the second of one that does not, from `keepers_logs`.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tank.test_log.keepers_logs import Nature, played

from aqualib.files import data_file
from aqualib.tank.maturation import Scenario, simulate
from aqualib.units import Q

START = date(2026, 3, 2)
AS_ION = 4.4266
STEPS = {
    "ammonia": (0.25, 0.5, 1, 1.5, 2, 3, 4, 6, 8, 10),
    "nitrite": (0.05, 0.1, 0.2, 0.5, 1, 2, 3, 4, 6, 8, 10),
    "nitrate": (5, 10, 25, 50, 75, 100, 150, 200, 250),
}
"""Invented steps; nitrate as the ion. Below the first is "<", above the last is ">"."""
ERROR = 0.12

TRUTH = Scenario(
    volume=Q(100, "L"),
    media_area=Q(5, "m**2"),
    load=Q(0.11, "g/day"),
    seed=0.001,
    nitrite_seed=0.0001,
    temperature=Q(24.5, "degC"),
    ph=7.6,
)
TRUE_VALUES = {"ammonia_oxidiser_growth": 0.75, "nitrite_oxidiser_growth": 0.49}
TAP = 2.0
NOTES = {
    1: "first food yesterday",
    9: "ammonia is falling",
    13: "out of ammonia test",
    23: "nitrite is falling at last",
}

INVENTED = ("# Invented readings: no such tank exists. Made for lesson 12.",)
OBEDIENT = (
    "# Known truth: the model of maturation with 100 L, 5 m2 of media, food for 0.11 g/day of",
    "# ammonia nitrogen, seed 0.001 (nitrite oxidisers 0.0001), 24.5 degC, pH 7.6, growth at",
    "# 20 degC 0.75 and 0.49 a day, 2 mg/L of nitrate nitrogen in the tap water. Day 0 is",
    "# 2026-03-02, when the seed and the first food went in. To each number an error of about",
    "# 12 % was added, and it was put to the next step of a colour test. The slips (a blank, a",
    "# range, a wrong year, a day written twice) are there on purpose.",
)
BROKEN = (
    "# Known truth: not the model of maturation, but other equations. All ammonia comes from one",
    "# dead shrimp, 7 mg/L of nitrogen that rots in about 4 days; then there is none. Hardly any",
    "# nitrite oxidisers came with the seed. Its keeper believes in 0.1 g/day of ammonia nitrogen",
    "# in 100 L. Never ready for that. Day 0 is 2026-03-02.",
)
HEADINGS = (
    "date;ammonia (mg/L as N);nitrite (mg/L as N);nitrate (mg/L as ion);pH;temperature (°C);notes"
)

SHRIMP = Nature(
    load=0.0,
    rotting=4.0,
    growth=(0.8, 0.6),
    reach=(8.0, 30.0),
    full=(5.0, 6.0),
    seed=(3e-3, 1e-7),
    dying=0.03,
    tap=1.0,
    alkalinity=120.0,
    kept=True,
    ph=7.4,
    celsius=24.0,
    slope=0.4,
    shrimp=7.0,
)
PLANNED = 1.0
"""mg/L of ammonia nitrogen a day, by the food that its keeper speaks of."""


def step_of(random: np.random.Generator, what: str, true: float) -> str:
    """Return what is written of a true value, with a decimal comma."""
    steps = np.array(STEPS[what])
    seen = true * (AS_ION if what == "nitrate" else 1.0) * np.exp(ERROR * random.standard_normal())
    if seen < 0.75 * steps[0]:
        return f"<{_comma(steps[0])}"
    if seen > 1.1 * steps[-1]:
        return f">{_comma(steps[-1])}"
    return _comma(steps[np.argmin(np.abs(np.log(steps / seen)))])


def _comma(number: float) -> str:
    return f"{number:g}".replace(".", ",")


def obedient() -> str:
    """Return the first log: every other day to day 23, with slips on purpose."""
    truth = simulate(TRUTH, TRUE_VALUES)
    state = truth.course.state
    random = np.random.default_rng(4)
    true = {
        "ammonia": lambda day: float(state.ammonia[4 * day]),
        "nitrite": lambda day: float(state.nitrite[4 * day]),
        "nitrate": lambda day: float(state.nitrate[4 * day]) + TAP,
    }
    head = [*INVENTED, *OBEDIENT, f"# Ready on day {truth.ready_day:.0f}.", HEADINGS]
    rows = []
    for day in range(1, 24, 2):
        rows.append(_row(random, true, day, NOTES.get(day, "")))
        if day == 9:
            second = _row(random, true, day, "second test in the evening").split(";")
            rows.append(";".join([*second[:3], second[3], "", "", second[-1]]))
    return "\n".join([*head, *map(_with_slips, rows)]) + "\n"


def _row(
    random: np.random.Generator, true: dict[str, Callable[[int], float]], day: int, note: str
) -> str:
    written = [step_of(random, what, true[what](day)) for what in STEPS]
    ph = _comma(round(7.6 + 0.08 * random.standard_normal(), 1))
    celsius = f"{24.5 + random.choice([-0.5, 0.0, 0.0, 0.5]):.1f}".replace(".", ",")
    on = (START + timedelta(days=day)).strftime("%d.%m.%Y")
    return ";".join([on, *written, ph, celsius, note])


def _with_slips(row: str) -> str:
    cells = row.split(";")
    match cells[0]:
        case "15.03.2026":
            cells[1] = ""
        case "17.03.2026":
            cells[0] = "17.03.2062"
        case "19.03.2026":
            cells[3] = "20-25"
    return ";".join(cells)


def broken() -> str:
    """Return the second log: a dead shrimp is all the food, and no nitrite oxidisers came in."""
    tank: Any = played(SHRIMP, PLANNED)
    random = np.random.default_rng(4)
    true = {what: (lambda day, w=what: float(getattr(tank, w)[24 * day])) for what in STEPS}
    head = [*INVENTED, *BROKEN, HEADINGS]
    notes = {1: "shrimp in yesterday", 13: "shrimp all gone"}
    rows = [_row(random, true, day, notes.get(day, "")) for day in range(1, 28, 2)]
    return "\n".join([*head, *rows]).replace("; \n", ";\n") + "\n"


LOGS = {"example_test_log.csv": obedient, "example_shrimp_log.csv": broken}


if __name__ == "__main__":
    for name, make in LOGS.items():
        Path(data_file("example_test_log.csv")).with_name(name).write_text(make(), "utf-8")
