"""What a change buys is the difference of two runs."""

from plan_systems import as_it_was_bought

from aqualib.tank.plan import Change, filled, gains, outcome

BOUGHT = outcome(filled(as_it_was_bought())[0])


def test_nothing_is_gained_by_what_changes_nothing():
    assert gains(BOUGHT, BOUGHT) == (0, 0, 0, 0, 0)
    assert not gains(BOUGHT, BOUGHT).any


def test_a_change_runs_its_own_system_once():
    whole, _ = filled(as_it_was_bought())
    change = Change("less", "Feed less", "", "02", whole._replace(feed=0.5 * whole.feed))
    assert change.after == outcome(change.whole)
    assert change.after is change.after
    assert gains(BOUGHT, change.after).margin > gains(BOUGHT, change.after).food
