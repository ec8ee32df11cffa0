"""A working piece against closed forms, published rates, finer cells, and common sense."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.filtration.biofilm.diffusion import SPECIES
from aqualib.filtration.porous_piece.balance import Water
from aqualib.filtration.porous_piece.film_parameters import film_with
from aqualib.filtration.porous_piece.piece import denitrified_if_fed, solved_piece, working_piece
from aqualib.filtration.porous_piece.shells import Piece
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.oxygen import saturation

PER_DAY = 86400e3
BALL = Piece("sphere", 0.01, 0.5, 2e-4, 1e-4)
WATER = Water(298.15, 0.0, 7e-3, 5e-4, None, 1e-2, 3e-3, 0.005)
ANSWERS = (
    "nitrified", "denitrified", "working_depth", "busy_depth",
    "anoxic_depth", "fed_depth", "effectiveness", "anoxic_share", "oxygen_gain", "ammonia_gain",
)  # fmt: skip
SETTINGS = [
    (BALL, WATER),
    (BALL, replace(WATER, ammonium=3e-3, organic=2e-2)),
    (replace(BALL, shape="slab", size=3e-3), replace(WATER, velocity=0.0)),
    (replace(BALL, shape="cylinder", pore_diameter=5e-6), replace(WATER, nitrite=2e-4)),
    (replace(BALL, porosity=0.0), replace(WATER, ammonium=5e-3)),
]
EACH = pytest.mark.parametrize(("piece", "water"), SETTINGS)


def ask(**changes):
    given_now = {
        "shape": "sphere",
        "size": Q(10, "mm"),
        "total_ammonia_nitrogen": Q(0.5, "mg/L"),
        "oxygen": Q(7, "mg/L"),
        "temperature": Q(25, "degC"),
    }
    return working_piece(**{**given_now, **changes})


@EACH
def test_answers_do_not_depend_on_the_guess(piece, water):
    plain = solved_piece(piece, water)
    other = solved_piece(piece, replace(water, ammonium=2e-3, oxygen=2e-3, organic=0.05))
    again = solved_piece(piece, water, start=other)
    for name in ANSWERS:
        assert getattr(again, name) == pytest.approx(getattr(plain, name), rel=1e-8, abs=1e-15), (
            name
        )
    assert again.concentrations == pytest.approx(plain.concentrations, rel=1e-8, abs=1e-13)


@EACH
def test_finer_cells_change_little(piece, water):
    coarse, fine = (solved_piece(piece, water, fineness=f) for f in (1.0, 6.0))
    assert coarse.nitrified == pytest.approx(fine.nitrified, rel=2e-3)
    assert coarse.fluxes == pytest.approx(fine.fluxes, rel=5e-3, abs=1e-3 * fine.nitrified)
    for name in ("working_depth", "busy_depth", "anoxic_depth", "fed_depth"):
        assert getattr(coarse, name) == pytest.approx(getattr(fine, name), rel=0.01), name
    assert coarse.anoxic_share == pytest.approx(fine.anoxic_share, abs=5e-3)


@EACH
def test_error_falls_as_the_square_of_the_cells(piece, water):
    nitrified = [solved_piece(piece, water, fineness=f).nitrified for f in (1.0, 2.0, 4.0, 16.0)]
    errors = np.abs(np.array(nitrified[:3]) / nitrified[3] - 1.0)
    orders = np.log2(errors[:-1] / errors[1:])
    assert orders == pytest.approx(2.0, abs=0.3)


def test_a_full_film_reaches_the_measured_capacity():
    # Nijhof & Bovendeur 1990: 0.69 g/m² a day at most, fresh water, 24 °C. Plenty of ammonia, air
    # nearly in balance, and a flow that leaves a thin film of water.
    oxygen = 0.9 * saturation.bare(297.15, 0.0)
    plate = Piece("slab", 0.01, 0.0, 2e-4, parameter("biofilm_thickness").bare)
    water = Water(297.15, 0.0, oxygen, 0.01, None, 0.01, 0.0, 0.1)
    assert solved_piece(plate, water).nitrified * PER_DAY == pytest.approx(0.69, rel=0.01)


def test_a_lightly_fed_film_falls_off_as_measured():
    # Kinyage et al. 2019: 0.10 g/m² a day at most, and 0.22 m/d where ammonia is scarce; the
    # density is set to give the first, the second follows to a third.
    plate = Piece("slab", 0.01, 0.0, 2e-4, 1e-4)
    plenty = Water(297.15, 0.0, 7.6e-3, 0.01, None, 0.01, 0.0, 0.1)
    sparse = film_with(ammonia_rate=1135 / PER_DAY)
    most = solved_piece(plate, plenty, sparse).nitrified * PER_DAY
    assert most == pytest.approx(0.10, rel=0.02)
    scarce = solved_piece(plate, replace(plenty, ammonium=5e-5), sparse)
    assert scarce.nitrified / 5e-5 * 86400 == pytest.approx(0.22, rel=1 / 3)


def test_rate_of_a_bed_of_rings_is_of_the_measured_size():
    # Sudarno et al. 2009: 120 g/m³ of packing a day in sea water, well fed, porous ceramic rings.
    wall = ask(
        shape="slab", size=Q(3, "mm"), total_ammonia_nitrogen=Q(20, "mg/L"), salinity=35.0,
        oxygen=Q(6, "mg/L"),
    )  # fmt: skip
    bed = wall.nitrified_per_volume * (1.0 - 0.6)
    assert 120.0 / 3.0 < bed.m_as("g/m**3/day") < 3.0 * 120.0


def test_oxygen_or_ammonia_limits_by_their_ratio():
    # Where both run out together, oxygen over ammonia is the demand times the diffusivities.
    plate = Piece("slab", 0.01, 0.0, 2e-4, 2e-3)
    sharp = film_with(
        ammonia_half=1e-5, ammonia_oxygen=1e-5, nitrite_half=1e-6, nitrite_oxygen=1e-5,
        still_water=1e-6,
    )  # fmt: skip
    limits = []
    for ratio in (2.0, 3.3, 4.2, 6.0):
        water = Water(298.15, 0.0, 7e-3, 7e-3 / ratio, None, 0.0, 0.0, 0.0)
        limits.append(solved_piece(plate, water, sharp).limited_by)
    assert limits == ["oxygen", "oxygen", "ammonia", "ammonia"]


@pytest.mark.parametrize("shape", ["slab", "sphere"])
def test_zero_order_reaches_as_deep_as_the_closed_form(shape):
    # Plenty of ammonia and nitrite: oxygen is used at one pace until it is gone.
    whole = Piece(shape, 0.01, 0.0, 2e-4, 2e-3)
    sharp = film_with(
        ammonia_half=1e-7, ammonia_oxygen=2e-6, nitrite_half=1e-7, nitrite_oxygen=2e-6,
        ammonia_rate=5000 / PER_DAY, nitrite_over_ammonia=1.0, film_share=0.5,
        still_water=1e-7, anoxic_oxygen=1e-4,
    )  # fmt: skip
    water = Water(297.15, 0.0, 8e-3, 0.05, 0.05, 0.0, 0.0, 0.0)
    found = solved_piece(whole, water, sharp, fineness=8.0)
    constant = (3.2466 + 1.0822) * 5000 / PER_DAY
    spread = 0.5 * water.diffusivities()[0]
    used = found.nitrified / (5000 / PER_DAY)
    if shape == "slab":
        depth = np.sqrt(2.0 * spread * 8e-3 / constant)
        assert used == pytest.approx(depth, rel=0.01)
        assert found.working_depth == pytest.approx(0.95 * depth, rel=0.02)
        # Oxygen falls as a parabola: where it meets the limit of the core is known, too.
        limit = 1.0 - np.sqrt(sharp.anoxic_oxygen / 8e-3)
        assert found.anoxic_depth == pytest.approx(limit * depth, rel=0.01)
    else:
        core = whole.outer * (1.0 - 3.0 * used / whole.outer) ** (1.0 / 3.0)
        shell = whole.outer**2 - 3.0 * core**2 + 2.0 * core**3 / whole.outer
        assert constant / (6.0 * spread) * shell == pytest.approx(8e-3, rel=0.02)


def test_tiny_pieces_work_all_through():
    # Thin film, plenty of everything, no film of water: nothing is in the way.
    plate = Piece("slab", 0.01, 0.0, 2e-4, 1e-6)
    found = solved_piece(plate, replace(WATER, velocity=0.1), film_with(still_water=1e-7))
    assert found.effectiveness == pytest.approx(1.0, abs=2e-3)
    assert not found.has_core
    assert found.working_depth == pytest.approx(0.95e-6, rel=0.01)


def test_gains_are_those_of_a_little_more():
    for piece, water in SETTINGS:
        found = solved_piece(piece, water)
        for name, gain in (("oxygen", found.oxygen_gain), ("ammonium", found.ammonia_gain)):
            more = replace(water, **{name: 1.001 * getattr(water, name)})
            change = solved_piece(piece, more).nitrified / found.nitrified - 1.0
            assert 1000.0 * change == pytest.approx(gain, rel=0.02, abs=2e-3)


def test_food_for_denitrifiers_takes_the_oxygen_too():
    """A ball of 20 mm: 0.04 g/m² a day with the oxygen as it was, more with the food there."""
    ball = replace(BALL, size=0.02)
    starved = solved_piece(ball, replace(WATER, organic=0.0))
    assert starved.denitrified == 0.0
    assert 0.08 < denitrified_if_fed(starved) * PER_DAY < 0.6
    fed = solved_piece(ball, replace(WATER, organic=0.1))
    assert denitrified_if_fed(starved) == pytest.approx(fed.denitrified, rel=1e-6)
    assert fed.nitrified < starved.nitrified
    asked = ask(size=Q(20, "mm"), organic_carbon=Q(0, "mg/L"))
    removed = denitrified_if_fed(asked).m_as("g/m**2/day")
    assert removed == pytest.approx(fed.denitrified * PER_DAY, rel=1e-4)


def test_no_oxygen_gone_no_core_and_no_core_without_ammonia_to_burn():
    little = solved_piece(BALL, replace(WATER, ammonium=2e-4))
    much = solved_piece(BALL, replace(WATER, ammonium=4e-3))
    assert not little.has_core
    assert little.anoxic_depth == pytest.approx(BALL.outer)
    assert much.has_core
    assert much.anoxic_share > 0.5


def test_narrow_pores_leave_the_film_alone_to_work():
    closed = solved_piece(replace(BALL, pore_diameter=5e-6), WATER)
    solid = solved_piece(replace(BALL, porosity=0.0), WATER)
    assert closed.nitrified == pytest.approx(solid.nitrified, rel=1e-6)
    assert closed.working_depth <= BALL.film
    assert solved_piece(BALL, WATER).nitrified > closed.nitrified


amount = st.floats(0.0, 1.0)


@settings(max_examples=30, deadline=None)
@given(amount, amount, st.sampled_from(["slab", "cylinder", "sphere"]))
def test_more_food_or_air_never_does_less(oxygen, ammonia, shape):
    piece = replace(BALL, shape=shape)
    water = replace(WATER, oxygen=5e-4 * 24.0**oxygen, ammonium=5e-5 * 100.0**ammonia)
    here = solved_piece(piece, water).nitrified
    for name in ("oxygen", "ammonium"):
        more = replace(water, **{name: 1.1 * getattr(water, name)})
        assert solved_piece(piece, more).nitrified >= here * (1.0 - 1e-9)


def test_smaller_pieces_do_more_in_a_litre_but_not_on_a_square_metre():
    sizes = [ask(size=Q(mm, "mm")) for mm in (2, 5, 10, 20, 30)]
    assert np.all(np.diff([one.nitrified_per_volume.m for one in sizes]) < 0.0)
    areal = [one.nitrified.m for one in sizes]
    assert max(areal) < 1.6 * min(areal)


def test_quantities_are_those_of_the_bare_numbers():
    found = ask(
        velocity=Q(5, "mm/s"), nitrate_nitrogen=Q(10, "mg/L"), organic_carbon=Q(3, "mg/L"),
        porosity=0.5, pore_diameter=Q(200, "um"), film=Q(0.1, "mm"),
    )  # fmt: skip
    bare = solved_piece(BALL, WATER)
    assert found.nitrified.m_as("kg/m**2/s") == pytest.approx(bare.nitrified)
    assert found.nitrified.units == Q(1, "g/m**2/day").units
    assert found.nitrified_per_volume.m_as("g/L/day") == pytest.approx(
        found.nitrified.m_as("g/m**2/day") / BALL.volume_per_area / 1000.0
    )
    assert found.working_depth.m_as("m") == pytest.approx(bare.working_depth)
    assert found.concentrations.m_as("kg/m**3") == pytest.approx(bare.concentrations)
    profile, flux = found.of("oxygen")
    assert profile.shape == found.depth.shape
    assert profile[-1] > profile[0]
    assert flux.m_as("kg/m**2/s") == pytest.approx(bare.fluxes[0])
    assert found.depth[-1].m == 0.0
    with pytest.raises(ValidityError, match="species"):
        found.of("gold")
    assert all(found.of(species)[0].size == found.depth.size for species in SPECIES)


def test_what_is_left_out_comes_from_its_row():
    rows = {
        "velocity": "flow_past_piece", "nitrate_nitrogen": "piece_nitrate",
        "organic_carbon": "organic_matter", "porosity": "piece_porosity",
        "pore_diameter": "pore_width", "film": "biofilm_thickness",
    }  # fmt: skip
    given_all = ask(**{name: parameter(row).quantity for name, row in rows.items()})
    assert given_all.nitrified == ask().nitrified


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("shape", "cube"),
        ("shape", None),
        ("size", Q(0, "mm")),
        ("size", Q(-1, "mm")),
        ("size", 10.0),
        ("size", Q(10, "mg/L")),
        ("size", Q([5, 10], "mm")),
        ("size", None),
        ("total_ammonia_nitrogen", Q(0, "mg/L")),
        ("total_ammonia_nitrogen", Q(np.nan, "mg/L")),
        ("oxygen", Q(np.inf, "mg/L")),
        ("oxygen", Q(0, "mg/L")),
        ("oxygen", None),
        ("temperature", Q(50, "degC")),
        ("temperature", Q(2, "degC")),
        ("velocity", Q(-1, "mm/s")),
        ("salinity", 80.0),
        ("salinity", None),
        ("nitrite_nitrogen", Q(-1, "mg/L")),
        ("nitrate_nitrogen", "much"),
        ("organic_carbon", True),
        ("porosity", 1.2),
        ("pore_diameter", Q(1, "m")),
        ("film", Q(0, "mm")),
    ],
)
def test_bad_input_is_refused_by_name(name, value):
    with pytest.raises(ValidityError) as refused:
        ask(**{name: value})
    assert refused.value.parameter == name


def test_assumptions_can_be_changed_and_are_checked():
    assert ask(ammonia_rate=film_with().ammonia_rate / 10.0).nitrified < ask().nitrified
    with pytest.raises(ValidityError, match="ammonia_rate"):
        ask(ammonia_rate=-1.0)
    with pytest.raises(ValidityError, match="moon"):
        ask(moon=1.0)
