"""The controls of a panel: what the learner may change, in which range, and who says so."""

from __future__ import annotations

import math
from typing import Any

from traitlets import Bool, Float, HasTraits, TraitError, Unicode, validate

from aqualib.parameters import parameter
from aqualib.units import display_unit, label, line_to, number
from aqualib.validity import OneOf, ValidityError


class Slider(HasTraits):
    """A number with a slider and a box. `value` is in `unit`, whatever units are shown."""

    value = Float()

    def __init__(self, name: str, row: str, step: float, start: float | None = None) -> None:
        """Make a slider called `name` for the learner; its range is the `row` of parameters."""
        self.parameter = parameter(row)
        self.name = name
        self.unit = self.parameter.unit
        self.step = step
        self.start = self.parameter.value if start is None else start
        super().__init__(value=self.start)

    @validate("value")
    def _inside(self, proposal: dict[str, Any]) -> float:
        value = _rounded(proposal["value"])
        limits = self.parameter.range
        # A slider clamps without a word; a program must be told.
        if not limits.holds(value):
            shown = f"{value:g} {self.unit}".strip()
            raise ValidityError(self.name, shown, limits.text, limits.source, "is out of range")
        return value

    @property
    def bare(self) -> float:
        """The value in SI base units, as `.bare` functions take it."""
        return self.parameter.to_base(self.value)

    def take(self, shown_value: Any) -> None:
        """Set the value from what the page sent, a number in the units shown."""
        is_number = isinstance(shown_value, int | float) and not isinstance(shown_value, bool)
        if not is_number or abs(shown_value) > 1e300:
            limits = self.parameter.range
            why = "is not a number"
            raise ValidityError(self.name, repr(shown_value), limits.text, limits.source, why)
        factor, offset = self._line()
        value = _rounded((shown_value - offset) / factor)
        # The ends of the slider are rounded to its step, and may lie a hair outside.
        low, high = self.parameter.low, self.parameter.high
        hair = 1e-6 * (high - low)
        if not low - hair <= value <= high + hair:
            raise self._refused(shown_value)
        self.value = min(max(value, low), high)

    def spec(self) -> dict[str, Any]:
        """Return what the page needs to build this control, in the units in force."""
        low, high, step, digits = self._ends()
        unit = label(self._unit())
        return {
            "kind": "slider",
            "label": self.name,
            "unit": unit,
            "low": low,
            "high": high,
            "step": step,
            "digits": digits,
            "about": f"{self._range_text()} · range: {self.parameter.origin}",
        }

    def reading(self) -> dict[str, Any]:
        """Return the value as the page shows it: in the units in force, metric beside it."""
        factor, offset = self._line()
        metric = f"{number(self.value)} {label(self.unit)}" if self._unit() != self.unit else ""
        return {"value": _rounded(factor * self.value + offset), "metric": metric}

    def _ends(self) -> tuple[float, float, float, int]:
        """Return the ends of the slider and its step in the units in force, and their digits."""
        factor, offset = self._line()
        step = self.step if factor == 1.0 else nice_step(self.step * factor)
        low = factor * self.parameter.low + offset
        high = factor * self.parameter.high + offset
        # Inside the range, and on a step.
        low, high = math.ceil(low / step - 1e-6) * step, math.floor(high / step + 1e-6) * step
        return _rounded(low), _rounded(high), step, max(0, -math.floor(math.log10(step) + 1e-9))

    def _range_text(self) -> str:
        low, high, _, digits = self._ends()
        ends = (_shortest(f"{end:.{digits}f}") for end in (low, high))
        return f"{' to '.join(ends)} {label(self._unit())}".strip()

    def _refused(self, shown_value: float) -> ValidityError:
        """Return the refusal of an entry, in the units the learner typed it in."""
        value = f"{shown_value:g} {label(self._unit())}".strip()
        source = self.parameter.range.source
        return ValidityError(self.name, value, self._range_text(), source, "is out of range")

    def _unit(self) -> str:
        return display_unit(self.unit)

    def _line(self) -> tuple[float, float]:
        unit = self._unit()
        return (1.0, 0.0) if unit == self.unit else line_to(self.unit, unit)


class Choice(HasTraits):
    """One of a few words."""

    value = Unicode()

    def __init__(self, name: str, words: dict[str, str], start: str) -> None:
        """Make a choice called `name`; `words` maps each value to what the learner reads."""
        self.name = name
        self.words = words
        self.start = start
        super().__init__(value=start)

    @validate("value")
    def _known(self, proposal: dict[str, Any]) -> str:
        value = str(proposal["value"])
        if value not in self.words:
            valid = OneOf(tuple(self.words)).text
            raise ValidityError(self.name, repr(value), valid, "", "is not one of the choices")
        return value

    @property
    def bare(self) -> str:
        """The word chosen."""
        return self.value

    def take(self, shown_value: Any) -> None:
        """Set the value from what the page sent."""
        self.value = str(shown_value)

    def spec(self) -> dict[str, Any]:
        """Return what the page needs to build this control."""
        words = [[value, text] for value, text in self.words.items()]
        return {"kind": "choice", "label": self.name, "words": words, "about": ""}

    def reading(self) -> dict[str, Any]:
        """Return the value as the page shows it."""
        return {"value": self.value, "metric": ""}


class Tick(HasTraits):
    """A yes or no."""

    value = Bool()

    def __init__(self, name: str, *, start: bool) -> None:
        """Make a tick box called `name`."""
        self.name = name
        self.start = start
        super().__init__(value=start)

    @property
    def bare(self) -> bool:
        """True or False."""
        return self.value

    def take(self, shown_value: Any) -> None:
        """Set the value from what the page sent."""
        if not isinstance(shown_value, bool):
            why = "is neither True nor False"
            raise ValidityError(self.name, repr(shown_value), "True or False", "", why)
        self.value = shown_value

    def spec(self) -> dict[str, Any]:
        """Return what the page needs to build this control."""
        return {"kind": "tick", "label": self.name, "about": ""}

    def reading(self) -> dict[str, Any]:
        """Return the value as the page shows it."""
        return {"value": self.value, "metric": ""}


Control = Slider | Choice | Tick


def assign(control: Control, value: Any) -> None:
    """Assign `control.value`, with the one kind of error whatever is wrong."""
    try:
        if isinstance(value, bool) and not isinstance(control, Tick):
            raise TraitError  # True is not the number 1
        control.value = value
    except TraitError:
        known = control.parameter.range.text if isinstance(control, Slider) else "another type"
        why = "is not a number" if isinstance(control, Slider) else "has the wrong type"
        raise ValidityError(control.name, repr(value), known, "", why) from None


def nice_step(step: float) -> float:
    """Return 1, 2 or 5 times a power of ten, near `step`: the step in another unit set."""
    power = math.floor(math.log10(step))
    size = step / 10.0**power
    nearest = min((1.0, 2.0, 5.0, 10.0), key=lambda nice: abs(math.log(size / nice)))
    return float(f"{nearest * 10.0**power:.6g}")


def _shortest(decimal: str) -> str:
    """Return a number without the zeros that say nothing: 20 for 20.0."""
    return decimal.rstrip("0").rstrip(".") if "." in decimal else decimal


def _rounded(value: float) -> float:
    """Undo what the page adds, such as 1.9999999999999998 for 2."""
    return float(f"{value:.10g}")
