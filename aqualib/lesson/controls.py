"""The controls of a panel: what the learner may change, in which range, and who says so."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from numbers import Real
from typing import Any

from traitlets import Bool, Float, HasTraits, Unicode, validate

from aqualib.lesson.whose_tank import own_number
from aqualib.parameters import parameter
from aqualib.units import UNIT_SETS, display_unit, get_units, label, line_to, number
from aqualib.units import shown as amount_shown
from aqualib.validity import OneOf, ValidityError, YesNo, quoted

ASSUMED = "The range of a slider is assumed, unless a source stands under it."
LONGEST_ENTRY = 30
"""Signs of a refused entry that are shown again."""


class Slider(HasTraits):
    """A number with a slider and a box. `value` is in `unit`, whatever units are shown."""

    value = Float()

    def __init__(
        self,
        name: str,
        row: str,
        step: float,
        start: float | None = None,
        ends: tuple[float, float] | None = None,
    ) -> None:
        """Make a slider called `name` for the learner; its range is the `row` of parameters.

        `ends` within that range are for what a learner brings along, such as the days of a log.
        """
        self.parameter = parameter(row)
        if ends is not None:
            self.parameter = replace(self.parameter, low=ends[0], high=ends[1])
        self.name = name
        self.unit = self.parameter.unit
        self.step = step
        self._start = start
        super().__init__(value=self.start)

    @property
    def start(self) -> float:
        """Where it opens: where its panel says, or else on the tank in use, within its range."""
        if self._start is not None:
            return self._start
        own = own_number(self.parameter.name)
        if own is None:
            return self.parameter.value
        return _rounded(min(max(own, self.parameter.low), self.parameter.high))

    @property
    def beyond(self) -> str:
        """The learner's own number with its unit where it lies beyond the slider, or ""."""
        own = own_number(self.parameter.name) if self._start is None else None
        if own is None or self.parameter.low <= own <= self.parameter.high:
            return ""
        return f"{self.name} {amount_shown(own, self.unit)}"

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

    def refusal(self, value: Any) -> ValidityError:
        """Return the refusal of what is no number at all."""
        limits = self.parameter.range
        return ValidityError(
            self.name, quoted(value), limits.text, limits.source, "is not a number"
        )

    def take(self, shown_value: Any, units: Any = None) -> None:
        """Set the value from what the page sent, in the unit set in which it was made.

        It is a number, or a text with any unit that fits. The page and Python may be one change of
        units apart; left out, it is the set in force.
        """
        system = get_units() if units is None else units
        if not isinstance(system, str) or system not in UNIT_SETS:
            why = "is no unit set, so the number cannot be read"
            raise ValidityError("units", quoted(system), OneOf(UNIT_SETS).text, "", why)
        if isinstance(shown_value, str):
            shown_value = self._read(shown_value, system)
        is_number = isinstance(shown_value, int | float) and not isinstance(shown_value, bool)
        if not is_number or abs(shown_value) > 1e300:
            raise self.refusal(shown_value)
        factor, offset = self._line(system)
        value = _rounded((shown_value - offset) / factor)
        # The ends of the slider are rounded to its step, and may lie a hair outside.
        low, high = self.parameter.low, self.parameter.high
        hair = 1e-6 * (high - low)
        if not low - hair <= value <= high + hair:
            raise self._out_of_range(shown_value, system)
        self.value = min(max(value, low), high)

    def _read(self, text: str, system: str) -> float:
        """Return a typed text as a number in the unit that stands beside the box."""
        # It loads the questions of a page, and few boxes are typed into.
        from aqualib.lesson.asking.typed import NotReadError, read

        unit = self._unit(system)
        alone = text.strip().removesuffix(label(unit)).rstrip()
        # A number alone, or with the words beside its box, is one in the box's unit.
        tries = ([(alone, "")] if alone[-1:].isdigit() else []) + [(text, unit)]
        for typed, meant in tries:
            with suppress(NotReadError):
                return read(typed, meant)
        raise self.refusal(text)

    def start_in(self, system: str) -> float:
        """Return the start in the slider's metric unit: a round number in the units shown."""
        factor, offset = self._line(system)
        if factor == 1.0:
            return self.start
        low, high, step, _ = self._ends(system)
        shown_start = round((factor * self.start + offset) / step) * step
        return _rounded((min(max(shown_start, low), high) - offset) / factor)

    def request(self, typed: Any, units: Any = None) -> str:
        """Return the sentence that asks for another number than the one that was typed."""
        system = units if isinstance(units, str) and units in UNIT_SETS else get_units()
        between = "between " + self._range_text(system).replace(" to ", " and ", 1)
        if isinstance(typed, int | float) and not isinstance(typed, bool):
            return f"B{between[1:]}, please; you typed {typed:g}."
        text = str(typed)
        text = text if len(text) <= LONGEST_ENTRY else f"{text[:LONGEST_ENTRY]}…"
        return f"A number {between}, please; you typed “{text}”."

    def not_used(self, typed: Any, units: Any = None) -> dict[str, str]:
        """Return an entry that cannot be used, and the words that ask for another."""
        return {"typed": str(typed)[:LONGEST_ENTRY], "words": self.request(typed, units)}

    def spec(self) -> dict[str, Any]:
        """Return what the page needs to build this control, in the units in force."""
        system = get_units()
        low, high, step, digits = self._ends(system)
        told = f"{self._range_text(system)} · {self.parameter.origin}"
        return {
            "kind": "slider",
            "label": self.name,
            "units": system,
            "unit": label(self._unit(system)),
            "low": low,
            "high": high,
            "step": step,
            "digits": digits,
            # That a range is assumed is told once for the whole panel.
            "about": told if self.parameter.is_cited else "",
        }

    def reading(self) -> dict[str, Any]:
        """Return the value as the page shows it: in the units in force, metric beside it."""
        system = get_units()
        factor, offset = self._line(system)
        other = self._unit(system) != self.unit
        metric = f"{number(self.value)} {label(self.unit)}" if other else ""
        return {"value": _rounded(factor * self.value + offset), "metric": metric}

    def _ends(self, system: str) -> tuple[float, float, float, int]:
        """Return the ends of the slider and its step in a unit set, and their digits."""
        factor, offset = self._line(system)
        step = self.step if factor == 1.0 else nice_step(self.step * factor)
        low = factor * self.parameter.low + offset
        high = factor * self.parameter.high + offset
        # Inside the range, and on a step.
        low, high = math.ceil(low / step - 1e-6) * step, math.floor(high / step + 1e-6) * step
        return _rounded(low), _rounded(high), step, max(0, -math.floor(math.log10(step) + 1e-9))

    def _range_text(self, system: str) -> str:
        low, high, _, digits = self._ends(system)
        ends = (_shortest(f"{end:.{digits}f}") for end in (low, high))
        return f"{' to '.join(ends)} {label(self._unit(system))}".strip()

    def _out_of_range(self, shown_value: float, system: str) -> ValidityError:
        """Return the refusal of an entry, in the units the learner typed it in."""
        value = f"{shown_value:g} {label(self._unit(system))}".strip()
        source = self.parameter.range.source
        return ValidityError(self.name, value, self._range_text(system), source, "is out of range")

    def _unit(self, system: str) -> str:
        return display_unit(self.unit, system)

    def _line(self, system: str) -> tuple[float, float]:
        unit = self._unit(system)
        return (1.0, 0.0) if unit == self.unit else line_to(self.unit, unit)


