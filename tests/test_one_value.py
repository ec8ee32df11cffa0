"""One quantity, one value: each road through the rooms to the same number comes to the same.

Rates of a film stand in g of nitrogen per m² a day, in the water of `CONDITIONS`; a sketch of all
roads is printed by `python tests/test_one_value.py`.
"""

from __future__ import annotations

import numpy as np
import pytest
from tank.test_log.sound_logs import log_of

from aqualib.filtration.biofilm import areal_rate, film_limits, film_uptake, first_order_rate
from aqualib.filtration.porous_piece.film_parameters import film_with
from aqualib.filtration.porous_piece.piece import Piece, Water, solved_piece
from aqualib.lesson.panels.safety_map import compute as on_map
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.maturation import Scenario, simulate
from aqualib.tank.maturation.rates import TankWater, best_values, growth, paces
from aqualib.tank.maturation.stretches import Conditions
from aqualib.tank.plan import example_system, filled
from aqualib.tank.plan.first_weeks import ammonia_line
from aqualib.tank.sizing import FilterSystem, audit_rule, oxygen_needs, required_media
from aqualib.tank.sizing.carries import nitrified
from aqualib.tank.sizing.uncertainty import best
from aqualib.tank.symptoms import diagnose
from aqualib.tank.test_log.last_readings import tonight
from aqualib.tank.test_log.log import Reading as LogReading
from aqualib.tank.test_log.model import LogModel, Reading
from aqualib.units import GRAMS_PER_DAY, Q
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.nitrogen import denitrification_carbon_demand, oxygen_demand
from aqualib.water.oxygen import saturation

CONDITIONS = [(s, c, t) for s in (0, 35) for c in (0.05, 0.5, 3.0) for t in (18.0, 28.0)]
PER_LITRE = 0.02
"""m² of media in each litre of the tank."""


def place(salinity, celsius):
    """Temperature (K) and nine tenths of the oxygen (kg/m³) of water full of air."""
    kelvin = 273.15 + celsius
    return kelvin, 0.9 * float(saturation.bare(kelvin, salinity))


def by_biofilm(salinity, ammonia, celsius, share=None):
    kelvin, oxygen = place(salinity, celsius)
    return areal_rate.bare(1e-3 * ammonia, kelvin, salinity, oxygen, share) * GRAMS_PER_DAY


def by_maturation(salinity, ammonia, celsius):
    """A full film of the start-up model, of which cleaning and the fit of a log are made."""
    _, oxygen = place(salinity, celsius)
    ph = 8.2 if salinity else 7.5
    alkalinity = parameter("film_alkalinity").value
    water = TankWater(salinity, ph, "total", alkalinity, 1e3 * oxygen, None, 0.0, PER_LITRE, True)
    now = Conditions(0.0, celsius, 1.0, running=True, kill_rate=0.0)
    g = growth(best_values(), water, now)
    pace = paces(g, ammonia, 0.0, alkalinity, g.full_a, g.full_n)
    # What un-ionised ammonia takes is the start-up's own and no part of the film's law.
    free = 1.0 + ammonia * alkalinity / (alkalinity + g.ammonia_shape) * g.ammonia_on_a
    return g.per_yield_a * pace.film_a * g.full_a / (1000.0 * PER_LITRE), free


def by_piece(salinity, ammonia, celsius):
    """A smooth, clean ball of 10 mm in a bed, solved in depth."""
    kelvin, oxygen = place(salinity, celsius)
    ball = Piece("sphere", 0.01, 0.0, 2e-4, parameter("biofilm_thickness").bare)
    water = Water(kelvin, salinity, oxygen, 1e-3 * ammonia, None, 0.01, 0.003, 0.005)
    return solved_piece(ball, water, film_with()).nitrified * GRAMS_PER_DAY


def by_filter(salinity, ammonia, celsius):
    """What `what_it_carries` rests on, with so much flow that the water stays as it is."""
    system = FilterSystem(
        media_mass=Q(1, "kg"), area_per_mass=Q(1, "m**2/kg"), pad_area=Q(0, "m**2"),
        flow=Q(1e6, "L/h"), salinity=salinity, temperature=Q(celsius, "degC"),
        total_ammonia_nitrogen=Q(ammonia, "mg/L"),
    )  # fmt: skip
    return nitrified(system.bare, best(), place(salinity, celsius)[1])[0] * GRAMS_PER_DAY


