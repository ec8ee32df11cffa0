"""What a panel's head sets for all panels: units, whose tank, and how large the text is."""

from __future__ import annotations

from typing import Any

from aqualib.lesson.drawing.style import get_text_size, set_text_size
from aqualib.lesson.whose_tank import TANKS, use_tank, whose_tank
from aqualib.units import UNIT_SETS, get_units, set_units


def settings_in_force() -> dict[str, str | bool]:
    """Return each setting as the page knows it."""
    return {
        "units": get_units(),
        "tank": whose_tank.value,
        "large": get_text_size() == "projector",
    }


def use_setting(setting: str, value: Any) -> None:
    """Use what the page chose; what no page of ours would send changes nothing."""
    if setting == "units" and isinstance(value, str) and value in UNIT_SETS:
        set_units(value)
    elif setting == "tank" and isinstance(value, str) and value in TANKS:
        use_tank(value)
    elif setting == "large" and isinstance(value, bool):
        set_text_size("projector" if value else "page")
