"""What a whole system comes to: flow, surface, dirt, food carried, nitrate, in plain SI numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import takewhile
from typing import NamedTuple

import numpy as np

from aqualib.draws import Span
from aqualib.filtration.biofilm import still_warms
from aqualib.filtration.capture import (
    ClogRun,
    Pad,
    SettlingSpace,
    pad,
    pads_loss,
    runs_side_by_side,
    settling_space,
)
from aqualib.filtration.hydraulics import PumpCurve, bed_pressure_loss, canister_loop
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.filtration.hydraulics.loop import Curve, crossing
from aqualib.filtration.media import media_kind
from aqualib.filtration.media.bed import area_per_volume
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production, nitrate_rise
from aqualib.tank.plan.nothing_open import Filled, catches_dirt, pads_of
from aqualib.tank.plan.parts import CATCHERS, CHEMICALS, FLOSS, MEDIA, PADS, SETTLING
from aqualib.tank.plan.trays import Place, one_kilogram
from aqualib.tank.sizing import Carried, FilterSystem, what_it_carries
from aqualib.tank.upkeep import steady_peak
from aqualib.units import Q
from aqualib.water.properties import density

VERDICTS = ("comfortable", "tight", "too much")
NO_VERDICT = "no verdict"
"""Where nobody told what is given."""


def verdict_on(given: float, carried: Span) -> str:
    """Return one of `VERDICTS` for the food given and the food carried, in one unit."""
    if given <= carried.low:
        return VERDICTS[0]
    return VERDICTS[1] if given <= carried.high else VERDICTS[2]


class Outcome(NamedTuple):
    """What a system does, in SI base units."""

    given: float
    """The food that is given, beside what it does with it."""
    flow_clean: float
    flow_due: float
    media_mass: float
    media_area: float
    pad_area: float
    dirt_held: float
    due: float
    """Time to the first cleaning; infinite if nothing is due within half a year."""
    first_due: str
    """The stage that is due first, "flow", or ""."""
    due_of: dict[str, float]
    """When the working face of each pad is half full."""
    suspended: float
    """Dirt that is afloat in the tank when cleaning is due."""
    carried: Carried
    nitrate_peak: float
    """Where nitrate (as nitrate) comes to by the keeper's water changes."""

    @property
    def verdict(self) -> str:
        """One of `VERDICTS`: carried at the low end, within the doubt, or beyond the high end."""
        return verdict_on(self.given, self.carried.feed)

    @property
    def flow(self) -> float:
        """The flow that the sums of the media use: that of pads that are due."""
        return self.flow_due


def outcome(whole: Filled) -> Outcome:
    """Return what a system does."""
    return _outcome(whole, weeks(no_hotter(whole)))


def outcomes(wholes: Iterable[Filled]) -> dict[Filled, Outcome]:
    """Return what each of many fillings of one system's trays does, as `outcome` tells it.

    Those whose dirt can be followed through the weeks together are: it takes a quarter of the time.
    """
    alike: dict[object, list[Filled]] = {}
    for whole in wholes:
        others = tuple(place for place in whole.places if place.holds in MEDIA)
        kinds = tuple(place.holds == SETTLING for place in catches_dirt(whole))
        alike.setdefault((whole._replace(places=others), kinds), []).append(whole)
    return {
        whole: _outcome(whole, run)
        for group in alike.values()
        for whole, run in zip(group, weeks_together([*map(no_hotter, group)]), strict=True)
    }


def _outcome(whole: Filled, run: ClogRun | None) -> Outcome:
    clean, due_flow = flows(whole)
    held = dirt_held(no_hotter(whole), run)
    media, area = media_surface(whole)
    pads = pad_surface(whole)
    carried = carries(whole, (media, area), pads, counted_flow(whole, due_flow), held)
    due = float(run.cleaning_due) if run else math.inf
    return Outcome(
        given=whole.feed,
        flow_clean=clean,
        flow_due=due_flow,
        media_mass=media,
        media_area=area,
        pad_area=pads,
        dirt_held=held,
        due=due,
        first_due=run.ended_by if run else "",
        due_of=_due_of(run),
        suspended=_afloat(run),
        carried=carried,
        nitrate_peak=nitrate_peak(whole),
    )


def no_hotter(whole: Filled) -> Filled:
    """Return the system, or one as warm as warmth still helps where it is hotter than that.

    Hot water is thinner: dirt settles and flows better in it. That is taken for no gain.
    """
    measured = float(still_warms(whole.temperature))
    return whole if measured == whole.temperature else whole._replace(temperature=measured)


