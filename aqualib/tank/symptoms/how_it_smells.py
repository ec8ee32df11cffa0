"""Of rotten eggs or of earth: where does the smell come from?"""

from __future__ import annotations

from aqualib.parameters import parameter
from aqualib.tank.load import solids_production
from aqualib.tank.symptoms.how_it_looks import changes_to_thin
from aqualib.tank.symptoms.how_much_at_once import in_small_steps
from aqualib.tank.symptoms.old_tank_trap import Water
from aqualib.tank.symptoms.oxygen_and_power import filter_hours
from aqualib.tank.symptoms.questions import Figure, Step, Worked, bare_of, line_of
from aqualib.tank.symptoms.what_comes_first import ammonia_first


def eggs(
    hours_stood: float,
    days_since_cleaning: float,
    gravel_depth: float,
    feed: float,
    temperature: float,
    salinity: float,
    filter_inside: float,
) -> Worked:
    """Tell a filter that stood from one full of old dirt, and from the ground."""
    early, late = filter_hours(feed, temperature, salinity, filter_inside)
    dirt = float(solids_production.bare(feed)) * days_since_cleaning
    figures = {
        "stood": Figure(hours_stood, "h"),
        "early": Figure(early, "h"),
        "late": Figure(late, "h"),
        "sulphide": line_of("sulphide_for_weeks"),
        "days": Figure(days_since_cleaning, "day"),
        "rule": longest_uncleaned(),
        "dirt": Figure(dirt, "g"),
        "holds": line_of("dirt_until_cleaning"),
        "gravel": Figure(gravel_depth, "cm"),
        "deep": line_of("deep_gravel"),
    }
    steps = (
        Step(figures["stood"], figures["late"]),
        Step(figures["days"], figures["rule"]),
        Step(figures["gravel"], figures["deep"]),
    )
    return Worked(steps, figures)


def earth(
    days_since_cleaning: float,
    weekly_change: float,
    water: Water,
) -> Worked:
    """Ammonia first; then tell old dirt from old water, and both from what grows on the glass."""
    first, figures = ammonia_first(water)
    figures |= {
        "days": Figure(days_since_cleaning, "day"),
        "rule": longest_uncleaned(),
        "change": Figure(weekly_change, "percent"),
        "least": line_of("least_weekly_change"),
        "fewer": changes_to_thin(water),
        **in_small_steps(water, bare_of("change_share")),
    }
    steps = (
        *first,
        Step(figures["days"], figures["rule"]),
        Step(figures["change"], figures["least"], below=True),
    )
    return Worked(steps, figures)


def longest_uncleaned() -> Figure:
    """Return the days after which any filter is due, those at which a plan's calendar ends too."""
    row = parameter("filter_cleaning")
    return Figure(row.to_base(row.high), "day")
