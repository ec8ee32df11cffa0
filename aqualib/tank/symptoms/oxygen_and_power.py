"""Fish gasp at dawn, or the power was off: how much oxygen is there, and how long does it last?"""

from __future__ import annotations

from aqualib.parameters import parameter
from aqualib.tank.sizing import fish_oxygen_per_feed, oxygen_needs, oxygen_through_surface
from aqualib.tank.sizing.oxygen import OxygenNeeds
from aqualib.tank.symptoms.old_tank_trap import Water
from aqualib.tank.symptoms.questions import Figure, Step, Worked, bare_of, line_of
from aqualib.tank.symptoms.what_comes_first import ammonia_first
from aqualib.tank.volume import cylinder_volume
from aqualib.water.nitrite_limits import safe_nitrite
from aqualib.water.oxygen import saturation

TRAYS = 3
"""Of pads, in the filter of the running tank."""


def gasping(
    oxygen: float,
    nitrite: float,
    chloride: float,
    feed: float,
    volume: float,
    water: Water,
) -> Worked:
    """Air first, then ammonia and nitrite, which harm gills, and last sick gills."""
    first, figures = ammonia_first(water)
    warmth, salt = water.temperature, water.salinity
    full = float(saturation.bare(warmth, salt))
    needs = _needs(warmth)
    exchange = parameter("surface_exchange")
    still, rippled = (
        float(oxygen_through_surface.bare(volume, warmth, oxygen, exchange.to_base(rate), salt))
        for rate in (exchange.low, exchange.value)
    )
    nitrite_days = bare_of("nitrite_short_over_long") * float(safe_nitrite.bare(salt, chloride))
    figures |= {
        "oxygen": Figure(oxygen, "mg/L"),
        "least": line_of("fish_oxygen_least"),
        "full": Figure(full, "mg/L"),
        "kept": Figure(bare_of("oxygen_kept") * full, "mg/L"),
        "used": Figure((needs.fish + needs.dirt) * feed, "mg/h"),
        "still": Figure(max(still, 0.0), "mg/h"),
        "brought": Figure(max(rippled, 0.0), "mg/h"),
        "nitrite": Figure(nitrite, "mg/L"),
        "nitrite_days": Figure(nitrite_days, "mg/L"),
    }
    steps = (
        Step(figures["oxygen"], figures["least"], below=True),
        *first,
        Step(figures["nitrite"], figures["nitrite_days"]),
        Step(figures["oxygen"], figures["kept"], below=True),
    )
    return Worked(steps, figures)


def power_cut(
    hours_stood: float,
    temperature: float,
    feed: float,
    volume: float,
    salinity: float,
    filter_inside: float,
) -> Worked:
    """Say whether the fish come first, and whether the filter may start as it is.

    The tank is taken to start with the oxygen of a night, the share of the row `oxygen_kept`.
    """
    full = float(saturation.bare(temperature, salinity))
    start = bare_of("oxygen_kept") * full
    needs = _needs(temperature)
    spare = max(start - bare_of("fish_oxygen_least"), 0.0) * volume
    early, late = filter_hours(feed, temperature, salinity, filter_inside)
    figures = {
        "stood": Figure(hours_stood, "h"),
        "tank": Figure(spare / ((needs.fish + needs.dirt) * feed), "h"),
        "start": Figure(start, "mg/L"),
        "early": Figure(early, "h"),
        "late": Figure(late, "h"),
        "sulphide": line_of("sulphide_for_weeks"),
        "least": line_of("fish_oxygen_least"),
    }
    steps = tuple(Step(figures["stood"], figures[name]) for name in ("tank", "late", "early"))
    return Worked(steps, figures)


def filter_hours(
    feed: float, temperature: float, salinity: float, inside: float
) -> tuple[float, float]:
    """Return after how long the closed filter is without oxygen, in s: if all work, and if few do.

    All are the bacteria on dirt and the nitrifiers; few are those on dirt alone, since the ammonia
    in there is soon gone. It is the sum of lesson 02.
    """
    needs = _needs(temperature)
    held = inside * float(saturation.bare(temperature, salinity))
    most, least = needs.dirt + needs.nitrification, needs.dirt
    return held / (most * feed), held / (least * feed)


def filter_litres() -> float:
    """Return the room inside the running tank's filter, in m³."""
    height = bare_of("settling_height") + TRAYS * bare_of("filter_pad_depth")
    body = float(cylinder_volume.bare(bare_of("filter_width"), height))
    return body + bare_of("filter_media") / bare_of("media_bulk_density")


def _needs(temperature: float) -> OxygenNeeds:
    """Return the oxygen for each gram of food, for the fish of the running tank."""
    fish = fish_oxygen_per_feed.bare(bare_of("fish_weight"), temperature)
    return OxygenNeeds(*(float(x) for x in oxygen_needs.bare(bare_of("food_protein"), fish)))
