"""Load: what do the animals and their food put into the water?"""

from __future__ import annotations

from aqualib.tank.load.after_a_meal import AfterMeal, ammonia_after_meal
from aqualib.tank.load.nitrogen import (
    NitrogenBudget,
    ammonia_production,
    ammonia_rise,
    feed_nitrogen,
    nitrate_rise,
    nitrogen_budget,
    time_to_reach,
)
from aqualib.tank.load.stock import (
    OxygenRoads,
    Stocking,
    StockWastes,
    daily_feed,
    fasting_oxygen,
    oxygen_roads,
    stock_wastes,
    stocking,
)
from aqualib.tank.load.wastes import (
    PhosphorusLoad,
    carbon_dioxide_production,
    oxygen_consumption,
    phosphorus_production,
    solids_production,
)
