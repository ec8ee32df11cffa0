"""What a dose of ultraviolet light does to an organism; published tables are never stretched."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.files import data_file, rows_of
from aqualib.sources import cite
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range, ValidityError, YesNo

DOSES = Range(0, 10000, "mJ/cm**2")


class Dose(NamedTuple):
    """One row of `data/ultraviolet_doses.csv`; doses in mJ/cm²."""

    organism: str
    label: str
    effect: str
    log_inactivation: float
    """NaN where the source gives no count, only an effect."""
    fluence: float
    low: float
    high: float
    basis: str
    source: str
    locator: str
    note: str

    @property
    def origin(self) -> str:
        """Where the dose comes from, in words."""
        return cite(self.source, self.locator) if self.source else "from memory"


class Table(NamedTuple):
    """The doses of one organism, from none to the last that is printed."""

    label: str
    fluences: Any
    """J/m²"""
    logs: Any
    sources: tuple[str, ...]


@lru_cache(maxsize=1)
def doses() -> tuple[Dose, ...]:
    """Return every row of `data/ultraviolet_doses.csv`."""
    return tuple(_read(row) for row in rows_of(data_file("ultraviolet_doses.csv")))


def _read(row: dict[str, str]) -> Dose:
    numbers = {n: float(row[n] or "nan") for n in ("log_inactivation", "fluence", "low", "high")}
    return Dose(**{**row, **numbers})  # type: ignore[arg-type]


@lru_cache(maxsize=1)
def tables() -> dict[str, Table]:
    """Return the table of each organism that was counted, with no dose and no effect added."""
    counted = [dose for dose in doses() if dose.log_inactivation > 0.0]
    found = {}
    for name in dict.fromkeys(dose.organism for dose in counted):
        rows = [dose for dose in counted if dose.organism == name]
        fluences = np.array([0.0, *(10.0 * row.fluence for row in rows)])
        logs = np.array([0.0, *(row.log_inactivation for row in rows)])
        found[name] = Table(rows[0].label, fluences, logs, tuple({r.source for r in rows}))
    return found


def effects() -> tuple[Dose, ...]:
    """Return the doses for which only an effect is known, such as "growth stopped"."""
    return tuple(dose for dose in doses() if not dose.log_inactivation > 0.0)


ORGANISMS = tuple(tables())


def check_fluence(organism: str, fluence: Any, at_least: bool = False, **_: Any) -> None:
    """Raise if a dose lies beyond the table, unless "at least" will do."""
    table = tables()[organism]
    last = float(table.fluences[-1])
    if not at_least and np.any(np.asarray(fluence) > last * (1.0 + 1e-9)):
        shown = f"{np.max(fluence) / 10.0:g} mJ/cm**2"
        valid = f"0 to {last / 10.0:g} mJ/cm**2 for {table.label}, or at_least=True"
        why = "lies beyond the last dose of the table"
        raise ValidityError("fluence", shown, valid, ", ".join(table.sources), why)


def check_log(organism: str, log_inactivation: Any) -> None:
    """Raise if an inactivation lies beyond the table."""
    table = tables()[organism]
    last = float(table.logs[-1])
    if np.any(np.asarray(log_inactivation) > last * (1.0 + 1e-9)):
        shown, valid = f"{np.max(log_inactivation):g}", f"0 to {last:g} for {table.label}"
        why = "lies beyond the last step of the table"
        raise ValidityError("log_inactivation", shown, valid, ", ".join(table.sources), why)


@public(returns="", sources=())
def log_inactivation(
    fluence: Annotated[Amount, Range(0, 1e6, "mJ/cm**2")],
    fluence_per_log: Annotated[Amount, Range(0.001, 1e5, "mJ/cm**2")],
) -> Number:
    """Return the log10 inactivation of a dose, if every step takes the same dose, a plain number.

    One step leaves a tenth, two a hundredth: the first step is the one that counts most.

    Equation: LI = H / D10, with D10 the dose for one step.

    fluence: H.
    fluence_per_log: D10 of the organism.
    Source: first-order kinetics, a definition.
    Validity: single cells in clear water, over the range that was tested. Particles shield what
        sits in them, and the last steps then cost far more: see `tabled_inactivation`.

    >>> round(log_inactivation(Q(40, "mJ/cm**2"), Q(39.6, "mJ/cm**2")), 2)
    1.01
    """
    return fluence / fluence_per_log


@public(returns="", sources=())
def inactivated_share(log_inactivation: Annotated[Number, Range(0, 300)]) -> Number:
    """Return the share that is inactivated, from its log10, as a plain fraction 0 to 1.

    It says what happens to one in a hundred, not to the last one in a million.

    Equation: f = 1 - 10^(-LI).

    Source: the definition of log10 inactivation.
    Validity: inactivated cells live on for a while but no longer multiply.

    >>> [round(inactivated_share(steps), 3) for steps in (0.5, 1, 2)]
    [0.684, 0.9, 0.99]
    """
    return -np.expm1(-np.log(10.0) * log_inactivation)


@public(
    returns="",
    sources=(
        "EPA2006",
        "OyeRimstad2001",
        "YoshimizuEtAl1990",
        "BullockStuckey1977",
        "CSAE2011",
        "CantwellHofmann2008",
    ),
    together=check_fluence,
)
def tabled_inactivation(
    organism: Annotated[str, OneOf(ORGANISMS)],
    fluence: Annotated[Amount, DOSES],
    at_least: Annotated[bool, YesNo()] = False,  # noqa: ARG001 - `check_fluence` reads it
) -> Number:
    """Return the log10 inactivation that a published table gives for a dose, a plain number.

    2 means that one in a hundred is left, 3 one in a thousand. Tests in clean water promise more
    than water full of particles keeps.

    Equation: straight lines between the printed points, and from no dose and no effect to the
    first; beyond the last point nothing is known.

    fluence: The dose at 254 nm.
    at_least: False refuses a dose beyond the last of the table. True answers with the last step
        of the table, to be read as "at least".
    Returns: Log10 of those before over those after.
    Raises: the organism is not in the table, or the dose lies beyond the last of the table and
        "at least" was not asked for.
    Source: EPA2006, table 1.4; OyeRimstad2001; YoshimizuEtAl1990; BullockStuckey1977; CSAE2011.
        In river water with particles CantwellHofmann2008 found a ceiling of 2.5 log.
    Validity: as the row of data/ultraviolet_doses.csv says; where a source gives a range, the
        end on the safe side. Tables of EPA2006 hold a margin, the others do not.
    Departures: straight lines, also below the first printed dose, are ours.

    >>> tabled_inactivation("cryptosporidium", Q(12, "mJ/cm**2"))
    3.0
    >>> round(tabled_inactivation("ipnv", Q(40, "mJ/cm**2")), 2)
    1.01
    """
    table = tables()[organism]
    return np.interp(fluence, table.fluences, table.logs)


@public(
    returns="mJ/cm**2",
    sources=("EPA2006", "OyeRimstad2001", "YoshimizuEtAl1990", "BullockStuckey1977", "CSAE2011"),
    together=check_log,
)
def tabled_fluence(
    organism: Annotated[str, OneOf(ORGANISMS)],
    log_inactivation: Annotated[Number, Range(0, 6)],
) -> Number:
    """Return the dose that a published table asks for an inactivation, in mJ/cm².

    The hardest virus needs more than ten times the dose that *Giardia* needs.

    Equation: `tabled_inactivation` read backwards.

    log_inactivation: 2 leaves one in a hundred, 3 one in a thousand.
    Raises: the organism is not in the table, or the inactivation lies beyond its last step.
    Source: as `tabled_inactivation`: EPA2006, OyeRimstad2001, YoshimizuEtAl1990,
        BullockStuckey1977, CSAE2011.
    Validity: as `tabled_inactivation`.
    Departures: straight lines between the points are ours.

    >>> tabled_fluence("giardia", 3).round(1)
    <Quantity(11.0, 'millijoule / centimeter ** 2')>
    """
    table = tables()[organism]
    return np.interp(log_inactivation, table.logs, table.fluences)
