"""From kilograms to surface: the plain functions chained, ranges in order, refusals."""

import math

import pytest

from aqualib.filtration.media.bed import (
    area_per_volume,
    band,
    lopsided,
    media_bed,
    shell_share,
    spread,
)
from aqualib.filtration.media.kinds import media_kind, media_kinds
from aqualib.filtration.media.packing import bed_density
from aqualib.filtration.media.pieces import ring_area
from aqualib.filtration.media.surface import area_per_mass, bed_area, pore_wall_area
from aqualib.units import Q
from aqualib.validity import ValidityError

EACH = pytest.mark.parametrize("name", media_kinds())


def test_rings_by_hand():
    """Rings of 15 x 9 x 15 mm, 55 % pores, 60 % room between."""
    gaps = {"size": Q(15, "mm"), "inner_porosity": 0.55, "voidage": 0.6}
    found = media_bed("porous rings", Q(2, "kg"), **gaps, pore_size=Q(200, "um"))
    heavy = bed_density(0.6, 0.55, Q(2500, "kg/m**3"))
    area = bed_area(ring_area(Q(15, "mm"), Q(9, "mm"), Q(15, "mm")), 0.6)
    of_a_kilogram = area_per_mass(area, heavy).m_as("m**2/kg")
    assert found.bed_density.m == pytest.approx(450)
    assert found.volume.best.m_as("L") == pytest.approx(2 / 0.45)
    assert found.outer_area.best.m_as("m**2") == pytest.approx(2 * of_a_kilogram)
    walls = pore_wall_area(0.55, Q(200, "um"), 0.6).m_as("m**2/L") * 2 / 0.45
    assert found.walls.best.m_as("m**2") == pytest.approx(walls)
    assert found.in_reach.best.m == pytest.approx(found.shell_share * walls)


@EACH
def test_ranges_hold_the_best_and_grow_with_the_mass(name):
    kind = media_kind(name)
    one, three = media_bed.bare(kind, 1.0), media_bed.bare(kind, 3.0)
    for what in ("volume", "outer_area", "in_reach", "walls"):
        low, best, high = getattr(one, what)
        assert 0 <= low <= best <= high < math.inf
        assert getattr(three, what) == pytest.approx([3 * low, 3 * best, 3 * high])
    assert 0 <= one.shell_share <= 1
    assert one.in_reach.best <= one.walls.best
    assert one.bed_density == pytest.approx(one.bulk_density * (1 - kind["voidage"].value))


@EACH
def test_smaller_pieces_have_more_surface(name):
    kind = media_kind(name)
    small, large = (area_per_volume(kind, size, 0.6) for size in (0.005, 0.01))
    assert small == pytest.approx(2 * large)


@EACH
def test_how_pieces_lie_does_not_change_a_kilogram(name):
    kind = media_kind(name)
    loose, close = (media_bed.bare(kind, 1.0, voidage=gaps) for gaps in (0.8, 0.4))
    assert loose.volume.best == pytest.approx(3 * close.volume.best)
    if kind.shape != "foam":
        assert loose.outer_area.best == pytest.approx(close.outer_area.best)


@EACH
def test_shell_is_none_at_no_depth_and_all_when_deep(name):
    kind = media_kind(name)
    assert shell_share(kind, 0.01, 0.6, 0.0) == 0
    assert shell_share(kind, 0.01, 0.6, 0.1) == pytest.approx(1)


def test_pores_too_narrow_have_no_walls_in_reach():
    found = media_bed("lava rock", Q(1, "kg"), pore_size=Q(2, "um"))
    assert found.in_reach.best.m == 0
    assert found.walls.best.m > 0


def test_rows_of_doubt():
    assert band(10.0) == (10, 10, 10)
    assert band(10.0, 0.3, 0.4) == pytest.approx((10 * math.exp(-0.5), 10, 10 * math.exp(0.5)))
    assert lopsided(1.0, (0.0,), (1.0,)) == pytest.approx((1, 1, math.e))
    assert spread(0.5, 0.0) == 0


@pytest.mark.parametrize(
    ("what", "bad"),
    [
        ("mass", Q(0, "kg")),
        ("mass", Q(math.nan, "kg")),
        ("size", Q(1, "kg")),
        ("inner_porosity", 1.0),
        ("voidage", 0.1),
        ("pore_size", Q(0, "um")),
        ("working_depth", Q(-1, "mm")),
    ],
)
def test_bad_input_is_refused(what, bad):
    given = {"mass": Q(1, "kg"), what: bad}
    with pytest.raises(ValidityError, match=what):
        media_bed("lava rock", **given)


def test_pores_of_unknown_width_are_asked_for():
    with pytest.raises(ValidityError, match="pore_size"):
        media_bed("gravel", Q(1, "kg"), inner_porosity=0.2)
    found = media_bed("gravel", Q(1, "kg"), inner_porosity=0.2, pore_size=Q(50, "um"))
    assert found.walls.best.m > 0
    with pytest.raises(ValidityError, match="kind"):
        media_bed("gold", Q(1, "kg"))
