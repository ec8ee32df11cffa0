"""The constants are those of the sources, and the balance agrees with PyCO2SYS's own solver."""

import subprocess
import sys

import numpy as np
import PyCO2SYS
import pytest

from aqualib.water import carbonate_balance as b

# Salinity, and the number of the set of constants that PyCO2SYS is to use there.
SETS = {0.0: 8, 5.0: 15, 18.0: 15, 35.0: 10}
CELSIUS = (5.0, 15.0, 25.0, 34.0)
ALKALINITY = np.array([100.0, 1000.0, 4000.0])


@pytest.fixture(scope="module")
def of_pyco2sys():
    """Its answers by salinity, temperature, air or total carbon given, and alkalinity.

    One call, as each takes 0.1 s; it warns of a division by zero at salinity 0.
    """
    given = np.meshgrid(list(SETS), CELSIUS, (9, 2), ALKALINITY, indexing="ij")
    salinity, celsius, kind, alkalinity = given
    with np.errstate(all="ignore"):
        return PyCO2SYS.sys(
            par1=alkalinity,
            par1_type=1,
            par2=np.where(kind == 9, 800.0, 2000.0),
            par2_type=kind,
            salinity=salinity,
            temperature=celsius,
            opt_k_carbonic=np.vectorize(SETS.get)(salinity),
            opt_buffers_mode=0,
        )


def plummer_busenberg(celsius):
    """Logarithms of K1, K2 and KH in fresh water (PlummerBusenberg1982, abstract)."""
    t = celsius + 273.15
    log_t = np.log10(t)
    first = -356.3094 - 0.06091964 * t + 21834.37 / t + 126.8339 * log_t - 1684915 / t**2
    second = -107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * log_t - 563713.9 / t**2
    henry = 108.3865 + 0.01985076 * t - 6919.53 / t - 40.45154 * log_t + 669365 / t**2
    return first, second, henry


@pytest.mark.parametrize("celsius", [0, 5, 10, 15, 20, 25, 30, 35, 40])
def test_fresh_constants_agree_with_plummer_and_busenberg(celsius):
    water = b.water_at(celsius + 273.15, 0.0)
    first, second, henry = plummer_busenberg(celsius)
    assert np.log10(water.first) == pytest.approx(first, abs=0.0025)
    assert np.log10(water.second) == pytest.approx(second, abs=0.003)
    # The vapour of water, at most 7 % here, stands between KH and the share in dry air.
    assert 0.92 < water.dissolved_per_air / 10**henry < 1.0


def test_sea_constants_are_the_check_values_of_the_guide():
    # DicksonEtAl2007, salinity 35, 25 °C, total scale.
    water = b.water_at(298.15, 35.0)
    assert np.log10(water.first) == pytest.approx(-5.8472, abs=5e-5)
    assert np.log10(water.second) == pytest.approx(-8.9660, abs=5.1e-5)
    assert np.log(water.borate) == pytest.approx(-19.7964, abs=5e-5)
    assert np.log(water.bisulphate) == pytest.approx(-2.30, abs=0.005)
    # PyCO2SYS moves this one between pH scales in another way: 0.7 % in KW, nothing in pH.
    assert np.log(water.water) == pytest.approx(-30.434, abs=0.01)


@pytest.mark.parametrize(
    ("celsius", "salinity", "chosen"),
    [
        (25.0, 0.0, b.MILLERO_1979),
        (25.0, 0.5, b.MILLERO_1979),
        (25.0, 0.6, b.WATERS_2014),
        (25.0, 18.9, b.WATERS_2014),
        (25.0, 19.0, b.LUEKER_2000),
        (2.0, 35.0, b.LUEKER_2000),
        (1.9, 35.0, b.WATERS_2014),
        (35.1, 35.0, b.WATERS_2014),
    ],
)
def test_each_set_of_constants_stays_in_its_range(celsius, salinity, chosen):
    assert b._chosen_set(celsius, salinity) == chosen


@pytest.mark.parametrize("celsius", [2.0, 10.0, 25.0, 35.0])
@pytest.mark.parametrize(("salinity", "step"), [(0.5, 0.12), (19.0, 0.01)])
def test_steps_between_the_sets_are_as_documented(celsius, salinity, step):
    ph = [
        b.ph_in_air(2e-3, 1.4e-5, b.water_at(celsius + 273.15, s))
        for s in (salinity - 1e-6, salinity + 1e-6)
    ]
    assert abs(ph[1] - ph[0]) < step


@pytest.mark.parametrize("salinity", SETS)
@pytest.mark.parametrize("celsius", CELSIUS)
def test_balance_agrees_with_the_whole_of_pyco2sys(of_pyco2sys, salinity, celsius):
    water, alkalinity = b.water_at(celsius + 273.15, salinity), 1e-6 * ALKALINITY
    place = list(SETS).index(salinity), CELSIUS.index(celsius)
    in_air, closed = of_pyco2sys["pH"][place]
    ours = b.ph_in_air(alkalinity, 800e-6 * water.dissolved_per_air, water)
    assert ours == pytest.approx(in_air, abs=1e-8)
    assert b.ph_closed(alkalinity, 2e-3, water) == pytest.approx(closed, abs=1e-8)
    gas = b.dissolved(closed, alkalinity, water)
    assert 1e6 * gas == pytest.approx(of_pyco2sys["CO2"][place][1], rel=1e-6)
    assert b.total_carbon(closed, gas, water) == pytest.approx(2e-3, rel=1e-6)


def test_arrays_of_water_equal_one_by_one():
    kelvin = np.array([283.15, 293.15, 303.15, 278.15])
    salinity = np.array([0.0, 10.0, 35.0, 0.3])
    together = b.water_at(kelvin, salinity)
    for i in range(4):
        alone = b.water_at(kelvin[i], salinity[i])
        for name in b.CarbonateConstants._fields:
            value = np.broadcast_to(getattr(together, name), kelvin.shape)[i]
            assert value == pytest.approx(getattr(alone, name), rel=1e-12), name


def test_nothing_is_printed_or_warned_and_pyco2sys_is_loaded_only_when_used():
    code = (
        "import sys, numpy as np\n"
        "from aqualib.water import carbonate\n"
        "assert 'PyCO2SYS' not in sys.modules\n"
        "carbonate.ph_at_equilibrium.bare(0.1, np.array([280.0, 300.0]), np.array([0.0, 35.0]))\n"
        "assert 'PyCO2SYS' in sys.modules\n"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
