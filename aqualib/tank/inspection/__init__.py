"""Inspection: what came in the box, what is each piece worth, and how is it stacked?"""

from __future__ import annotations

from aqualib.tank.inspection.keep_or_not import Verdict, in_kg_and_lb, judge
from aqualib.tank.inspection.kitchen_powders import cut_from_powders
from aqualib.tank.inspection.observed import Piece
from aqualib.tank.inspection.protocol import Protocol, Step, inspection_protocol
from aqualib.tank.inspection.side_by_side import Line, SideBySide, lines_of, trays_of
from aqualib.tank.inspection.sieve_law import cut_size_from_catch
from aqualib.tank.inspection.stacking import as_bought, put_in_order, remembered_outcome
from aqualib.tank.inspection.vinegar import carbonate_from_fizz, vinegar_for_carbonate
from aqualib.tank.inspection.what_it_is import Found, recognised
