"""What lessons 07 to 11 say in words of the invented tank: true of its numbers as they are."""

import math

import pytest

from aqualib.filtration.carbon import carbon_run
from aqualib.filtration.ultraviolet import lamp_kill_rate
from aqualib.lesson.handout import care_of, plan_in_use
from aqualib.lesson.tank_sheet import ammonia_made, of_row, of_twin, percent
from aqualib.parameters import parameter
from aqualib.tank.load import daily_feed, stocking
from aqualib.tank.maturation import Scenario, start_with_lamp
from aqualib.tank.sizing import FilterSystem, audit_rule, nitrate_audit, what_it_carries
from aqualib.tank.upkeep import steady_peak
from aqualib.units import Q
from aqualib.water.nitrogen import as_nitrate

WATER = of_row("tank_volume")
SEA = {"salinity": of_twin("tank_salinity"), "temperature": of_twin("tank_temperature")}
RULE = (Q(2, "kg") / Q(100, "L") * WATER).to("kg")


def carried(**changed):
    return what_it_carries(FilterSystem(**changed))


def test_07_litres_carry_no_fish_and_cold_water_carries_more():
    ours, wide, cool = carried(), carried(volume=2 * WATER), carried(temperature=Q(18, "degC"))
    assert ours.limiting == wide.limiting == "surface"
    assert float(wide.feed.best / ours.feed.best) == pytest.approx(1.0)
    assert cool.feed.best < ours.feed.best
    assert cool.stock.best > ours.stock.best


def test_07_ten_times_the_media_is_not_ten_times_the_food():
    much = carried(media_mass=10 * of_row("filter_media"))
    assert much.limiting == "dirt"
    assert much.feed.best < 2 * carried().feed.best
    # "In a small filter pads may do more than the media."
    assert carried(pad_area=Q(0, "m**2")).feed.best < carried().feed.best / 2


def test_08_the_sea_takes_half_and_the_rule_is_a_food_rule():
    assert float(carried(**SEA).feed.best / carried().feed.best) == pytest.approx(0.5, abs=0.05)
    shares = {}
    for kind in ("light marine", "heavy marine"):
        stock = stocking(WATER, kind)
        food = daily_feed(stock.stock_mass, stock.body_mass, SEA["temperature"], stock.ration)
        shares[kind] = audit(food).load_share
    shares["twin"] = audit(of_twin("tank_feed")).load_share
    assert shares["light marine"] < 0.25
    assert shares["heavy marine"] > 1 < shares["twin"]
    assert audit(of_twin("tank_feed")).feed_density.m == pytest.approx(0.6, abs=0.05)


def audit(food):
    return audit_rule(RULE, WATER, percent("food_protein"), **SEA, feed=food)


def test_08_the_rule_asks_of_nitrate_what_the_best_unfed_sand_did():
    claim = nitrate_audit(RULE, WATER, of_twin("tank_feed"), percent("food_protein"))
    assert claim.media_rate.m_as("mg/L/day") == pytest.approx(9.4, abs=0.3)


def lamp(organism):
    radii = of_row("sleeve_radius"), of_row("shell_radius")
    given = of_row("lamp_power"), of_row("lamp_flow"), WATER, *radii, percent("water_transmittance")
    return lamp_kill_rate(*given, organism, of_row("lamp_hours")).best


def test_09_a_lamp_kills_dozens_of_times_faster_than_algae_grow():
    assert lamp("green_water") / of_row("green_water_growth") > 24


def test_09_a_lamp_costs_a_poured_seed_about_a_week():
    delays = {}
    for swims in (0.1, 0.9):
        tank = Scenario(volume=WATER, media_area=of_row("media_surface"), load=ammonia_made(),
                        seed=of_row("seed_squeeze"), seed_in_water=swims,
                        days=of_row("weeks_ahead"))  # fmt: skip
        start = start_with_lamp(tank, lamp("tank_coliforms"))
        delays[swims] = (start.from_start - start.off).m_as("day")
        assert start.after_wait.m == pytest.approx(start.off.m, abs=0.5)
    assert delays[0.1] < 1.5
    assert 5 < delays[0.9] < 9


def follow(mass, share):
    return carbon_run(mass, of_row("carbon_flow"), of_row("organics_made"), WATER,
                      duration=Q(180, "day"), initial=of_row("organics_at_start"),
                      exchange=Q(-math.log(1 - share) / 7, "1/day"))  # fmt: skip


def test_10_full_in_days_and_its_effect_hangs_on_the_water_changed():
    mass, rule = of_row("carbon_mass"), parameter("carbon_change_rule")
    ours, much, threefold = follow(mass, 0.15), follow(mass, 0.8), follow(3 * mass, 0.15)
    assert ours.full_on.m < 3
    # "Three to four weeks fit only some."
    assert much.halved_on.m < rule.low < rule.high < ours.halved_on.m
    assert ours.halved_on < threefold.halved_on < 3 * ours.halved_on
    # "Late on the full carbon even gives a little back."
    assert (much.concentration > much.without).any()


def test_11_the_habit_is_far_too_little():
    gain = (as_nitrate(ammonia_made()) / WATER * of_row("change_interval")).to("mg/L")
    peak = steady_peak(gain, percent("change_share"), of_row("fill_nitrate"))
    assert peak > 2 * of_row("nitrate_limit")
    # More than half a week, so it goes in steps, none of them more than half.
    care = care_of(plan_in_use(whole=False))
    assert 7 * care["change"] / care["change_every"] > WATER / 2 > care["change"]
