"""What a function accepts, and the one error that says why a value was refused."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeAlias

# Unit conversion may leave 122 degF at 50.00000000001 degC; that is still 50 degC.
ROUNDING = 1e-9


LONGEST_QUOTE = 60
"""signs of a refused value that its refusal repeats"""


def quoted(value: object) -> str:
    """Return a refused value as its refusal repeats it: as Python writes it, cut if it is long."""
    try:
        text = repr(value)
    except Exception:  # noqa: BLE001 - whatever was given, it is refused in words
        text = f"a {type(value).__name__} that cannot be written"
    return text if len(text) <= LONGEST_QUOTE else f"{text[: LONGEST_QUOTE - 3]}..."


class ValidityError(ValueError):
    """A value was refused: names the parameter, the value, the valid range and its source."""

    def __init__(self, parameter: str, value: object, valid: str, source: str, why: str) -> None:
        self.parameter = parameter
        self.value = value
        self.valid = valid
        self.source = source
        self.why = why
        origin = f" (source of the range: {source})" if source else ""
        super().__init__(f"{parameter} = {value} {why}. Valid: {valid}{origin}.")

    def __reduce__(self) -> tuple[type[ValidityError], tuple[object, ...]]:
        """Let it come back whole from a worker process."""
        parts = (self.parameter, self.value, self.valid, self.source, self.why)
        return type(self), parts


@dataclass(frozen=True, slots=True)
class Range:
    """The numbers a parameter may take, in `unit` ("" for a plain number)."""

    low: float
    high: float
    unit: str = ""
    source: str = ""
    whole: bool = False

    @property
    def text(self) -> str:
        """The range as a reader sees it, such as '0 to 50 degC'."""
        numbers = f"{self.low:g} to {self.high:g} {self.unit}"
        if self.high == float("inf"):
            numbers = f"{self.low:g} {self.unit}".strip() + " or more"
        return numbers.strip() + (" (whole number)" if self.whole else "")

    def holds(self, numbers: Any) -> Any:
        """Return for each number whether it lies in the range (a NaN never does).

        A number outside by no more than the rounding of a unit conversion counts as the end point.
        """
        hair = ROUNDING * min(1.0, self.high - self.low)
        low = self.low - max(hair, ROUNDING * abs(self.low))
        high = self.high + (max(hair, ROUNDING * abs(self.high)) if self.high < math.inf else 0.0)
        return (numbers >= low) & (numbers <= high)


@dataclass(frozen=True, slots=True)
class OneOf:
    """The words a parameter may take."""

    words: tuple[str, ...]
    source: str = ""

    @property
    def text(self) -> str:
        """The choices as a reader sees them."""
        return " or ".join(f'"{word}"' for word in self.words)


@dataclass(frozen=True, slots=True)
class YesNo:
    """A parameter that is True or False."""

    source: str = ""

    @property
    def text(self) -> str:
        """The choices as a reader sees them."""
        return "True or False"


@dataclass(frozen=True, slots=True)
class AnyAmount:
    """An amount from zero up whose dimension is left open: a mass, a rate, a concentration..."""

    units: tuple[str, ...]
    source: str = ""

    @property
    def text(self) -> str:
        """The rule as a reader sees it, such as '0 or more in mg/L or g'."""
        return f"0 or more in {' or '.join(self.units)}"


@dataclass(frozen=True, slots=True)
class Kind:
    """A thing of one of these classes, or (`many`) a list or tuple of such things."""

    types: tuple[type, ...]
    many: bool = False
    source: str = ""

    @property
    def name(self) -> str:
        """The classes as a reader sees them, such as 'Pad or SettlingSpace'."""
        return " or ".join(each.__name__ for each in self.types)

    @property
    def text(self) -> str:
        """The rule as a reader sees it."""
        return f"a list of {self.name}" if self.many else f"a {self.name}"


@dataclass(frozen=True, slots=True)
class Turned:
    """Something that `turn` makes plain, given the parameter's name and the value, or refuses."""

    turn: Callable[[str, Any], Any]
    text: str
    source: str = ""


Rule: TypeAlias = Range | AnyAmount | OneOf | YesNo | Kind | Turned
"""What an argument may be."""
