"""What a plan says of water beyond what was measured: below pH 6.5, and above 30 °C."""

from __future__ import annotations

from collections.abc import Iterator

from aqualib.filtration.biofilm import acid_share, still_warms
from aqualib.lesson.handout.layers import told
from aqualib.parameters import parameter
from aqualib.tank.load.stock import FISH_MEASURED
from aqualib.tank.plan import FilterPlan
from aqualib.tank.plan.readings import is_sour
from aqualib.units import number, shown
from aqualib.water.ammonia import PRINTED_PH, PRINTED_WARMTH
from aqualib.water.oxygen import saturation

LESSON_14 = "lesson 14, “the pH sinks”"


def is_hot(plan: FilterPlan) -> bool:
    """Return whether the water is warmer than warmth is taken to help."""
    return plan.whole.temperature > float(still_warms(plan.whole.temperature))


def beyond_words(plan: FilterPlan) -> Iterator[tuple[str, str]]:
    """Give what holds in sour water and in hot, each with its name; nothing in other water."""
    if is_sour(plan.whole):
        yield "Sour water", _sour_words(plan.whole.ph)
    if is_hot(plan):
        yield "Hot water", _hot_words(plan)


def beyond_assumed(plan: FilterPlan) -> Iterator[tuple[str, str]]:
    """Give what was assumed for such water, each with its name."""
    if is_sour(plan.whole):
        row = parameter("film_acid_loss")
        low, best, high = _percents(row.low, row.value, row.high)
        words = (
            f"little has been measured, and it disagrees: {best} % less work for each unit of pH "
            f"({low} to {high} %); ammonia limits are those of pH {PRINTED_PH.low:g}."
        )
        yield f"Below pH {PRINTED_PH.low:g}", words
    if is_hot(plan):
        warmest, fish = _warmest(), shown(FISH_MEASURED.high, FISH_MEASURED.unit)
        words = (
            f"no part carries more than at {warmest}; ammonia limits fall on, printed up to "
            f"{shown(PRINTED_WARMTH.high, PRINTED_WARMTH.unit)}; fish were measured to {fish}."
        )
        yield f"Above {warmest}", words


def _sour_words(ph: float) -> str:
    row = parameter("film_acid_loss")
    most, best, least = (float(acid_share.bare(ph, x)) for x in (row.low, row.value, row.high))
    best_share, low, high = _percents(best, least, most)
    return (
        f"at pH {number(ph)} bacteria are taken to do {best_share} % of their work ({low} to "
        f"{high} %): feed less, test weekly. Ammonia is mostly mild ammonium here, and turns to "
        "poison as the pH rises: never lift it at a stroke, by new water, soda or a burst of air. "
        f"Test ammonia, and the pH of tank and tap; go slowly ({LESSON_14})."
    )


def _hot_words(plan: FilterPlan) -> str:
    whole = plan.whole
    here, warmest = told(whole.temperature, "degC", 3), _warmest()
    full = told(float(saturation.bare(whole.temperature, whole.salinity)), "mg/L")
    # Where air would lift the pH of water that holds ammonia, the alarm says what to do instead.
    moving = "" if plan.is_trapped else ": keep the surface moving day and night"
    return (
        f"at {here} bacteria are taken to work as at {warmest}; oxygen and breathing are those of "
        f"{here}. It holds {full} of oxygen at most{moving}. More of its ammonia is poison, and "
        "the limit falls on."
    )


def _warmest() -> str:
    row = parameter("film_warmest")
    return shown(row.value, row.unit)


def _percents(*shares: float) -> tuple[str, ...]:
    return tuple(number(100.0 * share, 2) for share in shares)
