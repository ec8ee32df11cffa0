"""The cells of a keeper's log: readings and column names as people write them."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

from aqualib.tank.test_log.letters import in_quotes
from aqualib.units import Q
from aqualib.water.alkalinity import milliequivalents_as_alkalinity
from aqualib.water.nitrogen import (
    AMMONIA_PER_NITROGEN,
    AMMONIUM_PER_NITROGEN,
    NITRATE_PER_NITROGEN,
    NITRITE_PER_NITROGEN,
)
from aqualib.written_numbers import TwoMeaningsError, plain_digits

BLANKS = {"", "-", "–", "—", "?", "na", "n/a", "not tested"}
SIGNS = {"<": "<", "≤": "<", "<=": "<", ">": ">", "≥": ">", ">=": ">", "": "="}
NUMBER = re.compile(r"(<=|>=|<|>|≤|≥)? ?([\d.,]*\d) ?(mg/l|ppm|°c|°f)?", re.ASCII)

NAMES = {
    "date": {"date", "datum"},
    "ammonia": {"ammonia", "ammonium", "nh3", "nh4", "tan"},
    "nitrite": {"nitrite", "nitrites", "no2"},
    "nitrate": {"nitrate", "nitrates", "no3"},
    "ph": {"ph"},
    "temperature": {"temperature", "temp"},
    "alkalinity": {"alkalinity", "alk", "kh", "dkh"},
}
NITROGEN = ("ammonia", "nitrite", "nitrate")
BASES = ("N", "ion", "NH3")
"""As nitrogen; as the whole ion (ammonia: NH4); or, for ammonia only, as NH3."""

PER_NITROGEN = {
    ("ammonia", "ion"): AMMONIUM_PER_NITROGEN,
    ("ammonia", "NH3"): AMMONIA_PER_NITROGEN,
    ("nitrite", "ion"): NITRITE_PER_NITROGEN,
    ("nitrate", "ion"): NITRATE_PER_NITROGEN,
}

SPECIES = "nh3|nh4|no2|no3|ammonia|ammonium|nitrite|nitrate"
WHOLE = r"(?! (n|nitrogen)\b)"
"""After a species: it is not the nitrogen in it that is meant."""
STATED = {
    "N": rf"as n|as nitrogen|mg n|mg l n|({SPECIES}) n|({SPECIES}) nitrogen|tan",
    "ion": rf"as (the )?ion|((as|mg|mg l) (nh4|no2|no3)|as (ammonium|nitrite|nitrate)){WHOLE}",
    "NH3": rf"(as|mg|mg l) nh3{WHOLE}",
}
UNREAD_UNITS = {"mmol", "umol", "µmol", "meq", "mol", "dh"}
THOUSANDTHS = {"ug", "µg", "ppb"}
DEGREES, EQUIVALENTS, AS_CARBONATE = {"kh", "dkh", "dh"}, {"meq", "mmol"}, {"mg", "ppm", "caco3"}
"""How a heading names the unit of alkalinity."""
LONGEST_CELL, LONGEST_HEADING = 60, 1000
"""Letters: no number or date is longer, and no heading or comment is searched further."""


class UnreadableError(ValueError):
    """A cell that cannot be read; the message says why, in words."""


@dataclass(frozen=True, slots=True)
class Column:
    """What a column of the log holds."""

    what: str
    place: int
    heading: str
    basis: str = ""
    fahrenheit: bool = False
    factor: float = 1.0
    """From the unit of the column to mg/L, before the basis."""

    def plain(self, value: float) -> float:
        """Return a number in mg/L as N, in °C, or in mg/L as CaCO3; pH as it is."""
        if self.what == "temperature":
            return (value - 32.0) / 1.8 if self.fahrenheit else value
        return value * self.factor / PER_NITROGEN.get((self.what, self.basis), 1.0)


def tidy(text: str, longest: int = LONGEST_CELL) -> str:
    """Return a cell in small letters, without odd spaces, widths, minus signs and unseen marks.

    Of a cell that is too long only the beginning is kept, and a sign that says so.
    """
    cell, end = text.strip(), ""
    if len(cell) > longest:
        cell, end = cell[:longest], "…"
    elif not cell.isascii():
        wide = unicodedata.normalize("NFKC", cell)[: 2 * longest]
        plain = wide.replace("−", "-").replace("μ", "µ")
        cell = "".join(sign for sign in plain if unicodedata.category(sign) != "Cf")
    return " ".join(cell.lower().split()) + end


def is_blank(text: str) -> bool:
    """Return whether a cell says that nothing was measured."""
    return tidy(text) in BLANKS


def read_number(text: str) -> tuple[str, float]:
    """Return a reading as ("=", "<" or ">", number); a comma or a point marks the decimals."""
    cell = tidy(text)
    found = NUMBER.fullmatch(cell)
    try:
        number = float(plain_digits(found[2])) if found else math.nan
    except TwoMeaningsError as meanings:
        raise UnreadableError(f"{in_quotes(text)}: {meanings}") from None
    if found and math.isfinite(number):
        return SIGNS[found[1] or ""], number
    raise UnreadableError(f"{in_quotes(text)} {_why_no_number(cell)}")


def _why_no_number(cell: str) -> str:
    if re.fullmatch(r"-[\d.,]+", cell):
        return "is below zero"
    if re.search(r"\d ?(-|–|to) ?\d", cell):
        return "is a range; write one number, or <0.5 if the test shows no colour"
    if cell in {"nd", "n.d.", "not detected", "none", "trace", "neg", "negative"}:
        return "has no number; write the smallest step of the test, such as <0.25"
    return "is no number"


def read_heading(text: str, place: int) -> Column | None:
    """Return what a column holds by its heading; None if it is none of the things we read."""
    words = _words(text)
    what = next((what for what, names in NAMES.items() if names & set(words)), None)
    if what is None:
        return None
    if what == "alkalinity":
        return Column(what, place, _shown(text), factor=_of_alkalinity(text, set(words)))
    if what in NITROGEN and len(_kinds(words)) > 1:
        raise UnreadableError(f"{in_quotes(text)} names two kinds of nitrogen; keep one")
    if what not in NITROGEN:
        hot = what == "temperature" and bool({"f", "degf", "fahrenheit"} & set(words))
        return Column(what, place, _shown(text), fahrenheit=hot)
    if UNREAD_UNITS & set(words):
        raise UnreadableError(f"{in_quotes(text)} has a unit that is not read; use mg/L or ppm")
    factor = 1e-3 if THOUSANDTHS & set(words) else 1.0
    return Column(what, place, _shown(text), stated_basis(text), factor=factor)


def _of_alkalinity(text: str, words: set[str]) -> float:
    """Return mg/L as CaCO3 per unit of a column of alkalinity; "KH" alone is in degrees."""
    if words & AS_CARBONATE:
        return 1.0
    if words & EQUIVALENTS:
        return float(milliequivalents_as_alkalinity(Q(1.0, "mmol/L")).m_as("mg/L"))
    if words & DEGREES:
        return float(Q(1.0, "dKH").m_as("mg/L"))
    raise UnreadableError(f"{in_quotes(text)} has no unit; write dKH, meq/L, or mg/L as CaCO3")


def stated_basis(text: str) -> str:
    """Return the basis that a text states, "" if it states none; two at once are refused."""
    line = " ".join("mg" if word in THOUSANDTHS else word for word in _words(text))
    # Both forms named together are the test's name for all ammonia, and state nothing.
    line = line.replace("nh3 nh4", "ammonia").replace("nh4 nh3", "ammonia")
    found = [basis for basis, pattern in STATED.items() if re.search(rf"\b({pattern})\b", line)]
    if len(found) > 1:
        raise UnreadableError(f"{in_quotes(text)} states two bases; keep one")
    return found[0] if found else ""


def commented_basis(text: str) -> dict[str, str]:
    """Return the basis that a comment states for each kind of nitrogen it speaks of.

    "as N, nitrate as NO3" speaks of nitrate in its second part, and of the others in its first.
    """
    of_all: set[str] = set()
    of_one: dict[str, set[str]] = {}
    for part in re.split(r"[,;]", text):
        basis = stated_basis(part)
        kinds = _kinds(_words(part))
        of_all |= {basis} if basis and not kinds else set()
        for what in kinds if basis else ():
            of_one.setdefault(what, set()).add(basis)
    found = {what: of_one.get(what, of_all) for what in NITROGEN}
    if any(len(bases) > 1 for bases in found.values()):
        raise UnreadableError(f"{in_quotes(text)} states two bases; keep one")
    return {what: basis for what, bases in found.items() for basis in bases}


def _kinds(words: list[str]) -> list[str]:
    """Return the kinds of nitrogen that words name."""
    return [what for what in NITROGEN if NAMES[what] & set(words)]


def _words(text: str) -> list[str]:
    # A charge is no part of a name: NO3- and NH4+ are NO3 and NH4.
    return re.findall(r"[a-zµ]+\d?", tidy(text, LONGEST_HEADING).replace("°", " "))


def _shown(heading: str) -> str:
    """Return a heading short enough to stand before a remark."""
    return in_quotes(heading)[1:-1]