def counted_flow(whole: Filled, flow: float) -> float:
    """Return what counts of a flow for what is carried: no more than in water no hotter."""
    measured = no_hotter(whole)
    return flow if measured is whole else min(flow, flows(measured)[1])


def pump_of(whole: Filled) -> PumpCurve:
    """Return the pump, from the two numbers on its box."""
    return PumpCurve(whole.rated_head, whole.rated_flow)


def plumbing(whole: Filled) -> list[Curve]:
    """Return hose, bends, the filter's own parts and the lift, as heads in m of a flow."""
    loop = canister_loop.bare(
        whole.bore,
        whole.hose_length,
        whole.elbows,
        whole.temperature,
        own_bore=whole.own_bore,
        salinity=whole.salinity,
    )
    return [
        *(part.bare for part in loop),
        lambda q: whole.lift + 0.0 * q,
        *(_bed(whole, place) for place in whole.media),
    ]


def _bed(whole: Filled, place: Place) -> Curve:
    """Return the head that a tray of media takes."""
    kind = media_kind(place.holds)
    size, gaps = kind.bare("size", None), kind.bare("voidage", None)
    deep = place.media / float(one_kilogram(place.holds).bed_density) / whole.floor
    weight = float(density.bare(whole.temperature, whole.salinity)) * GRAVITY
    grain = 6.0 / area_per_volume(kind, size, gaps)
    return lambda q: (
        bed_pressure_loss.bare(
            q / whole.floor, deep, grain, gaps, whole.temperature, whole.salinity
        )
        / weight
    )


def flows(whole: Filled) -> tuple[float, float]:
    """Return the flow with clean pads and with pads that are due, measured where it was."""
    pump, parts = pump_of(whole), plumbing(whole)
    pads = [pad_of(whole, place) for place in pads_of(whole)]

    def through(full: float) -> float:
        part_of_pads = pads_loss(pads, whole.temperature, whole.salinity, full).bare
        return crossing(pump, lambda q: float(sum(part(q) for part in parts) + part_of_pads(q)))

    clean, due = through(0.0), through(parameter("pad_deposit_limit").bare)
    if whole.measured_flow and clean:
        # The bucket is right; the sum tells only how it falls.
        return whole.measured_flow, whole.measured_flow * due / clean
    return clean, due


def pad_of(whole: Filled, place: Place) -> Pad:
    """Return a tray's pad."""
    return _pad(place.holds, whole.floor, place.height)


@lru_cache(maxsize=256)
def _pad(holds: str, floor: float, height: float) -> Pad:
    """Return a pad; it never changes, and to make one takes as long as to run it for weeks.

    Floss was never measured here, so it catches as a fine pad does.
    """
    if holds == FLOSS:
        return _pad("fine pad", floor, height).with_bare(name=FLOSS)
    return pad(holds.removesuffix(" pad"), Q(floor, "m**2"), Q(height, "m"))


def stages(whole: Filled) -> list[Pad | SettlingSpace]:
    """Return what catches dirt, in the water's order."""
    return [
        _space(whole.floor, place.height) if place.holds == SETTLING else pad_of(whole, place)
        for place in catches_dirt(whole)
    ]


@lru_cache(maxsize=64)
def _space(floor: float, height: float) -> SettlingSpace:
    """Return a settling space: one and the same each time, for it is slow to make."""
    return settling_space(Q(floor, "m**2"), Q(height, "m"))


def weeks(whole: Filled) -> ClogRun | None:
    """Return half a year of dirt, from clean; None where no dirt is made or gets to a pad."""
    return weeks_together([whole])[0]


def weeks_together(group: Sequence[Filled]) -> Sequence[ClogRun | None]:
    """Return the weeks of systems that differ in their pads alone."""
    whole = group[0]
    if not stages(whole) or not whole.solids or whole.rated_head <= whole.lift:
        return [None] * len(group)
    half_a_year = parameter("filter_day")
    return runs_side_by_side(
        [stages(one) for one in group],
        pump_of(whole),
        plumbing(whole),
        whole.solids,
        whole.volume,
        half_a_year.to_base(half_a_year.high),
        whole.temperature,
        whole.salinity,
    )


