"""From three weighings to a surface: the parts of the room joined up."""

import pytest

from aqualib.filtration import media
from aqualib.units import Q


def test_weighing_to_surface_in_one_chain():
    weighed = media.immersion_porosity(Q(250, "g"), Q(145, "g"), Q(345, "g"))
    piece = weighed.bulk_density
    voidage = media.voidage_from_density(Q(500, "kg/m**3"), piece)
    area = media.bed_area(media.ring_area(Q(15, "mm"), Q(9, "mm"), Q(15, "mm")), voidage)
    by_bed = media.area_per_mass(area, Q(500, "kg/m**3")).m_as("m**2/kg")
    own = media.worth_of_a_kilogram(
        Q(250, "g"), Q(145, "g"), Q(345, "g"), "porous rings", Q(15, "mm")
    )
    assert own.outer_area.best.m_as("m**2") == pytest.approx(by_bed)
