"""The front door of the media: everything it names is there and is what the rooms behind hold."""

import pytest

from aqualib.filtration import bed_area, media, media_bed, packing, weighing
from aqualib.units import Q


def test_names_are_all_there():
    assert media.__all__ == sorted(media.__all__)
    for name in media.__all__:
        assert hasattr(media, name), name


def test_names_are_the_same_things():
    assert media.immersion_porosity is weighing.immersion_porosity
    assert media.bed_area is bed_area.bed_area
    assert media.media_bed is media_bed.media_bed
    assert media.bed_density is packing.bed_density


def test_weighing_to_surface_in_one_chain():
    weighed = media.immersion_porosity(Q(250, "g"), Q(145, "g"), Q(345, "g"))
    piece = weighed.bulk_density
    voidage = media.voidage_from_density(Q(500, "kg/m**3"), piece)
    area = media.bed_area(media.ring_area(Q(15, "mm"), Q(9, "mm"), Q(15, "mm")), voidage)
    by_bed = media.area_per_mass(area, Q(500, "kg/m**3")).m_as("m**2/kg")
    own = media.worth_of_a_kilogram(
        Q(250, "g"), Q(145, "g"), Q(345, "g"), "sintered glass rings", Q(15, "mm")
    )
    assert own.outer_area.best.m_as("m**2") == pytest.approx(by_bed)
