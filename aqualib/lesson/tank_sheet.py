"""The sheet of the running tank: every lesson adds the line that it has worked out."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from aqualib.filtration.capture import (
    ClogRun,
    Pad,
    SettlingSpace,
    clog_run,
    pads_in_order,
    pads_loss,
    settling_space,
)
from aqualib.filtration.carbon import CarbonRun, carbon_run
from aqualib.filtration.hydraulics import Loss, PumpCurve, canister_loop, operating_point
from aqualib.filtration.media import media_bed
from aqualib.filtration.ultraviolet import delivered_fluence, tabled_inactivation, time_to_clear
from aqualib.filtration.ultraviolet.inactivation import inactivated_share
from aqualib.lesson.whole_filter_lines import cut_line, plan_line, stack_line
from aqualib.parameters import parameter
from aqualib.running_tank import running_tank
from aqualib.tank.load import ammonia_production, ammonia_rise, nitrate_rise
from aqualib.tank.maturation import Maturation, Scenario, simulate
from aqualib.tank.sizing import LIMITS, Carried, FilterSystem, what_it_carries
from aqualib.tank.upkeep import steady_peak
from aqualib.tank.volume import (
    displaced_by,
    gravel_displacement,
    rectangular_volume,
    true_water_volume,
)
from aqualib.units import Q, number, show
from aqualib.validity import OneOf, ValidityError, quoted
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.oxygen import saturation
from aqualib.water.properties import density

WEEK = 7.0


def tank_sheet(lesson: str) -> None:
    """Print what is known of the running tank up to this lesson, "00" to "15", a line each."""
    if lesson not in LINES:
        raise ValidityError("lesson", quoted(lesson), OneOf(tuple(LINES)).text, "", "is none")
    print("Our invented tank, so far:")
    for number_of, line in LINES.items():
        if number_of <= lesson:
            print(f"{number_of}  {line()}")


def of_row(name: str) -> Any:
    """Return the value of a row with its unit."""
    return parameter(name).quantity


def of_twin(name: str) -> Any:
    """Return a number of the marine twin with its unit."""
    value, unit = running_tank().marine[name], parameter(name).unit
    return Q(value, unit) if unit else value


def percent(name: str) -> float:
    """Return a row that is kept in percent as a share of one."""
    return parameter(name).bare


def box_volume() -> Any:
    """Return what the glass holds up to the water line."""
    return rectangular_volume(of_row("tank_length"), of_row("tank_width"), of_row("water_depth"))


def ammonia_made() -> Any:
    """Return the ammonia a day, as nitrogen, that the tank's food becomes."""
    return ammonia_production(of_row("tank_feed"), percent("food_protein"))


def nitrate_gain() -> Any:
    """Return by how much nitrate, as nitrate, rises in a day where all ammonia becomes it."""
    return nitrate_rise(ammonia_made(), of_row("tank_volume"))


def filter_floor() -> Any:
    """Return the floor of the round filter."""
    return math.pi / 4.0 * of_row("filter_width") ** 2


def pads() -> list[Pad]:
    """Return the pads of the filter, in the order of the water."""
    return pads_in_order(filter_floor(), of_row("filter_pad_depth"))


def pump() -> PumpCurve:
    """Return the pump, from the two numbers on its box."""
    return PumpCurve.from_limits(of_row("pump_rated_head"), of_row("pump_rated_flow"))


def plumbing() -> list[Loss]:
    """Return hose, bends and the canister's own parts."""
    rows = ("hose_bore", "hose_length", "hose_elbows", "tank_temperature")
    return [*canister_loop(*map(of_row, rows))]


def flow_when_due() -> Any:
    """Return the flow through pads that are half full."""
    warm = parameter("tank_temperature").bare
    dirty = pads_loss(pads(), warm, full=parameter("pad_deposit_limit").bare)
    return operating_point(pump(), [*plumbing(), dirty]).flow


def weeks_of_dirt() -> ClogRun:
    """Return half a year of the filter, from clean, with its stages in the usual order."""
    space: SettlingSpace = settling_space(filter_floor(), of_row("settling_height"))
    run: ClogRun = clog_run(
        [space, *pads()],
        pump(),
        plumbing(),
        production=of_row("solids_made"),
        volume=of_row("tank_volume"),
        duration=Q(parameter("filter_day").high, "day"),
        temperature=of_row("tank_temperature"),
    )
    return run


def start_up() -> Maturation:
    """Return the first weeks of the filter, seeded with a squeeze."""
    return simulate(
        Scenario(
            volume=of_row("tank_volume"),
            media_area=of_row("media_surface"),
            load=ammonia_made(),
            seed=of_row("seed_squeeze"),
            days=of_row("weeks_ahead"),
        )
    )


def carried(**twin: Any) -> Carried:
    """Return what the filter carries; `twin` is what differs from the fresh tank."""
    found: Carried = what_it_carries(FilterSystem(**twin))
    return found


def _weight() -> str:
    size = " × ".join(show(of_row(n)) for n in ("tank_length", "tank_width", "water_depth"))
    mass = density(of_row("tank_temperature"), of_row("tank_salinity")) * box_volume()
    return f"{size} of water weighs {show(mass.to('kg'))}."


