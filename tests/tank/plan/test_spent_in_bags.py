"""Chemical media: what each takes, that none is media, and that zeolite and salt do not meet."""

from datetime import date

import pytest

from aqualib.tank.plan import (
    Tray,
    as_json,
    chemical_bags,
    example_system,
    filled,
    from_json,
    make_plan,
    outcome,
)
from aqualib.tank.plan.parts import CHEMICALS, FLOSS, PHOSPHATE, RESIN, ZEOLITE
from aqualib.tank.plan.spent_in_bags import OUT_FIRST
from aqualib.units import Q

FIRST = date(2030, 3, 2)


def with_third_pad(holds, *, marine=False):
    """The lessons' tank with another thing in the tray of its fine pad."""
    system = example_system(marine=marine)
    trays = list(system.filter.trays)
    assert trays[3].holds == "fine pad"
    trays[3] = Tray(holds, trays[3].height)
    return system.changed("filter", trays=tuple(trays))


def test_every_kind_has_its_row_and_says_who_says_so():
    rows = {row.holds: row for row in chemical_bags().rows}
    assert tuple(rows) == CHEMICALS
    assert all(row.said.origin for row in rows.values())
    assert "pH" in rows[RESIN].mind
    assert "dust" in rows[PHOSPHATE].mind
    assert "salt bath" in rows[ZEOLITE].mind
    assert repr(chemical_bags()).count("\n") == len(CHEMICALS)


@pytest.mark.parametrize("bag", [RESIN, PHOSPHATE, ZEOLITE])
def test_a_bag_takes_room_and_carries_nothing(bag):
    """It does what an empty tray does, for the flow too; the file keeps it."""
    empty = outcome(filled(with_third_pad("nothing"))[0])
    full = outcome(filled(with_third_pad(bag))[0])
    assert full == empty
    system = with_third_pad(bag)
    assert from_json(as_json(system)).filter.trays[3].holds == bag
    places = filled(system)[0].places
    assert next(p for p in places if p.holds == bag).media == 0.0


def test_floss_catches_as_a_fine_pad_and_bears_no_bacteria():
    """The pad's own share of the surface, by hand: three pads of one size, so a third of it."""
    fine = outcome(filled(example_system())[0])
    floss = outcome(filled(with_third_pad(FLOSS))[0])
    assert floss.due == fine.due
    assert floss.due_of[FLOSS] == fine.due_of["fine"]
    assert floss.pad_area == pytest.approx(fine.pad_area * 2 / 3)
    assert floss.carried.feed.best < fine.carried.feed.best


@pytest.mark.parametrize(("salinity", "is_harm"), [(0, False), (0.4, False), (3, True), (35, True)])
def test_zeolite_in_salted_water_comes_before_any_plan(salinity, is_harm):
    system = with_third_pad(ZEOLITE).changed("water", salinity=salinity)
    plan = make_plan(system, FIRST, doubt=False)
    said = [alarm for alarm in plan.readings if "eolite" in alarm.words]
    assert bool(said) == is_harm
    assert all(alarm.tonight.startswith("Test ammonia now") for alarm in said)
    (words,) = (c.words for c in plan.changes if c.words.startswith("Take the zeolite"))
    assert ("a part a week" in words) != is_harm


def test_a_start_takes_zeolite_out_before_the_first_dose():
    told = {}
    for holds in (ZEOLITE, "nothing"):
        plan = make_plan(with_third_pad(holds), FIRST, doubt=False, changes=False)
        told[holds] = plan.dated_start("1 g", "2 g")
    assert told[ZEOLITE][0] == (FIRST, OUT_FIRST)
    assert told[ZEOLITE][1:] == told["nothing"]


def test_an_old_file_still_opens():
    """Written before these kinds were there: the same bytes give the same system."""
    text = as_json(example_system())
    assert FLOSS not in text
    assert as_json(from_json(text)) == text
    with pytest.raises(ValueError, match="holds"):
        Tray("charcoal floss", Q(4, "cm"))
