"""Water along the media: balances, limits, the way there and back, and a solver's answer."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from aqualib.filtration.biofilm import film_uptake
from aqualib.tank.sizing.flow_past import ammonia_removed, required_area, steady_ammonia
from aqualib.units import Q
from aqualib.validity import ValidityError

PRODUCTION, AMMONIA = st.floats(1e-3, 50), st.floats(0.01, 50)
FLOW, AREA = st.floats(0.05, 500), st.floats(1e-3, 1e3)  # m³/day, m²
FIRST, MOST = st.floats(0.05, 5), st.floats(0.05, 2)


def film_rate(ammonia, transfer, most):
    return film_uptake(
        Q(ammonia, "mg/L"), Q(transfer, "m/day"), Q(most, "g/m**2/day"), Q(0.5, "mg/L")
    ).m


def amounts(flow, first, most):
    return {
        "flow": Q(flow, "m**3/day"),
        "transfer": Q(first, "m/day"),
        "most": Q(most, "g/m**2/day"),
    }


def removed(ammonia, flow, area, first, most):
    return ammonia_removed(Q(ammonia, "mg/L"), area=Q(area, "m**2"), **amounts(flow, first, most)).m


@given(AMMONIA, FLOW, AREA, FIRST, MOST)
def test_no_more_than_the_flow_brings_or_the_film_can(ammonia, flow, area, first, most):
    found = removed(ammonia, flow, area, first, most)
    assert 0.0 <= found <= flow * ammonia * (1 + 1e-9)
    assert found <= area * film_rate(ammonia, first, most) * (1 + 1e-6)


@given(PRODUCTION, AMMONIA, FLOW, FIRST, MOST)
def test_there_and_back(production, ammonia, flow, first, most):
    assume(production < 0.98 * flow * ammonia)
    given_amounts = amounts(flow, first, most)
    area = required_area(Q(production, "g/day"), Q(ammonia, "mg/L"), **given_amounts)
    assume(1e-6 < area.m < 1e6)
    back = ammonia_removed(Q(ammonia, "mg/L"), area=area, **given_amounts)
    assert back.m == pytest.approx(production, rel=1e-6)
    settled = steady_ammonia(Q(production, "g/day"), area=area, **given_amounts)
    assert settled.m == pytest.approx(ammonia, rel=1e-6)


@given(AMMONIA, FLOW, AREA, FIRST, MOST, st.floats(1.1, 10))
def test_media_and_flow_together_scale(ammonia, flow, area, first, most, times):
    once = removed(ammonia, flow, area, first, most)
    assert removed(ammonia, times * flow, times * area, first, most) == pytest.approx(
        times * once, rel=1e-6
    )


@given(AMMONIA, FLOW, AREA, FIRST, MOST, st.floats(1.0, 10))
def test_more_of_anything_never_hurts(ammonia, flow, area, first, most, times):
    least = removed(ammonia, flow, area, first, most) * (1 - 1e-9)
    assert removed(ammonia, times * flow, area, first, most) >= least
    assert removed(ammonia, flow, times * area, first, most) >= least
    assert removed(min(times * ammonia, 100.0), flow, area, first, most) >= least


@pytest.mark.parametrize(
    ("ammonia", "flow", "area", "first", "most"),
    [(0.5, 14.4, 1.0, 0.27, 0.7), (5.0, 1.0, 20.0, 0.2, 0.3), (30.0, 2.0, 5.0, 1.0, 0.1)],
)
def test_a_solver_finds_the_same(ammonia, flow, area, first, most):
    along = solve_ivp(
        lambda _, c: [-film_rate(max(c[0], 0.0), first, most) / flow],
        (0.0, area),
        [ammonia],
        method="LSODA",
        rtol=1e-10,
        atol=1e-13,
    )
    expected = flow * (ammonia - along.y[0, -1])
    assert removed(ammonia, flow, area, first, most) == pytest.approx(expected, rel=1e-7)


def test_limits_of_much_flow_and_much_media():
    assert removed(0.5, 1e4, 1.0, 0.92, 0.28) == pytest.approx(film_rate(0.5, 0.92, 0.28), rel=1e-4)
    assert removed(0.5, 1.0, 1e4, 0.92, 0.28) == pytest.approx(0.5)
    plenty = required_area(
        Q(0.1656, "g/day"), Q(0.5, "mg/L"), Q(0.92, "m/day"), Q(0.28, "g/m**2/day")
    )
    assert plenty.m == pytest.approx(0.1656 / film_rate(0.5, 0.92, 0.28))


def test_nought_in_nought_out():
    assert removed(0.0, 10.0, 1.0, 0.2, 0.7) == 0.0
    assert removed(0.5, 10.0, 0.0, 0.2, 0.7) == 0.0
    assert ammonia_removed.bare(5e-4, 1e-4, 1.0, 1e-5, 0.0) == 0.0


def test_twice_the_food_twice_the_surface():
    film = Q(0.92, "m/day"), Q(0.28, "g/m**2/day")
    once = required_area(Q(1, "g/day"), Q(0.5, "mg/L"), *film).m
    assert required_area(Q(2, "g/day"), Q(0.5, "mg/L"), *film).m == pytest.approx(2 * once)


def test_more_food_than_the_film_can_ever_do_is_refused():
    with pytest.raises(ValidityError, match=r"area x most = 1\.38 g/day"):
        steady_ammonia(
            Q(1.4, "g/day"), Q(1, "m**3/h"), Q(2, "m**2"), Q(0.2, "m/day"), Q(0.69, "g/m**2/day")
        )


def test_more_food_than_the_flow_brings_is_refused():
    film = Q(0.92, "m/day"), Q(0.28, "g/m**2/day")
    with pytest.raises(ValidityError, match=r"flow x ammonia = 0\.12 g/day"):
        required_area(Q(0.1656, "g/day"), Q(0.5, "mg/L"), *film, flow=Q(10, "L/h"))
    assert np.isinf(required_area.bare(1.0, 0.5, 0.2, 0.7, 0.5, 1.0))


def test_arrays_and_scalars_agree():
    areas = Q(np.array([0.5, 1.0, 5.0]), "m**2")
    film = {"transfer": Q(0.92, "m/day"), "most": Q(0.28, "g/m**2/day")}
    together = ammonia_removed(Q(0.5, "mg/L"), Q(100, "L/h"), areas, **film)
    for one, area in zip(together, areas, strict=True):
        assert one.m == pytest.approx(
            ammonia_removed(Q(0.5, "mg/L"), Q(100, "L/h"), area, **film).m
        )
