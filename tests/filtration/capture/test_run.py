"""A filter through the weeks: nothing is lost, hand calculations, and what order does."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.filtration.capture.pads import pad, settling_space
from aqualib.filtration.capture.particle_sizes import SizeClasses, size_classes
from aqualib.filtration.capture.recirculation import first_crossing
from aqualib.filtration.capture.run import LAYERS, clog_run, sinking_speeds
from aqualib.filtration.capture.stages import staged_loads, time_to_limit
from aqualib.filtration.hydraulics.loop import fitting_loss, hose_loss, operating_point
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.parameters import parameter
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
# So wide that it never fills.
WIDE_FINE, WIDE_MEDIUM = (part.with_bare(area=10.0) for part in (FINE, MEDIUM))
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
    found = ours.mass.sum(axis=(1, 2)) + ours.afloat.sum(axis=1) + ours.passed + ours.lost
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
    np.testing.assert_allclose(ours.afloat.m.sum(axis=1) + ours.lost.m, ours.made.m, rtol=1e-12)
    # In the end as much is lost in a day as is made.
    rest = 2 / parameter("fines_loss").value
    assert ours.afloat.m[-1].sum() == pytest.approx(rest, rel=1e-6)


def test_clean_flow_is_the_operating_point():
    clear_pad = COARSE.with_bare(permeability=1.0, inertial_permeability=1e3)
    point = operating_point(PUMP, LOSSES)
    assert run(clear_pad).flow[0].m == pytest.approx(point.flow.m, rel=1e-4)


def test_one_pad_holds_an_exponential_share():
    sizes = size_classes(count=10)
    ours = run(WIDE_MEDIUM, volume=None, sizes=sizes)
    medium = MEDIUM.bare
    strength = np.log(2) * (sizes.diameters / medium.cut_size) ** medium.sharpness
    share = np.where(sizes.diameters >= medium.aperture, 1, 1 - np.exp(-strength))
    inlet = 2 * 60 * sizes.mass_shares
    np.testing.assert_allclose(ours.mass.m[-1, 0], inlet * share, rtol=1e-9)
    assert ours.passed.m[-1] == pytest.approx((inlet * (1 - share)).sum(), rel=1e-9)


def test_order_changes_the_loads_and_not_what_is_held():
    there, back = (run(*order, volume=None, days=7) for order in ((COARSE, FINE), (FINE, COARSE)))
    # As long as no layer is full.
    assert there.passed.m[5] == pytest.approx(back.passed.m[5], rel=1e-9)
    assert there.time.m[5] == back.time.m[5]
    assert there.cleaning_due > 1.5 * back.cleaning_due
    assert back.ended_by == "fine"
    assert back.mass.m[5, 0].sum() > 2 * there.mass.m[5, 1].sum()


def test_without_a_tank_the_loads_are_those_worked_without_time():
    ours = run(COARSE, MEDIUM, FINE, volume=None, days=10)
    staged = staged_loads(20 * size_classes().mass_shares, ours.efficiency)
    np.testing.assert_allclose(ours.mass.m[-1], staged.by_size, rtol=1e-9, atol=1e-15)


def test_time_to_the_limit_worked_by_hand():
    """Row 4.10 of the notes: 400 cm², 40 mm, half full at 40 kg/m³; half of 5 mg/L is held."""
    half = MEDIUM.with_bare(
        cut_size=50e-6, aperture=1.0, voidage=0.95, deposit_density=40.0,
        deposit_limit=0.5 / 0.95, working_face=0.04,
    )  # fmt: skip
    only = SizeClasses(np.array([50e-6]), np.array([1.0]))
    days = time_to_limit(
        AREA, DEPTH, 0.5, Q(40, "kg/m**3"), Q(1000, "L/h"), Q(5, "mg/L"), 0.5
    ).m_as("day")
    assert days == pytest.approx(0.53333, rel=1e-5)
    ours = run(half, sizes=only, production=Q(120, "g/day"), volume=None, days=1)
    # The face is the whole pad. Its first layers hold more than the last, but none is full yet.
    assert ours.cleaning_due.m == pytest.approx(days, rel=1e-6)
    assert ours.ended_by == "medium"


def test_in_the_long_run_the_filter_takes_what_the_tank_makes():
    only = SizeClasses(np.array([300e-6]), np.array([1.0]))
    ours = run(WIDE_FINE, sizes=only, days=20)
    pace = np.diff(ours.mass.m.sum(axis=(1, 2)))[8:] / np.diff(ours.made.m)[8:]
    leaving = ours.flow.m_as("L/day")[-1] * ours.efficiency[0, 0]
    by_itself = 200 * parameter("fines_loss").value
    np.testing.assert_allclose(pace, leaving / (leaving + by_itself), rtol=1e-4)
    steady = 2000 / (leaving + by_itself)
    assert ours.suspended.m[-1] == pytest.approx(steady, rel=1e-4)


def test_a_pad_is_due_long_before_the_flow_tells():
    ours = run(FINE, days=60)
    share = ours.flow.m / ours.flow.m[0]
    at_due = np.interp(ours.cleaning_due.m, ours.time.m, share)
    assert ours.ended_by == "fine"
    assert at_due > 0.85
    halved = np.interp(-0.5, -share, ours.time.m)
    assert halved > 3 * ours.cleaning_due.m
    assert share[-1] < 0.5


def test_a_flow_limit_ends_a_run_when_it_is_the_first():
    ours = run(replace(FINE, deposit_limit=0.9), days=60, least_flow_share=0.95)
    assert ours.ended_by == "flow"
    at = np.interp(ours.cleaning_due.m, ours.time.m, ours.flow.m)
    assert at == pytest.approx(0.95 * ours.flow.m[0], rel=1e-6)


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


def filled_on(ours, day, stage):
    return [np.interp(day, ours.time.m, layer) for layer in ours.filled[:, stage].T]


def test_dirt_lies_on_the_face_of_a_fine_pad_and_goes_deeper():
    """Front to back each layer is less full; once the first is full, the next fill in its stead."""
    ours = run(FINE, days=60)
    early, late = (filled_on(ours, day, 0) for day in (3, 50))
    assert np.all(np.diff(early) <= 0)
    assert early[0] > 10 * early[-1]
    assert late[0] == pytest.approx(FINE.bare.full_share, rel=0.01)
    assert late[2] > 0.8 * late[0]
    assert np.all(ours.filled <= 1.005 * FINE.bare.full_share)
    # A coarse pad takes its dirt from deeper down as well.
    coarse = filled_on(run(COARSE, days=60), 3, 0)
    assert coarse[-1] / coarse[0] > 2 * early[-1] / early[0]


def test_a_settling_space_is_due_when_it_is_full_and_takes_no_more():
    ours = run(SPACE, days=200)
    assert ours.ended_by == "settling"
    held = ours.mass.m.sum(axis=(1, 2))
    full = SPACE.room * 1000
    assert np.interp(ours.cleaning_due.m, ours.time.m, held) == pytest.approx(full, rel=5e-3)
    assert held[-1] == pytest.approx(full, rel=5e-3)


def test_a_settling_space_is_one_layer():
    ours = run(*USUAL, days=20)
    assert ours.filled.shape[1:] == (4, LAYERS)
    np.testing.assert_array_equal(ours.filled[:, 0], ours.filled[:, 0, :1].repeat(LAYERS, axis=1))
    mass = ours.mass.m.sum(axis=-1)
    np.testing.assert_allclose(ours.filled[:, 0, 0], mass[:, 0] / (SPACE.room * 1000))
    # Layers of different depth make up the pad's dirt.
    thick = np.diff(COARSE.layer_edges(LAYERS))
    whole = ours.filled[:, 1] @ thick / thick.sum() * COARSE.room * 1000
    np.testing.assert_allclose(whole, mass[:, 1], rtol=1e-9)


# The example filter of lesson 04, and the numbers worked out for the lessons' review by another
# route, with the rows of that time: all pads 40 kg/m³, nothing lost, layers that fill to the brim.
EXAMPLE = Q(490.874, "cm**2")
BEFORE = {"voidage": 0.95, "deposit_density": 40.0, "full_share": 0.92}
ORDERS = {
    ("coarse", "medium", "fine"): 61,
    ("fine", "medium", "coarse"): 12,
    ("coarse", "fine"): 21,
    ("fine", "fine", "fine"): 12,
}


def example(order, days=180, changes=None, **rest):
    pads = [pad(grade, EXAMPLE, DEPTH, **(changes or {})) for grade in order]
    space = settling_space(EXAMPLE, Q(50, "mm"))
    return run(space, *pads, production=Q(1, "g/day"), days=days, **rest)


@pytest.mark.parametrize("order", ORDERS)
def test_faces_are_due_when_an_independent_sum_says(order):
    """A whole pad seen as one bucket gave 139, 59, 81 and 69 days for the same."""
    ours = example(order, changes=BEFORE, fines_loss=Q(0, "1/day"))
    assert ours.cleaning_due.m == pytest.approx(ORDERS[order], rel=0.04)
    assert "fine" in ours.ended_by


def test_what_differs_now_and_why():
    """Coarse dirt lies looser (15 kg/m³, not 40), so the coarse pad's face is due first."""
    usual = example(("coarse", "medium", "fine"))
    assert usual.ended_by == "coarse"
    assert usual.cleaning_due.m < 0.85 * ORDERS["coarse", "medium", "fine"]
    as_dense = example(("coarse", "medium", "fine"), changes={"deposit_density": 40.0})
    assert as_dense.ended_by == "fine"
    assert as_dense.cleaning_due.m > ORDERS["coarse", "medium", "fine"]
    # With the fine pad in front nothing but the fine pad counts.
    backward = example(("fine", "medium", "coarse"))
    assert backward.cleaning_due.m == pytest.approx(12, rel=0.15)


