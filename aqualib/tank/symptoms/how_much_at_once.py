"""How much of the water may be changed at once, where nothing in it is poisonous tonight?"""

from __future__ import annotations

from aqualib.tank.symptoms.old_tank_trap import (
    Water,
    after_change,
    as_it_is,
    harms,
    mixed,
    safe_share,
)
from aqualib.tank.symptoms.questions import Figure, bare_of


class Share(Figure):
    """A share of the water to change tonight, as words have it: a number, or none."""

    __slots__ = ()

    @property
    def text(self) -> str:
        """The share as a reader sees it before "of the water"."""
        return super().text if self.bare > 0.0 else "none"


def most_at_once(water: Water) -> float:
    """Return the largest share that moves the alkalinity by no more than its step of a day.

    Nobody is in need, so no animal has to bear a jump of pH and hardness for a change of water.
    """
    most, step = bare_of("tonight_most_changed"), bare_of("alkalinity_step")
    gap = abs(water.tap_alkalinity - water.alkalinity)
    return most if most * gap <= step else step / gap


def calm_share(water: Water, wanted: float) -> float:
    """Return the share of a change that is not pressing: no jump, and no ammonia over its limit.

    There is none where each small change would lift the pH more than it thins the ammonia: then
    the water is left as it is.
    """
    most, before = most_at_once(water), as_it_is(water)
    tried = safe_share(water, min(wanted, most)), most
    calm = (x for x in tried if x <= most and not harms(before, after_change(water, x)))
    return next(calm, 0.0)


def in_small_steps(water: Water, wanted: float) -> dict[str, Figure]:
    """Return the share to change tonight, the most of any day, and the jump that half would be."""
    share = calm_share(water, wanted)
    return {
        "part": Share(share, "percent"),
        "at_once": Figure(most_at_once(water), "percent"),
        "mixed": Figure(mixed(water, bare_of("tonight_most_changed")), "mg/L"),
        "brings": Figure(mixed(water, share), "mg/L"),
    }
