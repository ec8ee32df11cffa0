"""pH from alkalinity and carbon dioxide: closed forms, limits, directions, bad input."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water import carbonate as c
from aqualib.water.carbonate_balance import dissolved, per_kilogram, total_carbon, water_at
from aqualib.water.ph_scales import convert

WARM = Q(25, "degC")
LOSS, DOSE = c.ph_after_alkalinity_loss.bare, c.ph_after_dose.bare
kelvin = st.floats(273.15, 313.15)
salinities = st.one_of(st.just(0.0), st.floats(0.6, 42))
alkalinities = st.floats(0.005, 0.3)
readings = st.floats(5.5, 8.2)
# The first call loads PyCO2SYS; new constants for each example take a millisecond.
relaxed = settings(deadline=None, max_examples=40)


def fresh_ph_in_air(alkalinity, celsius, ppm):
    """The textbook closed form for fresh water, with the constants of PlummerBusenberg1982."""
    t = celsius + 273.15
    log_t = np.log10(t)
    log_first = -356.3094 - 0.06091964 * t + 21834.37 / t + 126.8339 * log_t - 1684915 / t**2
    log_second = -107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * log_t - 563713.9 / t**2
    log_henry = 108.3865 + 0.01985076 * t - 6919.53 / t - 40.45154 * log_t + 669365 / t**2
    gas = 10**log_henry * 1e-6 * ppm
    moles = 1e-3 * alkalinity / 50.043
    b = 10**log_first * gas
    root = np.sqrt(b**2 + 8 * moles * b * 10**log_second)
    return -np.log10((b + root) / (2 * moles))


@pytest.mark.parametrize("alkalinity", [20, 50, 100, 200, 400])
@pytest.mark.parametrize("celsius", [5, 15, 25, 35])
@pytest.mark.parametrize("ppm", [420, 1000, 3000])
def test_fresh_water_agrees_with_the_closed_form(alkalinity, celsius, ppm):
    ours = c.ph_at_equilibrium(
        Q(alkalinity, "mg/L"), Q(celsius, "degC"), carbon_dioxide=Q(ppm, "ppm")
    )
    # The closed form leaves out water vapour (up to 0.025 in pH at 35 °C), density and OH-.
    assert ours == pytest.approx(fresh_ph_in_air(alkalinity, celsius, ppm), abs=0.03)


@pytest.mark.parametrize("celsius", [5, 15, 25])
def test_fresh_carbon_dioxide_follows_the_tenfold_rule(celsius):
    # One pH unit down is ten times the carbon dioxide, while bicarbonate is all the alkalinity.
    low, high = (
        c.carbon_dioxide(ph, Q(100, "mg/L"), Q(celsius, "degC")).magnitude for ph in (6.5, 7.5)
    )
    assert low / high == pytest.approx(10, rel=0.01)


@relaxed
@given(alkalinity=alkalinities, t=kelvin, s=salinities, ppm=st.floats(150, 10000))
def test_air_and_back(alkalinity, t, s, ppm):
    ph = c.ph_at_equilibrium.bare(alkalinity, t, s, 1e-6 * ppm)
    gas = c.carbon_dioxide.bare(ph, alkalinity, t, s)
    again = c.ph_at_equilibrium.bare(alkalinity, t, s, 2e-6 * ppm)
    assert c.carbon_dioxide.bare(again, alkalinity, t, s) == pytest.approx(2 * gas, rel=1e-6)
    assert again < ph


@relaxed
@given(alkalinity=alkalinities, more=st.floats(1.01, 1.5), t=kelvin, s=salinities)
def test_more_alkalinity_is_a_higher_ph_in_air(alkalinity, more, t, s):
    assert c.ph_at_equilibrium.bare(alkalinity * more, t, s) > c.ph_at_equilibrium.bare(
        alkalinity, t, s
    )


def test_a_stuffy_room_and_cold_water_lower_the_ph():
    outside = c.ph_at_equilibrium(Q(100, "mg/L"), WARM)
    room = c.ph_at_equilibrium(Q(100, "mg/L"), WARM, carbon_dioxide=Q(1500, "ppm"))
    assert outside - room > 0.5
    assert c.ph_at_equilibrium(Q(100, "mg/L"), Q(5, "degC")) < outside


def test_outdoor_air_is_the_parameter():
    share = parameter("outdoor_carbon_dioxide").quantity
    left_out = c.ph_at_equilibrium(Q(100, "mg/L"), WARM)
    assert left_out == c.ph_at_equilibrium(Q(100, "mg/L"), WARM, carbon_dioxide=share)


@relaxed
@given(ph=readings, alkalinity=alkalinities, t=kelvin, s=salinities, part=st.floats(0.01, 0.99))
def test_losing_alkalinity_lowers_ph_and_closed_water_more(ph, alkalinity, t, s, part):
    try:
        c.carbon_dioxide(ph, Q(alkalinity, "kg/m**3"), Q(t, "K"), s)
    except ValidityError:
        return  # so high a pH cannot be at so little alkalinity
    opened = LOSS(ph, alkalinity, part * alkalinity, t, s, open_to_air=True)
    closed = LOSS(ph, alkalinity, part * alkalinity, t, s)
    assert closed < opened < ph


@relaxed
@given(ph=readings, t=kelvin, s=salinities)
def test_loss_in_two_steps_is_loss_in_one(ph, t, s):
    halfway = LOSS(ph, 0.12, 0.02, t, s)
    assert LOSS(halfway, 0.10, 0.03, t, s) == pytest.approx(LOSS(ph, 0.12, 0.05, t, s), abs=1e-6)


@relaxed
@given(ph=readings, t=kelvin, s=salinities)
def test_dose_undoes_an_equal_loss_when_open(ph, t, s):
    lower = LOSS(ph, 0.12, 0.04, t, s, open_to_air=True)
    assert DOSE(lower, 0.08, 0.04, t, s, open_to_air=True) == pytest.approx(ph, abs=1e-6)


@relaxed
@given(ph=st.floats(6, 8), rise=st.floats(0.01, 0.1), t=kelvin)
def test_closed_dose_adds_one_mole_of_carbon_per_mole_of_alkalinity(ph, rise, t):
    after = DOSE(ph, 0.1, rise, t)
    water = water_at(t, 0.0)
    before, now = per_kilogram(0.1, water), per_kilogram(0.1 + rise, water)
    grown = total_carbon(after, dissolved(after, now, water), water) - total_carbon(
        ph, dissolved(ph, before, water), water
    )
    assert grown == pytest.approx(now - before, rel=1e-6)


def test_no_change_leaves_the_ph():
    for salinity in (0.0, 10.0, 35.0):
        for open_to_air in (True, False):
            for after in (LOSS, DOSE):
                assert after(7.9, 0.1, 0.0, 298.15, salinity, open_to_air) == pytest.approx(
                    7.9, abs=1e-9
                )


def test_the_last_of_the_alkalinity_costs_most():
    losses = np.array([0.0, 25.0, 50.0, 75.0, 95.0])
    ph = c.ph_after_alkalinity_loss(8.0, Q(100, "mg/L"), Q(losses, "mg/L"), WARM, open_to_air=True)
    falls = -np.diff(ph)
    assert np.all(np.diff(falls) > 0)
    assert falls[-1] > 4 * falls[0]


def test_all_of_the_alkalinity_may_go():
    ph = c.ph_after_alkalinity_loss(7.5, Q(100, "mg/L"), Q(100, "mg/L"), WARM)
    assert 4 < ph < 5


@pytest.mark.parametrize("scale", ["free", "total", "seawater", "nbs"])
def test_scales_are_read_and_answered(scale):
    def on(ph):
        return convert(ph, WARM, 35, "total", scale)

    sea = {"temperature": WARM, "salinity": 35}
    alkalinity = Q(120, "mg/L")
    air = c.ph_at_equilibrium(alkalinity, **sea)
    assert c.ph_at_equilibrium(alkalinity, **sea, ph_scale=scale) == pytest.approx(on(air))
    gas = c.carbon_dioxide(8.0, alkalinity, **sea).magnitude
    other = c.carbon_dioxide(on(8.0), alkalinity, **sea, ph_scale=scale).magnitude
    assert other == pytest.approx(gas, rel=1e-9)
    for after, change in (
        (c.ph_after_alkalinity_loss, {"loss": Q(20, "mg/L")}),
        (c.ph_after_dose, {"rise": Q(20, "mg/L")}),
    ):
        total = after(8.0, alkalinity, **change, **sea)
        moved = after(on(8.0), alkalinity, **change, **sea, ph_scale=scale)
        assert moved == pytest.approx(on(total), abs=1e-9)


def test_scales_agree_in_fresh_water():
    answers = {
        c.ph_at_equilibrium(Q(100, "mg/L"), WARM, ph_scale=scale)
        for scale in ("free", "total", "seawater", "nbs")
    }
    assert len(answers) == 1


def test_array_equals_one_by_one():
    alkalinity = Q([50.0, 100.0, 150.0], "mg/L")
    temperature = Q([10.0, 20.0, 30.0], "degC")
    salinity = np.array([0.0, 10.0, 35.0])
    ph = c.ph_at_equilibrium(alkalinity, temperature, salinity)
    gas = c.carbon_dioxide(7.5, alkalinity, temperature, salinity)
    fallen = c.ph_after_alkalinity_loss(7.5, alkalinity, Q(10, "mg/L"), temperature, salinity)
    risen = c.ph_after_dose(7.5, alkalinity, Q(10, "mg/L"), temperature, salinity)
    for i in range(3):
        here = (alkalinity[i], temperature[i], salinity[i])
        state = {"temperature": here[1], "salinity": here[2]}
        assert ph[i] == pytest.approx(c.ph_at_equilibrium(*here), abs=1e-9)
        assert gas[i].magnitude == pytest.approx(c.carbon_dioxide(7.5, *here).magnitude)
        step = Q(10, "mg/L")
        assert fallen[i] == pytest.approx(
            c.ph_after_alkalinity_loss(7.5, here[0], step, **state), abs=1e-9
        )
        assert risen[i] == pytest.approx(c.ph_after_dose(7.5, here[0], step, **state), abs=1e-9)


def test_scalars_give_scalars():
    assert isinstance(c.ph_at_equilibrium(Q(100, "mg/L"), WARM), float)
    assert np.ndim(c.ph_at_equilibrium.bare(0.1, 298.15)) == 0
    assert np.ndim(LOSS(8.0, 0.1, 0.05, 298.15, 35.0)) == 0


def test_degrees_of_hardness_are_accepted():
    assert c.ph_at_equilibrium(Q(5, "dKH"), WARM) == pytest.approx(
        c.ph_at_equilibrium(Q(89.24, "mg/L"), WARM)
    )


@pytest.mark.parametrize("salinity", [0.0, 35.0])
def test_a_ph_that_alkalinity_cannot_hold_is_refused(salinity):
    state = {"temperature": WARM, "salinity": salinity}
    for function, change in (
        (c.carbon_dioxide, {}),
        (c.ph_after_alkalinity_loss, {"loss": Q(0.1, "mg/L")}),
        (c.ph_after_dose, {"rise": Q(0.1, "mg/L")}),
    ):
        with pytest.raises(ValidityError, match="hydroxide and borate") as caught:
            function(10.0, Q(1, "mg/L"), **change, **state)
        assert caught.value.parameter == "ph"


def test_the_worst_of_many_is_named():
    with pytest.raises(ValidityError, match="ph = 10 cannot be"):
        c.carbon_dioxide([7.0, 9.9, 10.0], Q(1, "mg/L"), WARM)


def test_loss_of_more_than_there_is_is_refused():
    with pytest.raises(ValidityError, match="more alkalinity than the water has") as caught:
        c.ph_after_alkalinity_loss(7.5, Q(50, "mg/L"), Q([10.0, 60.0], "mg/L"), WARM)
    assert caught.value.parameter == "loss"


def test_nbs_scale_is_refused_in_brackish_water():
    with pytest.raises(ValidityError, match="brackish"):
        c.ph_at_equilibrium(Q(100, "mg/L"), WARM, 10, ph_scale="nbs")
    with pytest.raises(ValidityError, match="brackish"):
        c.carbon_dioxide(8.0, Q(100, "mg/L"), WARM, 10, ph_scale="nbs")


GOOD = {
    "ph": 7.5,
    "alkalinity": Q(100, "mg/L"),
    "loss": Q(10, "mg/L"),
    "rise": Q(10, "mg/L"),
    "temperature": WARM,
    "salinity": 35,
    "carbon_dioxide": Q(420, "ppm"),
    "open_to_air": True,
    "ph_scale": "total",
}
CONCENTRATIONS = (Q(-1, "mg/L"), Q(501, "mg/L"), Q(1, "m"), 100, None, True, "100")
BAD = {
    "ph": (4.9, 10.1, np.nan, np.inf, None, "7", True, Q(7, "m"), [], np.array([7.0, 11.0])),
    "alkalinity": CONCENTRATIONS,
    "loss": CONCENTRATIONS,
    "rise": CONCENTRATIONS,
    "temperature": (Q(-1, "degC"), Q(41, "degC"), 25, None, Q(np.nan, "degC"), Q(1, "g")),
    "salinity": (-0.1, 42.1, np.nan, None, "35", True, Q(35, "g")),
    "carbon_dioxide": (Q(99, "ppm"), Q(20001, "ppm"), 420, Q(1, "g"), "420 ppm", True),
    "open_to_air": (1, "yes", None),
    "ph_scale": ("sws", "", None, 1),
}
FUNCTIONS = (c.ph_at_equilibrium, c.carbon_dioxide, c.ph_after_alkalinity_loss, c.ph_after_dose)


@pytest.mark.parametrize(
    ("function", "name"),
    [(function, name) for function in FUNCTIONS for name in function.rules],
)
def test_bad_input_is_named(function, name):
    good = {key: value for key, value in GOOD.items() if key in function.rules}
    function(**good)
    for value in BAD[name]:
        with pytest.raises(ValidityError) as caught:
            function(**{**good, name: value})
        assert caught.value.parameter.startswith(name)
