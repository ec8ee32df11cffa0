"""How fast nitrifiers grow, and what slows them: the equations behind a maturing filter."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import Amount, Number, Range, public


@public(returns="", sources=("AnthonisenEtAl1976",))
def nitrous_acid_fraction(
    ph: Annotated[Number, Range(4, 10)],
    temperature: Annotated[Amount, Range(0, 40, "degC")],
) -> Any:
    """X."""
    return 1.0 / (1.0 + 10.0**ph * np.exp(-2300.0 / temperature))