def dirt_held(whole: Filled, run: ClogRun | None) -> float:
    """Return the dirt that the filter holds when its cleaning is due.

    A tank so clean that nothing is due within the run is asked with more dirt: how much a filter
    holds hardly hangs on how fast it comes. Where no pad stands before the media they hold the
    dirt, as far as they can.
    """
    found = run if run and math.isfinite(run.cleaning_due) else _run_to_its_end(whole)
    if found is None:
        # No water flows, or there is nothing to catch dirt: the room that there would be.
        caught = sum(stage.capacity for stage in stages(whole))
    else:
        masses = np.asarray(found.mass).sum(axis=(1, 2))
        caught = float(np.interp(min(found.cleaning_due, found.time[-1]), found.time, masses))
    return max(caught, media_dirt(whole))


def _run_to_its_end(whole: Filled) -> ClogRun | None:
    """Return weeks with so much dirt that cleaning is due within them; None where none is."""
    dirt = sum(stage.capacity for stage in stages(whole)) / parameter("filter_cleaning").bare
    run = None
    for _ in range(DOUBLINGS):
        run = weeks(whole._replace(solids=dirt))
        if run is None or math.isfinite(run.cleaning_due):
            return run
        dirt *= 2.0
    return run


DOUBLINGS = 10
"""Of the dirt until a filter is full: a thousandfold fills any."""


def media_dirt(whole: Filled) -> float:
    """Return the dirt that media and carbon hold before they want a rinse, with no pad before them.

    Behind a pad they get only what it lets through: it is due for cleaning long before they are.
    """
    room = 0.0
    for place in takewhile(lambda place: place.holds not in CATCHERS, whole.places):
        if place.holds in CHEMICALS:
            room += place.height * whole.floor
        elif place.media:
            room += place.media / float(one_kilogram(place.holds).bed_density)
    return parameter("dirt_per_media_litre").bare * room


def _due_of(run: ClogRun | None) -> dict[str, float]:
    """Return when each pad's working face is half full; infinite if not within the run."""
    if run is None:
        return {}
    found = {}
    for at, name in enumerate(run.stages):
        filling = np.asarray(run.fullness)[:, at]
        found[name] = float(np.interp(1.0, filling, run.time)) if filling[-1] >= 1.0 else math.inf
    return found


def _afloat(run: ClogRun | None) -> float:
    if run is None:
        return math.nan
    return float(np.interp(min(run.cleaning_due, run.time[-1]), run.time, run.suspended))


def media_surface(whole: Filled) -> tuple[float, float]:
    """Return the mass of all media and their outer surface."""
    mass = sum(place.media for place in whole.media)
    area = sum(
        place.media * float(one_kilogram(place.holds).outer_area.best) for place in whole.media
    )
    return mass, area


def pad_surface(whole: Filled) -> float:
    """Return the surface of the pads on which bacteria live: the part that is free of dirt.

    Floss has none: what grows on it is thrown away with it.
    """
    foam = one_kilogram("open-cell foam")
    room = sum(place.height for place in whole.holding(*PADS)) * whole.floor
    per_room = float(foam.outer_area.best / foam.volume.best)
    return room * per_room * parameter("pad_surface_free").bare


def carries(
    whole: Filled, media: tuple[float, float], pads: float, flow: float, held: float
) -> Carried:
    """Return the food that the filter carries."""
    mass, area = media
    least = parameter("media_area_per_mass").bare
    system = FilterSystem.from_bare(
        media_mass=mass,
        area_per_mass=area / mass if mass else least,
        pad_area=pads,
        volume=whole.volume,
        flow=max(flow, LEAST_FLOW),
        temperature=whole.temperature,
        salinity=whole.salinity,
        ph=whole.ph,
        # Rock carries bacteria in any water; lessons count it in the sea, where it is alive.
        rock_mass=whole.rock if whole.is_sea else 0.0,
        surface_exchange=whole.air,
        dirt_held=held,
        cleaning_interval=whole.clean_every,
        protein_fraction=whole.protein,
        body_mass=whole.body,
    )
    found: Carried = what_it_carries.bare(system.bare)
    return found


LEAST_FLOW = Q(0.01, "L/h").m_as("m**3/s")
"""What the sums take for none: without any flow they would divide by it."""


def nitrate_gain(whole: Filled) -> float:
    """Return by how much nitrate, as nitrate, rises in a second where all ammonia becomes it."""
    made = ammonia_production.bare(whole.feed, whole.protein)
    return float(nitrate_rise.bare(made, whole.volume))


def nitrate_peak(whole: Filled) -> float:
    """Return where nitrate, as nitrate, comes to just before a water change, in the long run."""
    if not whole.change:
        return math.inf
    gain = nitrate_gain(whole) * whole.change_every
    return float(steady_peak.bare(gain, whole.change, whole.tap_nitrate))
