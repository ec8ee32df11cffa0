"""Out and back: what hoses, bends, ends and a canister's own parts take on the water's way."""

from __future__ import annotations

from functools import partial
from typing import Annotated, NamedTuple

from aqualib.edge import model, public
from aqualib.filtration.hydraulics.fittings import fitting_coefficient, fitting_head_loss
from aqualib.filtration.hydraulics.hose import (
    BORES,
    HOSE_LENGTHS,
    LOOP_FLOWS,
    ROUGHNESSES,
    hose_head_loss,
)
from aqualib.filtration.hydraulics.loop import Loss
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.properties import SALINITIES, TEMPERATURES

BENDS = Range(0, 100)
OWN_PARTS = Range(0, 1000)


class CanisterHead(NamedTuple):
    """The head that each part of the way takes."""

    hose: Number
    fittings: Number
    """Entrance, bends and exit."""
    own_parts: Number
    """Valves, strainer, baskets and spray bar."""


class CanisterLoop(NamedTuple):
    """The same parts as functions of the flow, for `operating_point` and its solver."""

    hose: Loss
    fittings: Loss
    own_parts: Loss


@model(returns={})
def canister_loop(
    bore: Annotated[Amount, BORES],
    length: Annotated[Amount, HOSE_LENGTHS],
    elbows: Annotated[Number, BENDS],
    temperature: Annotated[Amount, TEMPERATURES],
    own_parts: Annotated[Number | None, OWN_PARTS] = None,
    own_bore: Annotated[Amount | None, BORES] = None,
    roughness: Annotated[Amount | None, ROUGHNESSES] = None,
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> CanisterLoop:
    """Return the parts of the way out and back, but the lift and what lies in the trays.

    Arguments as `canister_head`, without the flow; its list goes into `operating_point`.
    """
    ends = fitting_coefficient.bare("entrance", bore) + fitting_coefficient.bare("exit", bore)
    bends = elbows * fitting_coefficient.bare("elbow", bore)
    return CanisterLoop(
        Loss("hose", partial(
            hose_head_loss.bare, bore=bore, length=length, temperature=temperature,
            roughness=or_row(roughness, "hose_roughness"), salinity=salinity)),
        Loss("fittings", partial(fitting_head_loss.bare, bore=bore, loss_coefficient=ends + bends)),
        Loss("own parts", partial(
            fitting_head_loss.bare, bore=bore if own_bore is None else own_bore,
            loss_coefficient=or_row(own_parts, "canister_losses"))),
    )  # fmt: skip


@public(
    returns={"hose": "m", "fittings": "m", "own_parts": "m"},
    sources=("Colebrook1939", "fluids", "TP410"),
)
def canister_head(
    flow: Annotated[Amount, LOOP_FLOWS],
    bore: Annotated[Amount, BORES],
    length: Annotated[Amount, HOSE_LENGTHS],
    elbows: Annotated[Number, BENDS],
    temperature: Annotated[Amount, TEMPERATURES],
    own_parts: Annotated[Number | None, OWN_PARTS] = None,
    own_bore: Annotated[Amount | None, BORES] = None,
    roughness: Annotated[Amount | None, ROUGHNESSES] = None,
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> CanisterHead:
    """Return the head that hoses, fittings and a canister's own parts each take, in m of water.

    A canister's own valves and bar can take as much as all of its hose.

    Equation: h = f (L / D) V² / (2 g) in the hoses, (0.5 + 1 + n K_90) V² / (2 g) in entrance,
    exit and n bends, and K V₀² / (2 g) in the canister's own parts.

    bore: Inside diameter of the hoses.
    length: Of both hoses together.
    elbows: n, sharp bends in both hoses together.
    own_parts: K of valves, strainer, baskets and spray bar; None takes `canister_losses` of
        `data/parameters.csv`.
    own_bore: The bore to whose speed V₀ that K is told; None takes `bore`. A wider hose on the
        same filter leaves it as it was.
    roughness: As `hose_head_loss`.
    Source: Colebrook1939 as solved in fluids, and TP410, as in `hose_head_loss` and
        `fitting_coefficient`; K is assumed.
    Validity: as theirs; a canister's own parts take more or less from one filter to the next.
    Departures: the lift, and the pads and media in the trays, are not in it.

    >>> way = canister_head(Q(1000, "L/h"), Q(16, "mm"), Q(3, "m"), 4, Q(20, "degC"))
    >>> [round(part.m, 3) for part in way]
    [0.465, 0.443, 1.168]
    """
    way = bore, length, elbows, temperature, own_parts, own_bore, roughness, salinity
    parts = canister_loop.bare(*way)
    return CanisterHead(*(part.bare(flow) for part in parts))