@pytest.mark.parametrize("order", ORDERS)
def test_days_do_not_hang_on_the_number_of_layers(order):
    """5, 8 and 16 layers against 32; 8 are used. The flow needs more of them than the days do."""
    most = example(order, layers=32).cleaning_due.m
    for layers, within in ((5, 0.07), (8, 0.07), (16, 0.025)):
        ours = example(order, layers=layers)
        assert ours.cleaning_due.m == pytest.approx(most, rel=within)


def test_order_changes_nothing_that_a_clean_filter_holds():
    passing = [
        np.prod(1 - example(order, days=1).efficiency, axis=0)
        for order in permutations(("coarse", "medium", "fine"))
    ]
    np.testing.assert_allclose(passing, np.broadcast_to(passing[0], np.shape(passing)), rtol=1e-9)


@pytest.mark.parametrize(
    "stages", [USUAL, (FINE, COARSE), (SPACE,)], ids=["usual", "fine", "space"]
)
def test_when_cleaning_is_due_does_not_depend_on_how_long_one_looks(stages):
    dues = [run(*stages, days=days) for days in (60, 180, 365, 2000)]
    found = {(ours.ended_by, round(ours.cleaning_due.m, 9)) for ours in dues if ours.ended_by}
    assert len(found) == 1


def test_nor_does_it_where_the_flow_is_the_limit():
    """A weak pump on a small pad; once 9.06, 9.26 and, with another cause, 9.61 days."""
    weak = PumpCurve.from_limits(Q(0.05, "m"), Q(1200, "L/h"))
    small = pad("fine", Q(50, "cm**2"), DEPTH, deposit_limit=0.91)
    dues = [clog_run([small], weak, LOSSES, duration=Q(days, "day"), **TANK)
            for days in (60, 180, 365)]  # fmt: skip
    assert {ours.ended_by for ours in dues} == {"flow"}
    days = [ours.cleaning_due.m for ours in dues]
    np.testing.assert_allclose(days, days[0], rtol=1e-9)


