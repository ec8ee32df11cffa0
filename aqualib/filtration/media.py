"""Filter media: how much is pores, how much surface there is, and what a kilogram is worth."""

from __future__ import annotations

from aqualib.filtration.bed_area import area_per_mass, bed_area, pore_wall_area, sphere_bed_area
from aqualib.filtration.foam import foam_area, foam_cell
from aqualib.filtration.kilogram import Worth, worth_of_a_kilogram
from aqualib.filtration.media_bed import Estimate, MediaBed, bare_media_bed, media_bed
from aqualib.filtration.media_table import MediaKind, measured_beds, media_kind, media_kinds
from aqualib.filtration.packing import (
    bed_density,
    total_porosity,
    voidage_from_density,
    wall_voidage,
)
from aqualib.filtration.pieces import cylinder_area, irregular_area, ring_area, sphere_area
from aqualib.filtration.tray_fill import (
    TrayFill,
    cost_per_area,
    media_in_tray,
    media_mass,
    media_volume,
)
from aqualib.filtration.weighing import (
    ClosedPores,
    Immersion,
    closed_pores,
    immersion_porosity,
    suspended_mass,
)
from aqualib.filtration.weighing_doubt import WeighingUncertainty, weighing_uncertainty
from aqualib.filtration.working_shell import ball_shell_share, ring_shell_share, walls_in_reach

__all__ = [
    "ClosedPores",
    "Estimate",
    "Immersion",
    "MediaBed",
    "MediaKind",
    "TrayFill",
    "WeighingUncertainty",
    "Worth",
    "area_per_mass",
    "ball_shell_share",
    "bare_media_bed",
    "bed_area",
    "bed_density",
    "closed_pores",
    "cost_per_area",
    "cylinder_area",
    "foam_area",
    "foam_cell",
    "immersion_porosity",
    "irregular_area",
    "measured_beds",
    "media_bed",
    "media_in_tray",
    "media_kind",
    "media_kinds",
    "media_mass",
    "media_volume",
    "pore_wall_area",
    "ring_area",
    "ring_shell_share",
    "sphere_area",
    "sphere_bed_area",
    "suspended_mass",
    "total_porosity",
    "voidage_from_density",
    "wall_voidage",
    "walls_in_reach",
    "weighing_uncertainty",
    "worth_of_a_kilogram",
]
