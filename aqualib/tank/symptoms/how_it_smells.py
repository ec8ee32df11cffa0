"""Of rotten eggs or of earth: where does the smell come from?"""

from __future__ import annotations

from aqualib.tank.load import solids_production
from aqualib.tank.symptoms.oxygen_and_power import filter_hours
from aqualib.tank.symptoms.questions import Figure, Step, Worked, bare_of, line_of
from aqualib.tank.upkeep import changes_to_reach

A_TENTH = 0.1
"""Of the smell that may remain when it is called thinned."""
LEAST_CHANGE = 1e-3
"""A share that stands for none, so that a count of changes can be told."""


def eggs(
    hours_stood: float,
    days_since_cleaning: float,
    gravel_depth: float,
    feed: float,
    temperature: float,
) -> Worked:
    """Tell a filter that stood from one full of old dirt, and from the ground."""
    early, late = filter_hours(feed, temperature)
    dirt = float(solids_production.bare(feed)) * days_since_cleaning
    figures = {
        "stood": Figure(hours_stood, "h"),
        "early": Figure(early, "h"),
        "late": Figure(late, "h"),
        "sulphide": line_of("sulphide_for_weeks"),
        "days": Figure(days_since_cleaning, "day"),
        "rule": Figure(bare_of("filter_cleaning"), "day"),
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


def earth(days_since_cleaning: float, weekly_change: float) -> Worked:
    """Tell old dirt from old water, and both from what grows on the glass."""
    share = max(weekly_change, LEAST_CHANGE)
    figures = {
        "days": Figure(days_since_cleaning, "day"),
        "rule": Figure(bare_of("filter_cleaning"), "day"),
        "change": Figure(weekly_change, "percent"),
        "least": line_of("least_weekly_change"),
        "changes": Figure(float(changes_to_reach.bare(A_TENTH, share).whole)),
        "fewer": Figure(
            float(changes_to_reach.bare(A_TENTH, bare_of("tonight_most_changed")).whole)
        ),
    }
    steps = (
        Step(figures["days"], figures["rule"]),
        Step(figures["change"], figures["least"], below=True),
    )
    return Worked(steps, figures)