def _water() -> str:
    floor = of_row("tank_length") * of_row("tank_width")
    rock = displaced_by(of_row("rock_mass"), of_row("granite_density"))
    gravel = gravel_displacement(floor, of_row("gravel_depth"))
    water = true_water_volume(box_volume(), gravel + rock)
    held = saturation(of_row("tank_temperature"), of_row("tank_salinity"))
    return (
        f"{show(water)} of it is water; at {show(of_row('tank_temperature'))} it can hold "
        f"{show((held * of_row('tank_volume')).to('g'))} of oxygen."
    )


def _food() -> str:
    made = ammonia_made()
    limits = total_ammonia_limits(
        of_row("tank_ph"), of_row("tank_temperature"), of_row("tank_salinity")
    )
    hours = (limits.chronic / ammonia_rise(made, of_row("tank_volume"))).to("h")
    return (
        f"{show(of_row('tank_feed'))} of food makes {show(made.to('mg/day'))} of ammonia nitrogen; "
        f"without a filter the long-term limit is passed after {show(hours, 2)}."
    )


def _ready() -> str:
    day = start_up().ready_day
    return f"Seeded with a squeeze of a ripe sponge, it is safe from about day {day:.0f}."


def _flow() -> str:
    box, flow = of_row("pump_rated_flow"), flow_when_due()
    return (
        f"The box says {show(box)}; {show(flow)} arrive when the pads are due, "
        f"{number(float(flow / box) * 100.0, 2)} % of it."
    )


def _pads() -> str:
    run = weeks_of_dirt()
    day = number(run.cleaning_due.m_as("day"), 2)
    return (
        f"Settling space, coarse, medium, fine: the {run.ended_by} pad is due first, on day {day}."
    )


def _surface() -> str:
    mass, kind = of_row("filter_media"), running_tank().media
    bed = media_bed(kind, mass)
    return (
        f"{show(mass)} of {kind} fill {show(bed.volume.best, 2)} and have "
        f"{show(bed.outer_area.best, 2)} of outer surface; the pads have "
        f"{show(of_row('pad_area'), 2)}."
    )


def _carried() -> str:
    one = carried()
    low, best, high = (show(end, 2) for end in one.feed)
    return (
        f"The filter carries {best} of food, from {low} to {high}; the "
        f"{LIMITS[one.limiting]} limits."
    )


def _twin() -> str:
    rock = of_twin("rock_mass")
    one = carried(
        salinity=of_twin("tank_salinity"), temperature=of_twin("tank_temperature"), rock_mass=rock
    )
    low, best, high = (show(end, 2) for end in one.feed)
    return (
        f"Its marine twin, with {show(rock)} of rock, carries {best}, from {low} to {high}; "
        f"it gets {show(of_twin('tank_feed'))}."
    )


def _lamp() -> str:
    volume, flow = of_row("tank_volume"), of_row("lamp_flow")
    dose = delivered_fluence(
        of_row("lamp_power"),
        flow,
        of_row("sleeve_radius"),
        of_row("shell_radius"),
        percent("water_transmittance"),
        of_row("lamp_hours"),
        percent("sleeve_light"),
    ).best
    share = inactivated_share(tabled_inactivation("green_water", dose))
    growth = of_row("green_water_growth")
    hours = time_to_clear(volume, flow, share, percent("cleared_share"), growth)
    return (
        f"Its lamp of {show(of_row('lamp_power'))} gives {show(dose, 2)} in one pass; "
        f"{show(of_row('cleared_share'))} of green-water algae are gone after {show(hours, 2)}."
    )


def carbon_in_tank() -> CarbonRun:
    """Return the days of a portion of carbon in the filter."""
    weekly = -math.log1p(-percent("weekly_change")) / WEEK
    run: CarbonRun = carbon_run(
        of_row("carbon_mass"),
        of_row("carbon_flow"),
        of_row("organics_made"),
        of_row("tank_volume"),
        duration=Q(parameter("carbon_day").high, "day"),
        initial=of_row("organics_at_start"),
        exchange=Q(weekly, "1/day"),
    )
    return run


def _carbon() -> str:
    day = number(carbon_in_tank().halved_on.m_as("day"), 2)
    return f"{show(of_row('carbon_mass'))} of carbon: half of its effect is gone by day {day}."


def _nitrate() -> str:
    every, share = of_row("change_interval"), percent("change_share")
    gain = (nitrate_gain() * every).to("mg/L")
    peak = steady_peak(gain, share, of_row("fill_nitrate"))
    return (
        f"{number(100.0 * share)} % of the water every {show(every)}: nitrate comes to "
        f"{show(peak)} in the long run (as nitrate)."
    )


def _tests() -> str:
    course = start_up()
    ammonia, nitrite = course.total_ammonia_nitrogen[-1], course.nitrite_nitrogen[-1]
    return (
        f"When it is ripe its tests should read no more than {show(ammonia, 2)} of ammonia and "
        f"{show(nitrite, 1)} of nitrite, as nitrogen."
    )


LINES: dict[str, Callable[[], str]] = {
    "00": _weight,
    "01": _water,
    "02": _food,
    "03": _ready,
    "04": _flow,
    "05": _pads,
    "06": _surface,
    "07": _carried,
    "08": _twin,
    "09": _lamp,
    "10": _carbon,
    "11": _nitrate,
    "12": _tests,
    "13": stack_line,
    "14": cut_line,
    "15": plan_line,
}
"""What each lesson adds, by its number."""
