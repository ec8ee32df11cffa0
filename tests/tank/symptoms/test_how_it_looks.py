"""Cloudy white, green, yellow: what changes the answer, and in which direction."""

import pytest

from aqualib.tank.symptoms import diagnose
from aqualib.tank.symptoms.how_it_looks import cloudy_white, green, yellow
from aqualib.tank.symptoms.old_tank_trap import Water
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS, Q

WARM, COLD = ZERO_CELSIUS + 28, ZERO_CELSIUS + 10
CALM = Water(0.0, 7.6, 0.06, 0.12, WARM, 0.0)
"""Water without ammonia."""
LITRES, LITRES_PER_HOUR = 1e-3, 1e-3 / 3600


def test_dust_sinks_more_slowly_in_cold_and_in_salt_water():
    def dust(temperature, salinity=0.0):
        water = Water(0.0, 7.6, 0.06, 0.12, temperature, salinity)
        return cloudy_white(600.0, water).figures["dust"].bare

    assert dust(COLD) > 1.4 * dust(WARM)
    assert dust(WARM, 35.0) > dust(WARM)


def test_a_stronger_lamp_clears_sooner_and_a_larger_tank_later():
    def clear(power, litres):
        worked = green(power, 0.0, 700 * LITRES_PER_HOUR, litres * LITRES)
        return worked.figures["clear"].bare

    assert clear(20, 200) < clear(10, 200) < clear(10, 400)


def test_more_carbon_and_less_new_water_keep_the_effect_longer():
    def halved(grams, share):
        return yellow(1e-3 * grams, 0.0, share, 0.19, CALM).figures["halved"].bare / SECONDS_PER_DAY

    assert halved(240, 0.15) > halved(120, 0.15) > 10
    assert halved(120, 0.15) > halved(120, 0.60)
    assert yellow(0.0, 0.0, 0.15, 0.19, CALM).place == 2


@pytest.mark.parametrize("ph", [6.0, 9.0])
def test_a_ph_beyond_the_printed_limits_takes_that_of_the_end(ph):
    end = min(max(ph, 6.5), 9.0)
    limits = [
        cloudy_white(600.0, CALM._replace(ph=one)).figures["limit_ammonia"].bare
        for one in (ph, end)
    ]
    assert limits[0] == limits[1]


def test_no_colour_is_worth_a_jump_of_alkalinity():
    """Soft water of 10 mg/L, a tap of 250: 20 of 240 are a twelfth, not a half; with a tap like
    the tank's half may go."""
    soft = {"carbon": Q(0, "g"), "carbon_day": Q(0, "day"), "ph": 6.0,
            "ammonia": Q(0, "mg/L"), "alkalinity": Q(10, "mg/L")}  # fmt: skip
    hard = diagnose("yellow", **soft, tap_alkalinity=Q(250, "mg/L"))
    assert hard.amounts["part"].m_as("percent") == pytest.approx(100 / 12)
    assert hard.tonight.startswith("Change 8.3 % of the water")
    assert "from 10 mg/L to 130 mg/L" in hard.words["sum"]
    assert "Alkalinity not tested? A tenth at most." in hard.minds
    like = diagnose("yellow", **soft, tap_alkalinity=Q(40, "mg/L"))
    assert like.amounts["part"].m_as("percent") == 50
    # Where something is poisonous the share is what that asks for.
    sick = diagnose("nitrite stays", nitrite=Q(1, "mg/L"), alkalinity=Q(10, "mg/L"), ph=6.2,
                    ammonia=Q(0, "mg/L"), tap_alkalinity=Q(250, "mg/L"))  # fmt: skip
    assert sick.amounts["share"].m_as("percent") == 50


def test_a_bloom_with_much_ammonia_is_told_what_the_tree_of_ammonia_tells():
    """8 mg/L at pH 8.5: half of the water now, and a vet, whatever the glass shows."""
    given = {"ammonia": Q(8, "mg/L"), "ph": 8.5}
    white = diagnose("cloudy white", glass_clears=Q(30, "min"), **given)
    ammonia = diagnose("ammonia stays", **given)
    assert (white.code, ammonia.code) == ("white-ammonia", "ammonia-act")
    assert white.amounts["share_ammonia"] == ammonia.amounts["share_ammonia"]
    assert "50 %" in white.tonight
    assert white.words["call"].startswith("A vet tonight")