def left_by_screen(mesh, **rest):
    """Solids in the tank after six weeks behind a screen so large that it does not clog."""
    screen = WIDE_FINE.with_bare(cut_size=mesh, aperture=4 * mesh)
    return run(screen, days=42, production=Q(1, "g/day"), **rest).suspended.m[-1]


def test_fines_that_leave_by_other_ways_bring_screens_together():
    """Screens of 100, 60 and 20 µm did not differ after six weeks (FernandesEtAl2015, abstract).

    Where the pads are the only way out, ours of 100 µm leaves 14 times what that of 20 µm leaves;
    with the row for other ways 2.3 times, between 3.4 and 1.7 at its ends. The row was chosen so
    that they come near, and this is no test of it. Two is still not one: real tanks also grind
    coarse dirt into fine.
    """
    row = parameter("fines_loss")
    ratios = [
        left_by_screen(100e-6, fines_loss=Q(loss, "1/day"))
        / left_by_screen(20e-6, fines_loss=Q(loss, "1/day"))
        for loss in (0.0, row.low, row.value, row.high)
    ]
    np.testing.assert_allclose(ratios, [14.2, 3.4, 2.29, 1.65], rtol=0.01)


def test_the_other_view_of_how_fine_dirt_is():
    """More of it is too fine to be caught, so less reaches the pads and they last longer."""
    few, many = (size_classes(exponent=parameter(f"solids_exponent{row}").value)
                 for row in ("", "_fine"))  # fmt: skip
    order = ("coarse", "medium", "fine")
    usual, finer = example(order), example(order, sizes=many)
    np.testing.assert_array_equal(usual.mass.m, example(order, sizes=few).mass.m)
    assert finer.cleaning_due.m > 1.3 * usual.cleaning_due.m
    lost = [ours.lost.m[-1] / ours.made.m[-1] for ours in (usual, finer)]
    assert lost[1] > 2 * lost[0]


def test_a_deep_bed_holds_more_than_pads_that_are_due_and_less_than_full_ones():
    """Deep beds of coarse grains end with 10.7 to 16 kg/m³ (FilterCapacityTable, table 7.33.2)."""
    ours = example(("coarse", "medium", "fine"))
    pads = ours.mass.m.sum(axis=-1)[:, 1:].sum(axis=-1)
    litres = 3 * EXAMPLE.m_as("dm**2") * DEPTH.m_as("dm")
    when_due = np.interp(ours.cleaning_due.m, ours.time.m, pads) / litres
    full = sum(p.room * p.bare.full_share for p in (COARSE, MEDIUM, FINE)) / 3 / 0.0016
    assert 10.7 / 3 < when_due < 10.7
    assert 16 < full < 3 * 16


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
    names = ("time", "flow", "mass", "suspended", "made", "passed", "lost", "afloat", "diameters")
    for name in names:
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
        ("fines_loss", Q(-1, "1/day")),
        ("layers", 1),
    ],
    ids=range(8),
)
def test_bad_input(name, value):
    with pytest.raises(ValidityError, match=name):
        run(*USUAL, **{name: value})
