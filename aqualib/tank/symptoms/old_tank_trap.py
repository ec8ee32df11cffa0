"""Would new water poison this tank, because it lifts the pH of water that holds ammonia?"""

from __future__ import annotations

from aqualib.tank.symptoms.how_it_looks import printed
from aqualib.tank.symptoms.questions import Figure, Step, bare_of
from aqualib.water.ammonia import total_ammonia_limits, unionised_ammonia_nitrogen
from aqualib.water.carbonate import ph_at_equilibrium


def trap(
    ammonia: float,
    ph: float,
    alkalinity: float,
    tap_alkalinity: float,
    temperature: float,
    salinity: float,
) -> tuple[Step, dict[str, Figure]]:
    """Return the question whether half new water is a trap, and the numbers before and after.

    It is one where what is left is above the long-term limit at the new pH, and the poisonous part
    has grown by more than the row `trap_ratio`. The mix is taken to stand in the air of a room.
    """
    room_air, half = bare_of("room_carbon_dioxide"), bare_of("tonight_most_changed")
    mixed = alkalinity + half * (tap_alkalinity - alkalinity)
    lifted = float(ph_at_equilibrium.bare(mixed, temperature, salinity, room_air))
    left = Figure((1.0 - half) * ammonia, "mg/L")
    now, then = (
        harmful(*water, temperature, salinity) for water in ((ammonia, ph), (left.bare, lifted))
    )
    limit = chronic(lifted, temperature, salinity)
    worse = then.bare > bare_of("trap_ratio") * now.bare
    # A change that hardly makes the water worse is no trap, however much ammonia it leaves.
    line = limit if worse else Figure(max(left.bare, limit.bare), "mg/L")
    figures = {
        "half": Figure(half, "percent"),
        "tenth": Figure(bare_of("trap_change"), "percent"),
        "lifted": Figure(lifted),
        "left": left,
        "harmful": now,
        "harmful_then": then,
        "limit_then": limit,
    }
    return Step(left, line), figures


def chronic(ph: float, temperature: float, salinity: float) -> Figure:
    """Return the long-term limit of total ammonia, as nitrogen."""
    limits = total_ammonia_limits.bare(printed(ph), temperature, salinity)
    return Figure(float(limits.chronic), "mg/L")


def harmful(ammonia: float, ph: float, temperature: float, salinity: float) -> Figure:
    """Return the un-ionised ammonia, as nitrogen."""
    poison = unionised_ammonia_nitrogen.bare(ammonia, ph, temperature, salinity)
    return Figure(float(poison), "mg/L")
