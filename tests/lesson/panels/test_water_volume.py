"""How much water is really there: the numbers are those of the public functions."""

import pytest

from aqualib.lesson.panels.water_volume import ROCKS, compute, water_volume_panel
from aqualib.parameters import parameter
from aqualib.tank.volume import (
    bow_front_volume,
    cylinder_volume,
    displaced_by,
    gravel_displacement,
    hexagon_volume,
    rectangular_volume,
)
from aqualib.units import Q

SIDES = {"length": 0.9, "width": 0.4, "depth": 0.5, "bow": 0.08, "gravel_depth": 0.05}
CM = {name: Q(100 * side, "cm") for name, side in SIDES.items()}
SHAPES = {
    "box": rectangular_volume(CM["length"], CM["width"], CM["depth"]),
    "bow front": bow_front_volume(CM["length"], CM["width"], CM["bow"], CM["depth"]),
    "cylinder": cylinder_volume(CM["length"], CM["depth"]),
    "hexagon": hexagon_volume(CM["length"] / 2, CM["depth"]),
}


@pytest.mark.parametrize("shape", SHAPES)
def test_numbers_are_those_of_the_public_functions(shape):
    tank = compute(shape, **SIDES, rock_mass=10.0, rock_kind="basalt_density")
    floor = SHAPES[shape] / CM["depth"]
    gravel = gravel_displacement(floor, CM["gravel_depth"])
    rock = displaced_by(Q(10, "kg"), parameter("basalt_density").quantity)
    assert tank.gross == pytest.approx(SHAPES[shape].m_as("L"))
    assert tank.gravel == pytest.approx(gravel.m_as("L"))
    assert tank.rock == pytest.approx(rock.m_as("L"))
    assert tank.water == pytest.approx((SHAPES[shape] - gravel - rock).m_as("L"))


def test_rock_and_gravel_find_room():
    full = compute("box", **{**SIDES, "gravel_depth": 0.9}, rock_mass=60.0,
                   rock_kind="reef_rock_bulk_density")  # fmt: skip
    assert full.gravel_depth == pytest.approx(50.0)
    assert full.rock == 0.0
    small = {"length": 0.2, "width": 0.15, "depth": 0.1, "bow": 0.01, "gravel_depth": 0.0}
    heaped = compute("box", **small, rock_mass=60.0, rock_kind="granite_density")
    assert heaped.rock == pytest.approx(parameter("most_rock_share").value * heaped.gross)


def test_a_bulge_stays_less_than_a_half_circle():
    tank = compute("bow front", **{**SIDES, "length": 0.4, "bow": 0.3}, rock_mass=0.0,
                   rock_kind="slate_density")  # fmt: skip
    assert tank.bow == pytest.approx(18.0)


def test_every_kind_of_rock_is_a_row():
    panel = water_volume_panel()
    for kind in ROCKS:
        panel.set(rock_kind=kind)
        assert panel.result.rock == pytest.approx(
            1000.0 * parameter("rock_mass").value / parameter(kind).value
        )
    panel.close()
