"""A filter through the weeks: nothing is lost, hand calculations, and what order does."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.filtration.capture.pads import pad, settling_space
from aqualib.filtration.capture.particle_sizes import SizeClasses, size_classes
from aqualib.filtration.capture.recirculation import first_crossing
from aqualib.filtration.capture.run import clog_run, sinking_speeds
from aqualib.filtration.capture.stages import staged_loads, time_to_limit
from aqualib.filtration.hydraulics.loop import fitting_loss, hose_loss, operating_point
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.units import Q
from aqualib.validity import ValidityError

WARM = Q(25, "degC")
AREA, DEPTH = Q(400, "cm**2"), Q(40, "mm")
PUMP = PumpCurve.from_limits(Q(2.2, "m"), Q(1200, "L/h"))
LOSSES = (hose_loss(Q(16, "mm"), Q(3, "m"), WARM), fitting_loss(Q(16, "mm"), 3.5))
COARSE, MEDIUM, FINE = (pad(grade, AREA, DEPTH) for grade in ("coarse", "medium", "fine"))
SPACE = settling_space(AREA, DEPTH)
USUAL = (SPACE, COARSE, MEDIUM, FINE)
TANK = {"production": Q(2, "g/day"), "volume": Q(200, "L"), "temperature": WARM}
STAGES = {"settling": SPACE, "coarse": COARSE, "medium": MEDIUM, "fine": FINE}
BARE = {"pump": PUMP, "losses": [part.bare for part in LOSSES], "temperature": 298.15}
GRAM_A_DAY = 1e-3 / 86400


def run(*stages, days=60, **changes):
    return clog_run(stages, PUMP, LOSSES, **{**TANK, "duration": Q(days, "day"), **changes})


@given(
    st.lists(st.sampled_from(sorted(STAGES)), min_size=1, max_size=6),
    st.floats(0.1, 20),
    st.floats(20, 1000),
    st.floats(1, 400),
    st.booleans(),
)
@settings(max_examples=40, deadline=None)
def test_no_dirt_is_lost_or_made_in_any_stack(names, grams, litres, days, with_tank):
    ours = clog_run.bare(
        [STAGES[name] for name in names],
        production=grams * GRAM_A_DAY,
        volume=litres / 1000 if with_tank else None,
        duration=days * 86400.0,
        **BARE,
    )
    found = ours.mass.sum(axis=(1, 2)) + ours.afloat.sum(axis=1) + ours.passed
    np.testing.assert_allclose(found, ours.made, rtol=1e-9)
    assert np.all(np.diff(ours.mass, axis=0) >= 0)
    assert np.all(ours.flow >= 0)
    pads = [at for at, name in enumerate(names) if name != "settling"]
    assert np.all(np.diff(ours.clogging[:, pads], axis=0) >= 0)


def test_a_filter_that_holds_nothing_changes_nothing():
    nothing = FINE.with_bare(cut_size=1e9, aperture=1.0)
    ours = run(nothing)
    assert ours.mass.m.max() < 1e-9
    np.testing.assert_allclose(ours.flow.m, ours.flow.m[0], rtol=1e-12)
    np.testing.assert_allclose(ours.clogging, 1, rtol=1e-12)
    np.testing.assert_allclose(ours.afloat.m.sum(axis=1), ours.made.m, rtol=1e-12)


def test_clean_flow_is_the_operating_point():
    clear_pad = COARSE.with_bare(permeability=1.0, inertial_permeability=1e3)
    point = operating_point(PUMP, LOSSES)
    assert run(clear_pad).flow[0].m == pytest.approx(point.flow.m, rel=1e-4)


def test_one_pad_holds_an_exponential_share():
    sizes = size_classes(count=10)
    ours = run(MEDIUM, volume=None, sizes=sizes)
    medium = MEDIUM.bare
    strength = np.log(2) * (sizes.diameters / medium.cut_size) ** medium.sharpness
    share = np.where(sizes.diameters >= medium.aperture, 1, 1 - np.exp(-strength))
    inlet = 2 * 60 * sizes.mass_shares
    np.testing.assert_allclose(ours.mass.m[-1, 0], inlet * share, rtol=1e-9)
    assert ours.passed.m[-1] == pytest.approx((inlet * (1 - share)).sum(), rel=1e-9)


@pytest.mark.parametrize("layers", [2, 3, 6])
def test_thin_layers_hold_what_one_pad_holds(layers):
    layer = MEDIUM.with_bare(depth=MEDIUM.bare.depth / layers, aperture=1.0)
    whole = run(MEDIUM.with_bare(aperture=1.0), volume=None)
    cut = run(*[layer] * layers, volume=None)
    np.testing.assert_allclose(cut.mass.m.sum(axis=1), whole.mass.m[:, 0], rtol=1e-12)


def test_order_changes_the_loads_and_not_what_is_held():
    there, back = (run(*order, volume=None) for order in ((COARSE, FINE), (FINE, COARSE)))
    np.testing.assert_allclose(there.passed.m, back.passed.m, rtol=1e-9)
    assert there.cleaning_due > 1.5 * back.cleaning_due
    assert back.ended_by == "fine"
    assert back.mass.m[-1, 0].sum() > 2 * there.mass.m[-1, 1].sum()


def test_without_a_tank_the_loads_are_those_worked_without_time():
    ours = run(COARSE, MEDIUM, FINE, volume=None, days=10)
    staged = staged_loads(20 * size_classes().mass_shares, ours.efficiency)
    np.testing.assert_allclose(ours.mass.m[-1], staged.by_size, rtol=1e-9, atol=1e-15)


def test_time_to_the_limit_worked_by_hand():
    """Row 4.10 of the notes: 400 cm², 40 mm, half full at 40 kg/m³; half of 5 mg/L is held."""
    half = MEDIUM.with_bare(cut_size=50e-6, aperture=1.0, voidage=0.95, deposit_limit=0.5 / 0.95)
    only = SizeClasses(np.array([50e-6]), np.array([1.0]))
    days = time_to_limit(
        AREA, DEPTH, 0.5, Q(40, "kg/m**3"), Q(1000, "L/h"), Q(5, "mg/L"), 0.5
    ).m_as("day")
    assert days == pytest.approx(0.53333, rel=1e-5)
    ours = run(half, sizes=only, production=Q(120, "g/day"), volume=None, days=1)
    assert ours.cleaning_due.m == pytest.approx(days, rel=1e-6)
    assert ours.ended_by == "medium"


def test_in_the_long_run_the_filter_takes_what_the_tank_makes():
    only = SizeClasses(np.array([300e-6]), np.array([1.0]))
    ours = run(FINE, sizes=only, days=20)
    pace = np.diff(ours.mass.m.sum(axis=(1, 2)))[5:] / np.diff(ours.made.m)[5:]
    # Falling flow keeps a little more afloat.
    np.testing.assert_allclose(pace, 1, rtol=1e-4)
    steady = 2000 / (ours.flow.m_as("L/day")[-1] * ours.efficiency[0, 0])
    assert ours.suspended.m[-1] == pytest.approx(steady, rel=5e-3)


def test_flow_holds_long_and_then_falls_fast():
    ours = run(FINE, days=60)
    share = ours.flow.m / ours.flow.m[0]
    due = np.searchsorted(ours.time.m, ours.cleaning_due.m)
    assert ours.fullness[due, 0] >= 1
    assert share[due] > 0.9
    assert share[-1] < 0.1


def test_a_flow_limit_ends_a_run_when_it_is_the_first():
    ours = run(replace(FINE, deposit_limit=0.99), days=60, least_flow_share=0.8)
    assert ours.ended_by == "flow"
    at = np.interp(ours.cleaning_due.m, ours.time.m, ours.flow.m)
    assert at == pytest.approx(0.8 * ours.flow.m[0], rel=1e-6)


def test_a_short_run_reaches_no_limit():
    ours = run(*USUAL, days=1)
    assert ours.ended_by == ""
    assert np.isinf(ours.cleaning_due.m)


def test_a_settling_space_spares_the_pads_behind_it():
    with_space, without = run(*USUAL, days=200), run(*USUAL[1:], days=200)
    assert with_space.cleaning_due > without.cleaning_due
    # It holds the coarse and lets the fines by.
    assert with_space.efficiency[0, 0] < 0.001
    assert with_space.efficiency[0, -1] > 0.5


def test_short_steps_give_the_same():
    given = {**BARE, "production": 2 * GRAM_A_DAY, "volume": 0.2, "duration": 60 * 86400.0}
    usual, fine = (clog_run.bare(USUAL, **given, steps=steps) for steps in (48, 1600))
    assert usual.cleaning_due == pytest.approx(fine.cleaning_due, rel=1e-3)
    assert usual.ended_by == fine.ended_by
    np.testing.assert_allclose(usual.mass[-1], fine.mass[-1], rtol=0.01, atol=1e-6)
    same_times = np.interp(usual.time, fine.time, fine.flow)
    np.testing.assert_allclose(usual.flow, same_times, atol=0.02 * usual.flow[0])


def test_bare_and_public_agree():
    bare = clog_run.bare(
        USUAL,
        production=2 * GRAM_A_DAY,
        volume=0.2,
        duration=60 * 86400.0,
        sinking=sinking_speeds(size_classes(), 298.15),
        **BARE,
    )
    public = run(*USUAL)
    for name in ("time", "flow", "mass", "suspended", "made", "passed", "afloat", "diameters"):
        ours = getattr(public, name).to_base_units().m
        np.testing.assert_allclose(ours, getattr(bare, name), rtol=1e-9, atol=1e-18)
    assert public.stages == bare.stages == ("settling", "coarse", "medium", "fine")


def test_first_crossing():
    time = np.array([0.0, 1.0, 2.0])
    assert first_crossing(time, np.array([0.0, 0.5, 1.5])) == pytest.approx(1.5)
    assert first_crossing(time, np.array([1.0, 2.0, 3.0])) == 0
    assert first_crossing(time, np.array([0.0, 0.1, 0.2])) == np.inf


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("production", Q(2, "g")),
        ("production", 2),
        ("volume", Q(-1, "L")),
        ("duration", Q(np.nan, "day")),
        ("temperature", Q(90, "degC")),
        ("least_flow_share", 2),
    ],
    ids=range(6),
)
def test_bad_input(name, value):
    with pytest.raises(ValidityError, match=name):
        run(*USUAL, **{name: value})