def by_need(salinity, ammonia, celsius):
    oxygen = Q(place(salinity, celsius)[1], "kg/m**3")
    water = Q(celsius, "degC"), salinity, Q(ammonia, "mg/L")
    return required_media(Q(4, "g/day"), 0.45, *water, oxygen=oxygen).areal_rate.m


@pytest.mark.parametrize(("salinity", "ammonia", "celsius"), CONDITIONS)
def test_every_road_to_the_rate_of_a_film(salinity, ammonia, celsius):
    here = salinity, ammonia, celsius
    one = by_biofilm(*here)
    grown, slowed = by_maturation(*here)
    # Slowed by 3 mg/L of ammonia in warm sea water, the start-up is 2.3 % below.
    assert grown * slowed == pytest.approx(one, rel=0.02)
    assert slowed < 1.035
    assert by_filter(*here) == pytest.approx(one, rel=0.02)
    assert by_need(*here) == pytest.approx(one, rel=0.02)
    assert by_piece(*here) == pytest.approx(by_biofilm(*here, share=1.0), rel=0.05)


@pytest.mark.parametrize(("ph", "celsius"), [(6.0, 25.0), (5.5, 33.0), (7.5, 33.0)])
def test_sour_and_hot_water_slow_every_road_alike(ph, celsius):
    """The share of the work that is left: by the film, by the start-up, and by what is carried."""
    kelvin, oxygen = place(0, celsius)
    own = film_limits.bare(kelvin, 0.0, oxygen, ph=ph)
    water = TankWater(0.0, ph, "total", 120.0, 1e3 * oxygen, None, 0.0, PER_LITRE, kept=True)
    g = growth(best_values(), water, Conditions(0.0, celsius, 1.0, running=True, kill_rate=0.0))
    # Plenty of ammonia, and none of it un-ionised to slow them: the most that the film does.
    pace = paces(
        g._replace(ammonia_on_a=0.0, ammonia_on_n=0.0), 1e6, 0.0, 120.0, g.full_a, g.full_n
    )
    most = g.per_yield_a * pace.film_a * g.full_a / (1000.0 * PER_LITRE)
    assert most == pytest.approx(own.ammonia_most * GRAMS_PER_DAY, rel=0.001)
    system = FilterSystem(ph=ph, temperature=Q(celsius, "degC"), flow=Q(1e5, "L/h"))
    by_filter, _, _ = nitrified(system.bare, best(), oxygen)
    area = system.bare.media_mass * system.bare.area_per_mass + system.bare.pad_area
    half = parameter("total_ammonia_half_saturation").bare
    film = own.transfer, own.ammonia_most, half
    rate = film_uptake.bare(system.bare.total_ammonia_nitrogen, *film)
    assert by_filter == pytest.approx(area * rate, rel=0.01)


@pytest.mark.parametrize("ph", [5.2, 6.0, 6.4, 7.0])
@pytest.mark.parametrize("celsius", [24.0, 31.0, 33.5])
def test_every_room_has_one_limit_for_sour_and_hot_water(ph, celsius):
    """Plan, first weeks, symptoms, safety map and log: against the law written out by hand."""
    held = max(ph, 6.5)
    curve = 0.0278 / (1 + 10 ** (7.688 - held)) + 1.1994 / (1 + 10 ** (held - 7.688))
    law = 0.8876 * curve * 2.126 * 10 ** (0.028 * (20 - celsius))
    warm, water = Q(celsius, "degC"), {"ph": ph, "temperature": Q(celsius, "degC")}
    limit = total_ammonia_limits(ph, warm).chronic.m_as("mg/L")
    # Above 30 degC a hair stricter, so that no more than at 30 is un-ionised.
    assert 0.985 * law < limit <= law * (1 + 1e-9)
    whole, _ = filled(example_system().changed("water", **water))
    scenario = Scenario(**water)
    asked = {"ammonia": Q(2, "mg/L"), "alkalinity": Q(60, "mg/L")}
    place_on_map = on_map(2e-3, "nitrogen", 0.0, ph, celsius + 273.15, 0.0, "nitrogen", 0.01)
    log = log_of([LogReading(1, 1.0, "ammonia", 2.0)])
    rooms = {
        "plan": 1e3 * ammonia_line(whole, 0.0, None),
        "symptoms": diagnose("ph sinks", **water, **asked).amounts["limit_ammonia"].m_as("mg/L"),
        "map": place_on_map.ammonia.long,
        "log": tonight(log, scenario).matters[0].limit,
        "start-up": float(simulate(scenario).ammonia_limit[0].m_as("mg/L")),
    }
    assert rooms == pytest.approx(dict.fromkeys(rooms, limit), rel=1e-9)


