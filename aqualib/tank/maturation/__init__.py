"""Maturation: when is a new filter safe, and what speeds or slows it?"""

from __future__ import annotations

from aqualib.tank.maturation.doses_that_harm import what_not_to_dose
from aqualib.tank.maturation.forecast import Bands, bands
from aqualib.tank.maturation.influence import sensitivity
from aqualib.tank.maturation.kinetics import (
    growth_at_temperature,
    monod_growth,
    nitrous_acid_fraction,
    share_of_growth,
)
from aqualib.tank.maturation.lamp import start_with_lamp
from aqualib.tank.maturation.run import Maturation, simulate
from aqualib.tank.maturation.scenario import (
    Binder,
    Buffer,
    Cleaning,
    Dose,
    Feeding,
    PowerCut,
    Scenario,
    Seeding,
    Stock,
    Temperature,
    Ultraviolet,
    WaterChange,
    repeat,
)
from aqualib.tank.maturation.start_up import (
    ammonia_at_rest,
    doubling_time,
    head_start,
    lowest_substrate,
    nitrite_peak,
)
from aqualib.tank.maturation.studies import study
