"""Sizing: what does a filter carry, and what does a tank need?"""

from __future__ import annotations

from aqualib.tank.sizing.audit import NitrateAudit, RuleAudit, audit_rule, nitrate_audit
from aqualib.tank.sizing.carries import LIMITS, Carried, what_it_carries
from aqualib.tank.sizing.flow_past import ammonia_removed, required_area, steady_ammonia
from aqualib.tank.sizing.food_limits import (
    feed_for_ammonia,
    feed_for_dirt,
    feed_for_filter_oxygen,
    feed_for_tank_oxygen,
    nitrate_removed,
    rock_area,
)
from aqualib.tank.sizing.needs import MediaNeeded, RequiredMedia, required_media, what_it_needs
from aqualib.tank.sizing.oxygen import (
    OxygenNeeds,
    fish_oxygen_per_feed,
    oxygen_by_flow,
    oxygen_needs,
    oxygen_through_surface,
    surface_exchange_rate,
)
from aqualib.tank.sizing.system import FilterSystem
