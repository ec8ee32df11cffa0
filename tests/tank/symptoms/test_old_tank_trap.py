"""The old-tank trap: seen where half new water makes much more poison, and nowhere else."""

from aqualib.tank.symptoms.old_tank_trap import Water, trap
from aqualib.units import ZERO_CELSIUS

MG = 1e-3
WARM = ZERO_CELSIUS + 24.5


def trapped(ph, alkalinity, ammonia, tap=120.0):
    return trap(Water(ammonia * MG, ph, alkalinity * MG, tap * MG, WARM, 0.0))


def test_the_trap_of_lesson_02_is_one():
    """At pH 6.5 and 2 mg/L, half new water makes many times the poison."""
    asked, figures = trapped(6.5, 10, 2)
    assert asked.yes
    assert figures["harmful_then"].bare > 10 * figures["harmful"].bare


def test_new_water_of_the_tank_s_own_alkalinity_wears_it_no_thinner():
    """A tenth a day of pure water leaves 10 mg/L at 4.8 after a week; one part of tap in twelve
    leaves 10."""
    part = trapped(6.5, 10, 2)[1]["tap_part"].bare
    alkalinity = 10.0
    for _ in range(7):
        alkalinity = 0.9 * alkalinity + 0.1 * part * 120
    assert abs(alkalinity - 10) < 1e-9
    assert trapped(6.5, 10, 2, 5)[1]["tap_part"].bare == 1.0


def test_much_ammonia_at_high_ph_is_none_for_a_change_makes_it_milder():
    asked, figures = trapped(8.2, 100, 3)
    assert not asked.yes
    assert figures["harmful_then"].bare < figures["harmful"].bare


def test_little_ammonia_is_none_at_any_ph():
    assert not any(trapped(ph / 10, 10, 0.3)[0].yes for ph in range(60, 91))


def test_soft_tap_water_is_less_of_a_trap_than_hard():
    soft, hard = (trapped(6.5, 10, 2, tap)[1]["lifted"].bare for tap in (10, 200))
    assert soft < hard - 1
    assert not trapped(6.9, 10, 2, 1)[0].yes
