"""A porous piece in water, solved in depth: what works at its skin, and what at its core?"""

from __future__ import annotations

from aqualib.filtration.porous_piece.answers import WorkingPiece
from aqualib.filtration.porous_piece.balance import Water
from aqualib.filtration.porous_piece.film_parameters import (
    FilmParameters,
    film_with,
    pore_film_share,
)
from aqualib.filtration.porous_piece.measured import measured_denitrification
from aqualib.filtration.porous_piece.newton import ConvergenceError
from aqualib.filtration.porous_piece.piece import denitrified_if_fed, working_piece, zones
from aqualib.filtration.porous_piece.sections import compare_with_kozeny_carman
from aqualib.filtration.porous_piece.shells import Piece
from aqualib.filtration.porous_piece.uncertainty import piece_doubt
