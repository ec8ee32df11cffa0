"""Aquarium filtration, worked out in the open: cited equations and lessons with sliders.

The rooms, from the bottom up: units and sources, `water`, `filtration`, `tank`, `lesson`.
Nothing is loaded until it is used, so `import aqualib` costs next to nothing.
"""

from __future__ import annotations

import importlib
from types import ModuleType

__version__ = "0.2.0"

ROOMS = (
    "arguments",
    "checks",
    "docstrings",
    "draws",
    "edge",
    "filtration",
    "lesson",
    "parameters",
    "records",
    "sources",
    "tank",
    "units",
    "validity",
    "water",
)

__all__ = ["__version__", *ROOMS]  # noqa: PLE0604


def __getattr__(name: str) -> ModuleType:
    if name in ROOMS:
        return importlib.import_module(f"{__name__}.{name}")
    message = f"module {__name__!r} has no attribute {name!r}"
    raise AttributeError(message)


def __dir__() -> list[str]:
    return sorted(__all__)