def test_the_audit_has_the_same_rate():
    rule = audit_rule(Q(2, "kg"), Q(100, "L"), 0.45, Q(25, "degC"), 35)
    rate = areal_rate(parameter("ammonia_allowed").quantity, Q(25, "degC"), 35)
    assert rule.areal_rate.m == pytest.approx(rate.m, rel=1e-9)


def test_the_log_is_read_with_the_rows_of_the_start_up():
    """What is fitted are the same rows, about the same middle."""
    from aqualib.tank.maturation import Scenario

    model = LogModel(Scenario(salinity=35, ph=8.2), (Reading(1, 0.0, "ammonia", 1.0),))
    middle = model.prior.values(np.zeros(len(model.prior.names)))
    kept = {name: value for name, value in best_values().items() if name in middle}
    assert len(kept) > 25
    assert {name: middle[name] for name in kept} == pytest.approx(kept)


def test_one_oxygen_per_nitrogen():
    growing = oxygen_demand(Q(1, "g"), synthesis=True).m
    assert oxygen_needs(0.45).nitrification == pytest.approx(
        growing * ammonia_production(Q(1, "g/day"), 0.45).m, rel=1e-9
    )
    g = growth(
        best_values(),
        TankWater(0.0, 7.5, "total", 120.0, 7.0, None, 0.0, PER_LITRE, True),
        Conditions(0.0, 24.0, 1.0, running=True, kill_rate=0.0),
    )
    assert g.breath_a / g.per_yield_a == pytest.approx(3.427 - 0.18, abs=0.001)
    deep = film_with()
    made = _stoichiometry(deep)
    assert -(made[0, 0] + made[1, 0]) == pytest.approx(growing, rel=1e-9)


def _stoichiometry(deep):
    from aqualib.filtration.porous_piece.reactions import stoichiometry

    return stoichiometry(deep)


def test_one_food_per_nitrate_removed():
    """The pieces, the limits in food and the audit of a rule take the same grams."""
    each = denitrification_carbon_demand(Q(1, "g")).m
    assert _stoichiometry(film_with())[3, 4] == pytest.approx(-each, rel=1e-9)


def test_one_surface_of_a_kilogram():
    """The row of lesson 07 is the bed of lesson 06: rings of 15 mm, in their range."""
    from aqualib.filtration.media import media_bed

    bed = media_bed("porous rings", Q(1, "kg"))
    row = parameter("media_area_per_mass").value
    assert bed.outer_area.low.m_as("m**2") < row < bed.outer_area.high.m_as("m**2")
    assert bed.outer_area.best.m_as("m**2") == pytest.approx(row, rel=0.01)


def test_pads_and_rings_are_the_surface_of_the_start_up():
    rings = parameter("filter_media").quantity * parameter("media_area_per_mass").quantity
    both = rings + parameter("pad_area").quantity
    assert both.m_as("m**2") == pytest.approx(parameter("media_surface").value, rel=0.01)


def table():
    """Print what each road comes to."""
    print("sea  mg/L  degC  biofilm  start-up  filter  need  | clean film  piece")
    for here in CONDITIONS:
        grown, _ = by_maturation(*here)
        print(
            *here,
            *(f"{x:.4f}" for x in (by_biofilm(*here), grown, by_filter(*here), by_need(*here))),
            "|",
            *(f"{x:.4f}" for x in (by_biofilm(*here, share=1.0), by_piece(*here))),
        )
    film = film_limits(Q(20, "degC"))
    print("slope at nothing, 20 degC:", first_order_rate(film.transfer, film.ammonia_most))


if __name__ == "__main__":
    table()
