"""Weak flow, air, a rattle, a leak, a film on top: which part of the filter is it?"""

from __future__ import annotations

import math
from functools import lru_cache

from aqualib.filtration.capture import pads_in_order, pads_loss
from aqualib.filtration.hydraulics import (
    CanisterLoop,
    Loss,
    PumpCurve,
    canister_loop,
    fitting_head_loss,
    operating_point,
)
from aqualib.parameters import parameter
from aqualib.tank.symptoms.oxygen_and_power import filter_litres
from aqualib.tank.symptoms.questions import Figure, Step, Worked, bare_of, line_of
from aqualib.tank.upkeep import evaporation
from aqualib.water.oxygen import saturation, transfer_coefficient

DRY = 0.0


def weak_flow(
    flow: float, flow_without_pads: float, rated_flow: float, rated_head: float, bore: float
) -> Worked:
    """Doubt readings that cannot be; then set them against what clean pads should let through."""
    clean = clean_flow(rated_flow, rated_head, bore)
    good, hardly = (bare_of(share) * clean for share in ("flow_regained", "hardly_any_flow"))
    given = float(PumpCurve(rated_head, rated_flow).bare(min(flow_without_pads, rated_flow)))
    known = sum(float(part.bare(flow_without_pads)) for part in plumbing(bore))
    one = float(fitting_head_loss.bare(flow_without_pads, bore, 1.0))
    figures = {
        "flow": Figure(flow, "L/h"),
        "without": Figure(flow_without_pads, "L/h"),
        "bucket": Figure(max(flow, flow_without_pads), "L/h"),
        "box": Figure(rated_flow, "L/h"),
        "clean": Figure(clean, "L/h"),
        "good": Figure(good, "L/h"),
        "hardly": Figure(hardly, "L/h"),
        # Pads only ever take flow away; a bucket errs by no more than the share that is good.
        "backed": Figure(bare_of("flow_regained") * flow, "L/h"),
        "given": Figure(given, "m"),
        "known": Figure(known, "m"),
        "unknown": Figure(max(given - known, 0.0), "m"),
        "fittings": Figure(max(given - known, 0.0) / one),
    }
    steps = (
        Step(figures["bucket"], figures["box"]),
        Step(figures["without"], figures["backed"], below=True),
        Step(figures["flow"], figures["good"]),
        Step(figures["without"], figures["good"]),
        Step(figures["without"], figures["hardly"], below=True),
    )
    return Worked(steps, figures)


def air(
    hours_since_opened: float, flow: float, rated_flow: float, rated_head: float, bore: float
) -> Worked:
    """Tell air that was shut in from air that is drawn in."""
    clean = clean_flow(rated_flow, rated_head, bore)
    figures = {
        "opened": Figure(hours_since_opened, "h"),
        "gone_by": line_of("air_gone_by"),
        **_flows(flow, clean),
        "litres": Figure(filter_litres(), "L"),
        "renewed": Figure(filter_litres() / flow, "min"),
    }
    steps = (
        Step(figures["opened"], figures["gone_by"], below=True),
        Step(figures["flow"], figures["weak"], below=True),
    )
    return Worked(steps, figures)


def _flows(flow: float, clean: float) -> dict[str, Figure]:
    """Return a flow, what clean pads should let through, and the share of it that is weak."""
    weak = Figure(bare_of("least_flow_share") * clean, "L/h")
    return {"flow": Figure(flow, "L/h"), "clean": Figure(clean, "L/h"), "weak": weak}


def rattle(
    flow: float, hours_since_opened: float, rated_flow: float, rated_head: float, bore: float
) -> Worked:
    """Tell a sick impeller from a lid or basket that sits badly, and from what stands around."""
    found = air(hours_since_opened, flow, rated_flow, rated_head, bore)
    opened, weak = found.steps
    return Worked((weak, opened), found.figures)


def film_on_top(
    oxygen: float,
    flow: float,
    temperature: float,
    salinity: float,
    rated_flow: float,
    rated_head: float,
    bore: float,
) -> Worked:
    """Air first; then tell a film that keeps it out from one of a weak flow, or that is ugly."""
    full = float(saturation.bare(temperature, salinity))
    clean = clean_flow(rated_flow, rated_head, bore)
    exchange = parameter("surface_exchange")
    rates = (exchange.to_base(rate) for rate in (exchange.low, exchange.value))
    still, rippled = (
        math.log(2.0) / float(transfer_coefficient.bare(x, temperature)) for x in rates
    )
    figures = {
        "oxygen": Figure(oxygen, "mg/L"),
        "least": line_of("fish_oxygen_least"),
        "full": Figure(full, "mg/L"),
        "kept": Figure(bare_of("oxygen_kept") * full, "mg/L"),
        **_flows(flow, clean),
        "still": Figure(still, "h"),
        "rippled": Figure(rippled, "h"),
    }
    steps = (
        Step(figures["oxygen"], figures["least"], below=True),
        Step(figures["oxygen"], figures["kept"], below=True),
        Step(figures["flow"], figures["weak"], below=True),
    )
    return Worked(steps, figures)


def leak(drops: float, level_fall: float, tank_length: float, tank_width: float) -> Worked:
    """Set what is missing against what the air takes and what a bowl catches."""
    surface = tank_length * tank_width
    gone = surface * level_fall
    air_takes = float(evaporation.bare(surface, parameter("surface_evaporation").to_base(most())))
    unseen = gone - air_takes - drops
    figures = {
        "drops": Figure(drops, "mL/h"),
        "caught": Figure(drops, "L/day"),
        "fall": Figure(level_fall, "mm/day"),
        "gone": Figure(gone, "L/day"),
        "air": Figure(air_takes, "L/day"),
        "unseen": Figure(max(unseen, 0.0), "L/day"),
        "bowl": Figure(1e-3 / drops if drops > DRY else math.inf, "h"),
    }
    steps = (
        Step(figures["unseen"], Figure(DRY, "L/day")),
        Step(figures["drops"], Figure(DRY, "mL/h")),
    )
    return Worked(steps, figures)


def most() -> float:
    """Return the most that an open surface loses to the air, in the unit of its row."""
    return parameter("surface_evaporation").high


@lru_cache(maxsize=256)
def clean_flow(rated_flow: float, rated_head: float, bore: float) -> float:
    """Return the flow of a pump through this loop with clean pads, in m³/s."""
    parts = [part.bare for part in (*plumbing(bore), _clean_pads())]
    return float(operating_point.bare(PumpCurve(rated_head, rated_flow), parts).flow)


@lru_cache(maxsize=64)
def plumbing(bore: float) -> CanisterLoop:
    """Return hose, bends and the canister's own parts; all but the bore is the running tank's."""
    rows = ("hose_length", "hose_elbows", "tank_temperature")
    loop: CanisterLoop = canister_loop.bare(bore, *(parameter(row).bare for row in rows))
    return loop


@lru_cache(maxsize=1)
def _clean_pads() -> Loss:
    floor = math.pi / 4.0 * parameter("filter_width").quantity ** 2
    pads = pads_in_order(floor, parameter("filter_pad_depth").quantity)
    return pads_loss(pads, parameter("tank_temperature").bare)
