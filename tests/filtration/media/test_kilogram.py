"""Your own media: three weighings and a ruler, against the functions they rest on."""

import math

import pytest

from aqualib.filtration.media.kilogram import worth_of_a_kilogram
from aqualib.filtration.media.pieces import ring_area
from aqualib.filtration.media.weighing import immersion_porosity, weighing_uncertainty
from aqualib.units import Q
from aqualib.validity import ValidityError

HANDFUL = (Q(250, "g"), Q(145, "g"), Q(345, "g"))


def worth(kind="porous rings", size=15, **more):
    return worth_of_a_kilogram(*HANDFUL, kind, Q(size, "mm"), **more)


def test_best_values_are_those_of_the_plain_functions():
    weighed = immersion_porosity(*HANDFUL)
    piece = weighed.bulk_density.m_as("kg/m**3")
    found = worth(bed_density=Q(500, "kg/m**3"))
    area = ring_area(Q(15, "mm"), Q(9, "mm"), Q(15, "mm")).m_as("1/m") / piece
    assert found.outer_area.best.m_as("m**2") == pytest.approx(area)
    assert found.open_porosity.best == pytest.approx(weighed.apparent_porosity)
    assert found.volume.best.m_as("L") == pytest.approx(2)


def test_range_of_the_pores_is_twice_the_doubt():
    doubt = weighing_uncertainty(*HANDFUL).apparent_porosity
    low, best, high = worth().open_porosity
    assert (high - best, best - low) == pytest.approx((2 * doubt, 2 * doubt))


@pytest.mark.parametrize("kind", ["porous rings", "lava rock", "porous ceramic balls"])
def test_ranges_hold_the_best(kind):
    for low, best, high in worth(kind):
        assert low < best < high


def test_jug_makes_the_litres_surer():
    def span(found):
        return found.volume.high.m / found.volume.low.m

    assert span(worth(bed_density=Q(500, "kg/m**3"))) < span(worth())


def test_a_better_scale_and_wiping_each_narrow_the_range():
    def span(**care):
        area = worth(**care).outer_area
        return area.high.m / area.low.m

    scale, wiping = {"scale_step": Q(0.1, "g")}, {"drip": 0.001}
    assert span(**scale) < span()
    assert span(**wiping) < span()
    assert span(**scale, **wiping) < min(span(**scale), span(**wiping))


def test_smaller_pieces_give_more_surface_a_kilogram():
    assert worth(size=7.5).outer_area.best.m == pytest.approx(2 * worth().outer_area.best.m)


@pytest.mark.parametrize("kind", ["open-cell foam", "moving plastic carriers", "gold"])
def test_kinds_that_tell_nothing_in_water_are_refused(kind):
    with pytest.raises(ValidityError, match="kind"):
        worth(kind)


def test_bad_input_is_refused():
    with pytest.raises(ValidityError, match="size"):
        worth(size=math.nan)
    with pytest.raises(ValidityError, match="bed_density"):
        worth(bed_density=Q(1300, "kg/m**3"))
    with pytest.raises(ValidityError, match="saturated"):
        worth_of_a_kilogram(*HANDFUL[:2], Q(240, "g"), "gravel", Q(4, "mm"))


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("dry", Q([1, 2], "g")),
        ("suspended", Q([1, 2], "g")),
        ("saturated", None),
        ("scale_step", Q([1, 2], "g")),
        ("drip", [0.1, 0.2]),
        ("temperature", Q([20, 25], "degC")),
        ("kind", ["gravel"]),
        ("kind", None),
    ],
)
def test_one_handful_at_a_time(name, value):
    names = ("dry", "suspended", "saturated")
    given = dict(zip(names, HANDFUL, strict=True)) | {"kind": "gravel", "size": Q(4, "mm")}
    with pytest.raises(ValidityError) as refused:
        worth_of_a_kilogram(**given | {name: value})
    assert refused.value.parameter == name
