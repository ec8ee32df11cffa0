"""The solver against closed forms, another solver, and its own balances."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_bvp
from scipy.special import iv

from aqualib.filtration.porous_piece import newton
from aqualib.filtration.porous_piece.newton import (
    Cells,
    ConvergenceError,
    Problem,
    cells,
    solve,
    try_newton,
)

SHAPES = {"slab": 1, "cylinder": 2, "sphere": 3}
EACH_SHAPE = pytest.mark.parametrize("dimensions", SHAPES.values(), ids=SHAPES)


class FirstOrder:
    """One species, used up in proportion to itself; a rate for each cell or one for all."""

    stoichiometry = np.array([[-1.0]])

    def __init__(self, constant):
        self.constant = constant

    def rates(self, concentrations):
        constant = np.broadcast_to(self.constant, (len(concentrations),))
        return constant[:, None] * concentrations, constant[:, None, None] * np.ones((1, 1, 1))


class Monod:
    """Several species used up together, after double Monod; the third is made of the second."""

    stoichiometry = np.array([[-3.4, -1.0, 1.0], [-1.1, 0.0, -1.0]])

    def __init__(self, most=(4.0, 3.0), half=(0.4, 0.6, 0.3)):
        self.most, self.half = most, half

    def rates(self, concentrations):
        f = concentrations / (concentrations + self.half)
        g = self.half / (concentrations + self.half) ** 2
        rates = np.column_stack(
            [self.most[0] * f[:, 0] * f[:, 1], self.most[1] * f[:, 0] * f[:, 2]]
        )
        slopes = np.zeros((len(f), 3, 2))
        slopes[:, 0, 0], slopes[:, 1, 0] = g[:, 0] * f[:, 1], f[:, 0] * g[:, 1]
        slopes[:, 0, 1], slopes[:, 2, 1] = g[:, 0] * f[:, 2], f[:, 0] * g[:, 2]
        return rates, slopes * np.array(self.most)


class NearlyZeroOrder(FirstOrder):
    """Used up at one pace until almost nothing is left."""

    def rates(self, concentrations):
        half = 1e-7
        share = 1.0 / (half + concentrations)
        return self.constant * concentrations * share, (self.constant * half * share**2)[:, :, None]


def even(count, size=1.0, inner=0.0):
    return np.linspace(inner, size, count + 1)


def crowded(count, size=1.0):
    """Cells that are thinner toward the surface."""
    x = np.linspace(0.0, 1.0, count + 1)
    return size * (1.0 - np.sinh(3.0 * (1.0 - x)) / np.sinh(3.0))


def problem(faces, dimensions, reaction, outside=(1.0,), resistance=0.0, diffusivity=1.0):
    shells = cells(faces, dimensions)
    outside = np.array(outside, dtype=float)
    spread = np.broadcast_to(diffusivity, (shells.count, outside.size)).astype(float)
    resistance = np.broadcast_to(resistance, outside.shape).astype(float)
    return Problem(shells, spread, outside, resistance, reaction)


def effectiveness(phi, dimensions):
    """The closed forms for first order; phi is the radius times the root of k over D."""
    if dimensions == 1:
        return np.tanh(phi) / phi
    if dimensions == 2:
        return 2.0 * iv(1, phi) / (phi * iv(0, phi))
    return 3.0 / phi**2 * (phi / np.tanh(phi) - 1.0)


@EACH_SHAPE
@pytest.mark.parametrize("phi", [0.1, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0])
def test_first_order_gives_the_closed_effectiveness(dimensions, phi):
    found = solve(problem(crowded(1600), dimensions, FirstOrder(phi**2)))
    whole = phi**2 / dimensions
    assert found.flux()[0] / whole == pytest.approx(effectiveness(phi, dimensions), rel=1e-5)


@EACH_SHAPE
def test_error_falls_as_the_square_of_the_cells(dimensions):
    phi, errors = 4.0, []
    for count in (20, 40, 80, 160):
        found = solve(problem(crowded(count), dimensions, FirstOrder(phi**2)))
        exact = effectiveness(phi, dimensions) * phi**2 / dimensions
        errors.append(abs(found.flux()[0] / exact - 1.0))
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert np.all(np.abs(orders - 2.0) < 0.1)


@EACH_SHAPE
def test_a_small_piece_works_to_the_middle_and_a_large_one_in_its_skin(dimensions):
    small = solve(problem(even(50), dimensions, FirstOrder(1e-4)))
    assert small.flux()[0] == pytest.approx(1e-4 / dimensions, rel=1e-4)
    large = solve(problem(crowded(2000), dimensions, FirstOrder(100.0**2)))
    assert large.flux()[0] == pytest.approx(100.0, rel=0.02)


def two_layers(phi_in, phi_out, ratio, border=0.6):
    """Flux into a slab of an inner and an outer layer, first order in both; ratio D_in / D_out."""
    a = phi_in * np.tanh(phi_in * border) * ratio
    t = np.tanh(phi_out * (1.0 - border))
    return phi_out * (phi_out * t + a) / (phi_out + a * t)


@pytest.mark.parametrize(
    ("phi_in", "phi_out", "ratio"), [(1.0, 3.0, 0.5), (4.0, 1.0, 2.0), (0.2, 6.0, 0.1)]
)
def test_two_layers_in_first_order(phi_in, phi_out, ratio):
    errors = []
    for count in (200, 400):
        faces = np.concatenate([even(count, 0.6), even(count, 1.0, 0.6)[1:]])
        inside = np.arange(2 * count) < count
        spread = np.where(inside, ratio, 1.0)
        constant = spread * np.where(inside, phi_in, phi_out) ** 2
        slab = problem(faces, 1, FirstOrder(constant), diffusivity=spread[:, None])
        errors.append(solve(slab).flux()[0] / two_layers(phi_in, phi_out, ratio) - 1.0)
    assert abs(errors[1]) < 2e-5
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.05)


@EACH_SHAPE
def test_zero_order_reaches_as_deep_as_the_closed_forms_say(dimensions):
    constant = 40.0
    found = solve(problem(crowded(3000), dimensions, NearlyZeroOrder(constant)))
    used = found.flux()[0] / constant
    if dimensions == 1:
        assert used == pytest.approx(np.sqrt(2.0 / constant), rel=1e-3)
    if dimensions == 2:
        core = 1.0 - 2.0 * used  # squared
        assert constant / 4.0 * (1.0 - core + core * np.log(core)) == pytest.approx(1.0, rel=1e-3)
    if dimensions == 3:
        core = (1.0 - 3.0 * used) ** (1.0 / 3.0)
        assert constant / 6.0 * (1.0 - 3.0 * core**2 + 2.0 * core**3) == pytest.approx(
            1.0, rel=2e-3
        )


def test_zero_order_through_a_small_piece_uses_all_of_it():
    # Reached to the middle: R up to the root of 6 D C / k in a sphere, of 4 and 2 in the others.
    for dimensions, limit in ((1, 2.0), (2, 4.0), (3, 6.0)):
        for share, through in ((0.98, True), (1.05, False)):
            found = solve(problem(crowded(800), dimensions, NearlyZeroOrder(share * limit)))
            assert (found.concentrations[0, 0] > 1e-3) == through


@EACH_SHAPE
def test_double_monod_agrees_with_another_solver(dimensions):
    outside, spread = np.array([7.0, 2.0, 0.1]), np.array([2.0, 1.6, 1.5])
    reaction, resistance = Monod((30.0, 25.0)), 0.05
    ours = solve(problem(crowded(2000), dimensions, reaction, outside, resistance, spread))

    def slope(x, y):
        made = reaction.rates(np.maximum(y[:3], 0.0).T)[0] @ reaction.stoichiometry
        along = (dimensions - 1) / np.where(x > 0.0, x, np.inf) * y[3:]
        curve = -made.T / spread[:, None] - along
        # In the middle the two curvatures share the load.
        curve[:, x == 0.0] /= dimensions
        return np.vstack([y[3:], curve])

    def ends(inner, outer):
        return np.concatenate([inner[3:], spread * outer[3:] - (outside - outer[:3]) / resistance])

    x = np.linspace(0.0, 1.0, 400)
    guess = np.vstack([np.tile(outside[:, None], x.size), np.zeros((3, x.size))])
    other = solve_bvp(slope, ends, x, guess, tol=1e-8, max_nodes=200_000)
    assert other.success
    there = other.sol(ours.problem.cells.nodes)[:3].T
    assert ours.concentrations == pytest.approx(there, abs=2e-5)
    assert ours.flux() == pytest.approx((outside - other.y[:3, -1]) / resistance, rel=1e-5)


def closes(found):
    """What enters is what the reactions use up, each species, against its own turnover."""
    turnover, made = found.turnover(), found.problem.reaction.stoichiometry
    gross = np.abs(turnover[:, None] * made).sum(axis=0)
    # Two large numbers that are nearly equal leave a rounding error in their difference.
    rounding = 1e-14 * found.problem.conductances[-1] * found.problem.outside
    return np.all(np.abs(found.flux() + turnover @ made) <= 1e-8 * gross + rounding)


positive = st.floats(1e-3, 1e3)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from([1, 2, 3]),
    st.tuples(positive, positive, st.floats(0.0, 10.0)),
    st.tuples(positive, positive),
    st.floats(0.0, 100.0),
)
def test_every_species_balances_and_none_is_negative(dimensions, outside, most, resistance):
    found = solve(problem(crowded(60), dimensions, Monod(most), outside, resistance))
    assert closes(found)
    assert np.all(found.concentrations >= 0.0)
    assert np.all(np.isfinite(found.concentrations))
    # The first two are only used up.
    assert np.all(np.diff(found.concentrations[:, :2], axis=0) >= -1e-12 * max(outside))


def test_patience_finds_what_newton_finds(monkeypatch):
    slab = problem(crowded(60), 1, Monod((60.0, 50.0)), (7.0, 2.0, 0.1), 0.1)
    quick = solve(slab)
    monkeypatch.setattr(newton, "NEWTON_STEPS", 2)
    assert try_newton(slab) is None
    slow = solve(slab)
    assert slow.steps > quick.steps
    assert slow.concentrations == pytest.approx(quick.concentrations, abs=1e-9)
    assert closes(slow)


def test_no_answer_rather_than_a_wrong_one(monkeypatch):
    monkeypatch.setattr(newton, "NEWTON_STEPS", 2)
    monkeypatch.setattr(newton, "DAMPED_STEPS", 2)
    with pytest.raises(ConvergenceError, match="could not be found"):
        solve(problem(crowded(60), 1, Monod((60.0, 50.0)), (7.0, 2.0, 0.1)))


def test_what_cannot_be_computed_is_refused():
    with pytest.raises(ConvergenceError):
        solve(problem(crowded(20), 1, FirstOrder(np.nan)))


def test_the_guess_changes_nothing():
    slab = problem(crowded(60), 3, Monod((60.0, 50.0)), (7.0, 2.0, 0.1), 0.1)
    plain = solve(slab)
    for guess in (np.full((60, 3), 0.01), plain.concentrations, 5.0 * plain.concentrations + 1.0):
        again = solve(slab, guess)
        assert again.concentrations == pytest.approx(plain.concentrations, rel=1e-8, abs=1e-12)


def test_the_guess_is_left_alone():
    slab = problem(crowded(60), 1, Monod(), (7.0, 2.0, 0.1))
    guess = np.full((60, 3), 0.5)
    guess.flags.writeable = False
    solve(slab, guess)


def test_films_outside_from_none_to_one_that_lets_nothing_pass():
    fluxes = [
        solve(problem(crowded(80), 1, FirstOrder(9.0), resistance=r)).flux()[0]
        for r in (0.0, 1e-9, 0.1, 1.0, 1e3, 1e9)
    ]
    assert fluxes[0] == pytest.approx(fluxes[1], rel=1e-7)
    assert np.all(np.diff(fluxes) < 0.0)
    # Films and slab are resistances in a row.
    assert fluxes[2] == pytest.approx(1.0 / (0.1 + 1.0 / fluxes[0]), rel=1e-9)
    assert fluxes[-1] == pytest.approx(1e-9, rel=1e-6)


def test_what_does_not_pass_settles_by_itself():
    slab = problem(crowded(80), 1, Monod(), (7.0, 2.0, 0.0), (0.1, 0.1, np.inf))
    found = solve(slab)
    assert found.flux()[2] == 0.0
    ammonia, nitrite = found.turnover()
    assert nitrite == pytest.approx(ammonia, rel=1e-9)


def test_a_hollow_shell_lets_nothing_through_its_inner_face():
    thin = solve(problem(even(40, 10.0, 9.999), 3, FirstOrder(2.0)))
    assert thin.flux()[0] == pytest.approx(2.0 * 1e-3, rel=1e-3)
    assert thin.concentrations == pytest.approx(1.0, abs=1e-5)


def test_answer_to_a_small_push_is_the_difference_of_two_answers():
    slab = problem(crowded(60), 2, Monod((20.0, 10.0)), (7.0, 2.0, 0.1), 0.1)
    found, step = solve(slab), 1e-5
    push = np.zeros_like(found.concentrations)
    push[-1, 0] = slab.conductances[-1, 0] * step
    more = solve(replace(slab, outside=slab.outside + np.array([step, 0.0, 0.0])))
    difference = more.concentrations - found.concentrations
    assert found.change(push) == pytest.approx(difference, rel=1e-3, abs=1e-4 * step)


@EACH_SHAPE
def test_cells_fill_the_shape(dimensions):
    shells = cells(crowded(30, 2.0), dimensions)
    assert isinstance(shells, Cells)
    assert shells.volumes.sum() == pytest.approx(2.0 / dimensions)
    assert shells.depth == 2.0
    assert shells.share_below(0.0) == 1.0
    assert shells.share_below(2.0) == shells.share_below(9.0) == 0.0
    assert shells.share_below(1.0) == pytest.approx(0.5**dimensions)