class Choice(HasTraits):
    """One of a few words."""

    value = Unicode()

    def __init__(
        self,
        name: str,
        words: dict[str, str],
        start: str,
        brings: Mapping[str, Mapping[str, float]] | None = None,
        shows: Mapping[str, Sequence[str]] | None = None,
    ) -> None:
        """Make a choice called `name`; `words` maps each value to what the learner reads.

        A kind has numbers of its own: `brings` maps a value to those that other controls of the
        panel take on when it is chosen, by their names; from there they move freely. `shows` maps
        a value to the controls it wants on the page, in their order; one that is named there
        stands on the page for no other value.
        """
        self.name = name
        self.words = words
        self.start = start
        self.brings = brings or {}
        self.shows = shows or {}
        super().__init__(value=start)

    @validate("value")
    def _known(self, proposal: dict[str, Any]) -> str:
        value = str(proposal["value"])
        if value not in self.words:
            raise self.refusal(value)
        return value

    @property
    def bare(self) -> str:
        """The word chosen."""
        return self.value

    def refusal(self, value: Any) -> ValidityError:
        """Return the refusal of what is none of the words."""
        valid = OneOf(tuple(self.words)).text
        return ValidityError(self.name, quoted(value), valid, "", "is not one of the choices")

    def take(self, shown_value: Any, _units: Any = None) -> None:
        """Set the value from what the page sent."""
        assign(self, shown_value)

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

    def refusal(self, value: Any) -> ValidityError:
        """Return the refusal of what is neither yes nor no."""
        why = "is neither True nor False"
        return ValidityError(self.name, quoted(value), YesNo().text, "", why)

    def take(self, shown_value: Any, _units: Any = None) -> None:
        """Set the value from what the page sent."""
        assign(self, shown_value)

    def spec(self) -> dict[str, Any]:
        """Return what the page needs to build this control."""
        return {"kind": "tick", "label": self.name, "about": ""}

    def reading(self) -> dict[str, Any]:
        """Return the value as the page shows it."""
        return {"value": self.value, "metric": ""}


Control = Slider | Choice | Tick


def assign(control: Control, value: Any) -> None:
    """Assign `control.value`, with the one kind of error whatever is wrong."""
    yes_or_no = isinstance(value, bool)  # to Python also the numbers 1 and 0
    match control:
        case Slider() if isinstance(value, Real) and not yes_or_no:
            control.value = _as_float(value)
        case Choice() if isinstance(value, str):
            control.value = value
        case Tick() if yes_or_no:
            control.value = value
        case _:
            raise control.refusal(value)


def _as_float(value: Any) -> float:
    """Return a number of any make, such as a fraction, as a float; one beyond floats as no end."""
    try:
        return float(value)
    except OverflowError:
        return math.inf if value > 0 else -math.inf


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


def note_on(controls: Iterable[Control]) -> str:
    """Return what holds for the sliders of a panel as a whole."""
    sliders = [control for control in controls if isinstance(control, Slider)]
    beyond = ", ".join(slider.beyond for slider in sliders if slider.beyond)
    at_ends = f" Your tank lies beyond some of them, which stand at their ends: {beyond}."
    return f"{ASSUMED if sliders else ''}{at_ends if beyond else ''}"


def start_of(control: Control) -> Any:
    """Return where a control opens, a round number in the units in force."""
    return control.start_in(get_units()) if isinstance(control, Slider) else control.start
