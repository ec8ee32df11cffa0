"""Controls among one another: which bring numbers to others, and which the page shows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from aqualib.lesson.controls import Choice, Control, Slider


def kinds_first(controls: Mapping[str, Control], names: Iterable[str]) -> list[str]:
    """Return names of controls, those before the rest that bring others' numbers."""
    return sorted(names, key=lambda name: not getattr(controls[name], "brings", None))


def on_page(controls: Mapping[str, Control]) -> list[str]:
    """Return the controls that the page shows: those that no choice owns, then those wanted."""
    choices = [c for c in controls.values() if isinstance(c, Choice)]
    owned = {name for c in choices for names in c.shows.values() for name in names}
    wanted = [name for c in choices for name in c.shows.get(c.value, ())]
    return [*(name for name in controls if name not in owned), *wanted]


def name_of(controls: Mapping[str, Control], control: Control) -> str:
    """Return the name by which a panel knows one of its controls."""
    return next(name for name, own in controls.items() if own is control)


def start_anew(controls: Mapping[str, Control], before: str, now: str) -> None:
    """Let sliders at the start of one unit set stand at the start of another."""
    sliders = [c for c in controls.values() if isinstance(c, Slider)]
    for control in sliders if before != now else ():
        if control.value == control.start_in(before):
            control.value = control.start_in(now)
