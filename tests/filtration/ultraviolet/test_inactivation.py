"""The tables of doses: as printed, between the points, and never beyond them without a word."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.ultraviolet.inactivation import (
    ORGANISMS,
    doses,
    effects,
    inactivated_share,
    log_inactivation,
    tabled_fluence,
    tabled_inactivation,
    tables,
)
from aqualib.parameters import BASES
from aqualib.sources import references
from aqualib.units import Q
from aqualib.validity import ValidityError

EACH = pytest.mark.parametrize("organism", ORGANISMS)


def test_every_row_is_well_formed():
    for dose in doses():
        assert dose.basis in BASES
        assert dose.source in references() or dose.basis == "memory"
        assert dose.basis != "published" or dose.locator
        assert 0.0 < dose.low <= dose.fluence <= dose.high
        assert dose.label
        assert dose.note
        assert (dose.effect == "inactivated") == (dose.log_inactivation > 0.0)
        assert dose.origin


def test_only_effects_rest_on_memory():
    counted = [dose for dose in doses() if dose.organism in ORGANISMS]
    assert {dose.basis for dose in counted} == {"published"}
    assert {dose.organism for dose in effects() if dose.basis == "memory"} == {"ciliate_theronts"}


def test_what_others_found_stands_beside_the_dose_for_green_water():
    """100 to 400 mJ/cm² stopped another alga; a third came back after up to 730."""
    row = next(dose for dose in doses() if dose.organism == "green_water")
    assert row.low <= 100
    assert row.high >= 730


def test_the_table_of_cryptosporidium_is_on_the_safe_side():
    """Five strains lost 4 log or more at 10 mJ/cm²."""
    assert tabled_fluence("cryptosporidium", 4) >= Q(10, "mJ/cm**2")
    assert tabled_inactivation("cryptosporidium", Q(10, "mJ/cm**2")) <= 4


@EACH
def test_tables_rise(organism):
    table = tables()[organism]
    assert table.fluences[0] == table.logs[0] == 0.0
    assert np.all(np.diff(table.fluences) > 0.0)
    assert np.all(np.diff(table.logs) > 0.0)


@EACH
def test_printed_points_come_back(organism):
    for dose in (dose for dose in doses() if dose.organism == organism):
        given_dose = Q(dose.fluence, "mJ/cm**2")
        assert tabled_inactivation(organism, given_dose) == pytest.approx(dose.log_inactivation)
        back = tabled_fluence(organism, dose.log_inactivation)
        assert back.m_as("mJ/cm**2") == pytest.approx(dose.fluence)


@given(st.sampled_from(ORGANISMS), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_more_light_does_more_and_back(organism, one, other):
    last = tables()[organism].fluences[-1]
    low, high = sorted((one * last, other * last))
    logs = tabled_inactivation.bare(organism, np.array([low, high]))
    assert logs[0] <= logs[1]
    assert tabled_fluence.bare(organism, logs) == pytest.approx([low, high], rel=1e-9, abs=1e-9)


@EACH
def test_beyond_the_table_is_refused_and_names_it(organism):
    table = tables()[organism]
    beyond = Q(table.fluences[-1] * 1.001, "J/m**2")
    with pytest.raises(ValidityError) as refused:
        tabled_inactivation(organism, beyond)
    assert refused.value.parameter == "fluence"
    assert table.label in refused.value.valid
    assert "at_least" in refused.value.valid
    assert refused.value.source == ", ".join(table.sources)
    assert tabled_inactivation(organism, beyond, at_least=True) == table.logs[-1]
    with pytest.raises(ValidityError, match="beyond the last step"):
        tabled_fluence(organism, table.logs[-1] + 0.01)


def test_one_dose_of_several_beyond_the_table_is_enough():
    with pytest.raises(ValidityError, match="30 mJ"):
        tabled_inactivation("giardia", Q([1.0, 30.0, 2.0], "mJ/cm**2"))


def test_no_dose_does_nothing():
    assert tabled_inactivation("virus", Q(0, "mJ/cm**2")) == 0.0


def test_two_sources_on_one_virus_disagree_by_what_the_note_says():
    """99 % of IPN virus: 79 by Øye & Rimstad 2001, 100 to 150 by Yoshimizu et al. 1990."""
    newer = tabled_fluence("ipnv", 2.0).m
    older = next(dose for dose in doses() if dose.organism == "ipnv_csv")
    assert newer == pytest.approx(79.2)
    assert newer < older.low
    assert "79" in older.note


def test_particles_cost_more_than_one_step():
    dose = Q(5, "mJ/cm**2")
    clear = tabled_inactivation("fish_bacteria_filtered", dose)
    cloudy = tabled_inactivation("fish_bacteria_cloudy", dose)
    assert clear - cloudy > 1.0


@given(st.floats(1e-12, 15.0))
def test_shares_and_steps(steps):
    share = inactivated_share(steps)
    assert 0.0 < share < 1.0
    assert 1.0 - share == pytest.approx(10.0**-steps, rel=1e-3, abs=1e-15)
    assert share == pytest.approx(steps * np.log(10.0), rel=1.2 * steps)


def test_half_the_dose_per_step_means_twice_the_steps():
    doses_per_step = Q(np.array([40.0, 20.0, 10.0]), "mJ/cm**2")
    assert log_inactivation(Q(40, "mJ/cm**2"), doses_per_step) == pytest.approx([1, 2, 4])
    with pytest.raises(ValidityError, match="fluence_per_log"):
        log_inactivation(Q(40, "mJ/cm**2"), Q(0, "mJ/cm**2"))
