"""The panel: sliders around a pure function, a picture, and a sentence that says what it shows."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from copy import copy
from typing import Any, Self
from weakref import finalize

from aqualib.lesson.among_controls import kinds_first, name_of, on_page, start_anew
from aqualib.lesson.controls import Choice, Control, Slider, assign, note_on, start_of
from aqualib.lesson.drawing.picture import Chart, Picture, Result
from aqualib.lesson.drawing.style import text_size
from aqualib.lesson.on_page import RATIOS, WIDTHS, PanelView, is_size, let_go, weakly
from aqualib.lesson.on_show import OnShow
from aqualib.lesson.shared_settings import settings_in_force, use_setting
from aqualib.lesson.whose_tank import whose_tank
from aqualib.units import get_units, unit_set
from aqualib.validity import OneOf, ValidityError

_one_at_a_time = threading.RLock()
"""JupyterLab lets the page talk to a thread of its own, beside the one that runs the cells."""

_on_show = OnShow()
"""A panel belongs to those who hold it in Python, and to the pages that show it."""

NOT_USED = "— what was typed cannot be used"
LAST_PICTURE = "The picture still shows the last number that could be used."


class Panel:
    """Controls, a pure `compute`, a chart that draws its result and a sentence that describes it.

    `compute` is called with each control's value by name, sliders in SI base units.

    Moving a slider in the page and calling `set` do the same thing: they assign `control.value`.
    """

    def __init__(
        self,
        title: str,
        controls: Mapping[str, Control],
        compute: Callable[..., Result],
        chart: Chart[Result],
        describe: Callable[[Result], str],
        answer: Callable[[Result], tuple[str, str]],
        refine: Callable[[Result], Result] | None = None,
    ) -> None:
        """Make a panel.

        `answer` gives the one highlighted number as (what it is, the number). `refine` adds to a
        result what takes longer, such as a band: at once for code, and when the hand rests.
        """
        self.title = title
        self.describe = describe
        self.answer = answer
        self.refine = refine
        self._in_hand = False
        self._chart = chart  # kept as it came: what was drawn hangs on the copies
        self.picture = Picture(copy(chart))
        self.result: Any = None
        self.sentence = ""
        self.updates = 0
        self._held = False
        self._closed = False
        self._problem: Exception | None = None
        self._not_used: dict[str, dict[str, str]] = {}
        """By its control, an entry that could not be used, and the words that ask for another."""
        width, height = (round(100 * inches) for inches in chart.size)
        self.view = PanelView(title=title, width=width, height=height)
        # Nothing that the panel holds may hold the panel: it goes when its last reader goes.
        self.let_go = self._at_the_end()
        self.view.on_msg(weakly(self._on_message))
        unit_set.follow(self._on_setting)
        text_size.follow(self._on_setting)
        whose_tank.follow(self._on_tank)
        self.open_with(controls, compute)

    def open_with(self, controls: Mapping[str, Control], compute: Callable[..., Any]) -> None:
        """Open on these controls and this computation, in place of those before."""
        with _one_at_a_time, self.view.hold_sync():
            self.controls = dict(controls)
            self.compute = compute
            on_value = weakly(self._on_value)
            for control in self.controls.values():
                control.observe(on_value, "value")
            self._round_starts("metric")
            self._show_controls()
            self.update()

    @property
    def values(self) -> dict[str, Any]:
        """The controls' values, sliders in their metric units."""
        return {name: control.value for name, control in self.controls.items()}

    def set(self, **values: Any) -> str:
        """Set controls by name, as a hand on the slider would, and return the sentence.

        Numbers are in the control's metric unit. A value out of range is refused, and then
        nothing changes. What a choice brings gives way to what is set beside it.
        """
        unknown = set(values) - set(self.controls)
        if unknown:
            names = OneOf(tuple(self.controls)).text
            why = "is not a control of this panel"
            raise ValidityError("control", ", ".join(sorted(unknown)), names, "", why)
        before = self.values
        with self._one_update():
            try:
                for name in kinds_first(self.controls, values):
                    assign(self.controls[name], values[name])
                    self._not_used.pop(name, None)
            except ValidityError:
                for name in kinds_first(self.controls, before):
                    self.controls[name].value = before[name]
                raise
        return self.sentence

    def reset(self) -> str:
        """Return every control to the lesson's start, a round number in the units shown."""
        return self.set(**{name: start_of(control) for name, control in self.controls.items()})

    def replay(self, **values: Any) -> str:
        """Go back to the start, set controls as `set` does, and return the highlighted answer."""
        with self._one_update():
            self._not_used.clear()
            for name in kinds_first(self.controls, self.controls):
                self.controls[name].value = self.controls[name].start
            self.set(**values)
        return " ".join(self.view.answer)

    def close(self) -> None:
        """Take the panel off every page and let it go."""
        with _one_at_a_time:
            self._closed = True
            _on_show.forget(self)
            # Python may keep a closed panel, as the notebook's `Out` does: then it is a light one.
            self.let_go()
            self.picture = Picture(copy(self._chart))
            self.view.png = b""

    def update(self) -> None:
        """Compute, draw and describe; an error is shown in the panel in words, then raised."""
        with _one_at_a_time, self.view.hold_sync():
            self.updates += 1
            if [spec["name"] for spec in self.view.controls] != on_page(self.controls):
                self._show_controls()
            self.view.readings = {n: c.reading() for n, c in self.controls.items()}
            try:
                self.result = self.compute(**{n: c.bare for n, c in self.controls.items()})
                if self.refine is not None and not self._in_hand:
                    self.result = self.refine(self.result)
                png = self.picture.png(self.result)
                self.sentence = self.describe(self.result)
                answer = list(self.answer(self.result))
            except Exception as problem:
                self._problem = problem
                self.view.error = str(problem) or type(problem).__name__
                raise
            self.view.png = png
            self.view.sentence = self.sentence
            self.view.answer = answer
            self.view.error = ""
            self._tell_not_used()
            self.view.rough = self.refine is not None and self._in_hand

    def _repr_mimebundle_(self, **_: Any) -> tuple[dict[str, Any], dict[str, Any]]:
        with _one_at_a_time:
            if self._closed:  # a cell shows it again
                self._closed = False
                self.let_go = self._at_the_end()
                self._on_setting()
            self.view.show()
            _on_show.put(self)
        return self.view.bundle()

    def _at_the_end(self) -> finalize[..., Self]:
        """Return what lets go of the view and the pixels, when called or when the panel is gone."""
        end = finalize(self, let_go, self.view, self.picture)
        end.atexit = False  # a page keeps what it shows when the kernel ends
        return end

    def _tell_not_used(self) -> None:
        """Let no verdict stand beside an entry that it does not rest on."""
        self._not_used = {
            n: self._not_used[n] for n in on_page(self.controls) if n in self._not_used
        }
        self.view.refused = dict(self._not_used)
        if self._not_used:
            names = ", ".join(self.controls[name].name for name in self._not_used)
            self.view.answer = [f"{names}:", NOT_USED]
            self.view.sentence = LAST_PICTURE

    def _on_value(self, change: Any) -> None:
        self._not_used = {
            n: e for n, e in self._not_used.items() if n != name_of(self.controls, change.owner)
        }
        self._bring(change.owner)
        if not self._held:
            self.update()

    def _bring(self, control: Control) -> None:
        """Give other controls the numbers that a choice brings, before anything is drawn."""
        brought = control.brings.get(control.value, {}) if isinstance(control, Choice) else {}
        with self._holding():
            for name, value in brought.items():
                assign(self.controls[name], value)
                self._not_used.pop(name, None)

    @contextmanager
    def _holding(self) -> Iterator[None]:
        """Let controls change without an update."""
        held, self._held = self._held, True
        try:
            yield
        finally:
            self._held = held

    @contextmanager
    def _one_update(self) -> Iterator[None]:
        """Let several controls change and update once, and only if something did change."""
        with _one_at_a_time:
            if self._held:
                yield
                return
            before = self.values
            with self._holding():
                yield
            if self.values != before or self.view.error or self.view.refused != self._not_used:
                self.update()

    def _on_setting(self) -> None:
        if self._closed:
            return
        if self.view.units != get_units():
            self._not_used.clear()  # the boxes are built anew
        self._round_starts(self.view.units)
        self._show_controls()
        self.update()

    def _on_tank(self) -> None:
        """Open anew, on the tank that is now in use."""
        if not self._closed:
            self.reset()
            # The sliders may stand as before, and what is not on them be another tank's.
            self._on_setting()

    def _round_starts(self, before: str) -> None:
        """Let sliders at their start stand at the start of the unit set in force."""
        with self._holding():
            start_anew(self.controls, before, get_units())

    def _show_controls(self) -> None:
        for setting, value in settings_in_force().items():
            setattr(self.view, setting, value)
        self.view.note = note_on(self.controls.values())
        self.view.controls = [
            {"name": n, **self.controls[n].spec()} for n in on_page(self.controls)
        ]

    def _on_message(self, _view: Any, message: Any, _buffers: Any) -> None:
        """Do what the page asks; `done` tells it that the answer is there."""
        if not isinstance(message, dict):
            return  # not from a panel's page
        with _one_at_a_time, self.view.hold_sync():
            try:
                self._obey(message)
            except ValidityError as refused:
                if refused is self._problem:
                    raise  # not a refused entry but a fault of the computation
                self._ask_again(message, refused)
                self.view.readings = {n: c.reading() for n, c in self.controls.items()}
            finally:
                self.view.answered(message.get("turn"))

    def _ask_again(self, message: dict[str, Any], refused: ValidityError) -> None:
        """Tell the page, beside the control, what it may be set to."""
        name = message.get("name")
        control = self.controls.get(name) if isinstance(name, str) else None
        if isinstance(control, Slider) and refused.parameter == control.name:
            self._not_used[str(name)] = control.not_used(message.get("value"), message.get("units"))
            self._tell_not_used()
        else:
            self.view.error = str(refused)

    def _obey(self, message: dict[str, Any]) -> None:
        """Do what a message asks; what no page of ours would send changes nothing."""
        value, name = message.get("value"), message.get("name")
        match message.get("do"):
            case "set" if isinstance(name, str) and name in self.controls:
                self._set_by_hand(self.controls[name], value, message.get("units"))
            case "refine":
                self.update()
            case "reset":
                self.reset()
            case "units" | "tank" | "large" as setting:
                use_setting(setting, value)
            case "fit":
                self._fit(value, message.get("ratio"))
            case "here" if isinstance(name, str):
                _on_show.seen(self, name)
            case "gone" if isinstance(name, str):
                _on_show.gone(self, name)

    def _fit(self, width: Any, ratio: Any) -> None:
        """Draw the picture as large as the page shows it; what no page of ours sends is left."""
        if is_size(width, WIDTHS) and is_size(ratio, RATIOS):
            self.picture.fit(width, ratio)
            if not self.view.error:
                self.view.png = self.picture.png(self.result)

    def _set_by_hand(self, control: Control, value: Any, units: Any) -> None:
        """Set one control to what the page sent, in the unit set in which it was made."""
        self._in_hand = True
        try:
            control.take(value, units)
            self._not_used.pop(name_of(self.controls, control), None)
            # The value that is there was entered again.
            if self.view.error or self.view.refused != self._not_used:
                self.update()
        finally:
            self._in_hand = False
