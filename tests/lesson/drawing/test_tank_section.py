"""A tank in section: to scale, with its gravel on the floor and its rock on the gravel."""

import numpy as np
import pytest
from matplotlib.figure import Figure

from aqualib.lesson.drawing.tank_section import (
    GLASS,
    HEAP_BASE,
    MIDDLE,
    ROOM,
    TankSection,
    heap,
    heap_from_above,
    plan,
    round_width,
    sheet,
    usual_sides,
)
from aqualib.tank.volume import bow_front_volume, cylinder_volume, hexagon_volume
from aqualib.units import Q, set_units

FLOOR = 112.0
TANKS = [
    (100.0, 45.0, 5.0, 0.1),
    (160.0, 70.0, 0.0, 0.4),
    (20.0, 10.0, 8.0, 0.75),
    (60.0, 30.0, 12.0, 0.02),
]


def area(outline):
    x, y = np.asarray(outline).T
    return abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


@pytest.fixture
def section():
    return TankSection(sheet(Figure(figsize=(7.2, 5.0)), 205.0), FLOOR)


@pytest.mark.parametrize(("length", "depth", "gravel", "share"), TANKS)
def test_rock_is_a_heap_of_its_share_on_the_gravel_inside_the_glass(
    section, length, depth, gravel, share
):
    section.move(length, depth, gravel, share)
    rock = section.rock.get_xy()
    assert area(rock) == pytest.approx(share * length * (depth - gravel))
    assert rock[:, 1].min() == pytest.approx(FLOOR + gravel)
    glass = section.glass.get_xy()
    assert glass[:, 0].min() + GLASS < rock[:, 0].min()
    assert rock[:, 0].max() < glass[:, 0].max() - GLASS
    # A heap as large as can be drawn; more rock than that rises out of the water.
    if share < 0.45:
        assert rock[:, 1].max() < FLOOR + depth < glass[:, 1].max()
    # In the middle of the tank: as far from one glass as from the other.
    assert rock[:, 0].min() + rock[:, 0].max() == pytest.approx(2 * MIDDLE)


@pytest.mark.parametrize(("length", "depth", "gravel", "share"), TANKS)
def test_water_gravel_and_glass_are_to_scale(section, length, depth, gravel, share):
    section.move(length, depth, gravel, share)
    water, bed, glass = (p.get_xy() for p in (section.water, section.gravel, section.glass))
    assert np.ptp(water, axis=0) == pytest.approx([length, depth])
    assert np.ptp(bed, axis=0) == pytest.approx([length, gravel])
    assert water.min(axis=0) == pytest.approx(bed.min(axis=0))
    assert np.ptp(glass[:, 0]) == pytest.approx(length + 2 * GLASS)
    assert glass[:, 1].max() > FLOOR + depth
    # The words stand off the tank, its length under it and its depth beside it; where there is no
    # room beside it, the depth stands in the water.
    x, y = section.depth.get_position()
    beside = water[:, 0].min() > ROOM
    assert (x < glass[:, 0].min()) == beside
    assert (water[:, 0].min() < x < water[:, 0].max()) != beside
    assert section.depth.across == ("right" if beside else "left")
    assert y == pytest.approx(FLOOR + depth / 2)
    assert section.length.get_position()[1] < glass[:, 1].min()
    assert section.length.get_text() == f"{length:.0f} cm"
    assert section.gravel.get_visible() == (gravel > 0.0)
    assert section.rock.get_visible()
    section.move(length, depth, gravel, 0.0)
    assert not section.rock.get_visible()


def test_gravel_deeper_than_the_water_stays_in_it_and_leaves_no_rock(section):
    section.move(50.0, 10.0, 15.0, 0.5)
    assert np.ptp(section.gravel.get_xy()[:, 1]) == pytest.approx(10.0)
    assert area(section.rock.get_xy()) == 0.0


def test_a_heap_has_peaks_and_no_overhang():
    outline = heap(10.0, 5.0, 100.0, 40.0, 0.3)
    assert np.all(np.diff(outline[:, 0]) > 0.0)
    assert outline[0, 1] == outline[-1, 1] == 5.0
    assert outline[1:-1, 1].min() > 5.0


@pytest.mark.parametrize(
    ("shape", "volume"),
    [
        ("box", Q(100 * 40, "cm**3")),
        ("cylinder", cylinder_volume(Q(100, "cm"), Q(1, "cm"))),
        ("hexagon", hexagon_volume(Q(50, "cm"), Q(1, "cm"))),
        ("bow front", bow_front_volume(Q(100, "cm"), Q(40, "cm"), Q(10, "cm"), Q(1, "cm"))),
    ],
)
def test_from_above_a_tank_has_the_floor_that_it_is_reckoned_with(shape, volume):
    outline = plan(shape, 100.0, 40.0, 10.0)
    assert area(outline) == pytest.approx(volume.m_as("cm**3"), rel=3e-3)
    assert np.ptp(outline[:, 0]) == pytest.approx(100.0)


def test_a_bow_stands_out_at_the_front():
    outline = plan("bow front", 100.0, 40.0, 10.0)
    assert outline[:, 1].min() == pytest.approx(-30.0)
    assert outline[:, 1].max() == pytest.approx(20.0)


def test_a_tank_of_usual_shape():
    length, depth = usual_sides(200.0)
    assert (length, depth) == pytest.approx((102.4, 46.6), abs=0.1)
    assert length * depth * 0.9 * depth == pytest.approx(200_000)


def test_a_round_body_holds_its_litres():
    width = round_width(10.0)
    assert np.pi / 4 * width**3 == pytest.approx(10_000)


def test_a_heap_from_above_stays_in_the_tank_and_grows_with_the_rock():
    small, large = (heap_from_above(100.0, 40.0, share) for share in (0.1, 0.5))
    assert np.all(np.ptp(small, axis=0) < np.ptp(large, axis=0))
    assert np.all(np.abs(large) <= (0.5 * HEAP_BASE * np.array([100.0, 40.0])))


@pytest.mark.parametrize(("system", "words"), [("metric", "50 cm"), ("us", "20 in")])
def test_the_scale_bar_is_round_in_each_unit_set(system, words):
    set_units(system)
    axes = sheet(Figure(), 100.0)
    set_units("metric")
    (bar,) = axes.lines
    long = np.ptp(bar.get_xdata())
    assert long == pytest.approx({"metric": 50.0, "us": 50.8}[system])
    assert [text.get_text() for text in axes.artists] == [words]
