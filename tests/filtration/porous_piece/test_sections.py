"""The rock sections: all of them are there, the flaws are as told, the numbers as counted apart."""

import numpy as np
import pytest
from scipy.stats import spearmanr

from aqualib.filtration.porous_piece.sections import (
    SOURCE,
    compare_with_kozeny_carman,
    rank_correlation,
    rock_sections,
)
from aqualib.sources import references

SECTIONS = rock_sections()
AREA = np.array([section.pore_area for section in SECTIONS])
PERIMETER = np.array([section.pore_perimeter for section in SECTIONS])
MEASURED = np.array([section.permeability for section in SECTIONS])
CORES = np.repeat(np.arange(12), 4)


def test_every_section_is_read():
    assert len(SECTIONS) == 48
    assert [section.core for section in SECTIONS] == list(CORES + 1)
    assert AREA.sum() == 345011
    assert PERIMETER.mean() == pytest.approx(2682.2, abs=0.05)
    assert MEASURED.mean() == pytest.approx(415.45)
    assert SOURCE in references()


def test_four_sections_share_one_permeability():
    for core in range(12):
        assert len(set(MEASURED[core == CORES])) == 1
    assert len(set(MEASURED)) == 12


def test_the_flaws_told_in_the_reference_are_there():
    pairs = [(section.pore_area, section.pore_perimeter) for section in SECTIONS]
    assert pairs[31] == pairs[35]
    assert len(set(pairs)) == 47


def test_porosity_surface_and_formula_in_pixels():
    first = SECTIONS[0]
    assert first.porosity == pytest.approx(4990 / 65536)
    surface = 4 / np.pi * 2791.9 / 65536
    assert first.surface == pytest.approx(surface)
    assert first.kozeny_carman == pytest.approx(first.porosity**3 / (5 * surface**2))


def test_agreement_is_that_of_an_independent_count():
    porosity = AREA / 65536
    formula = porosity**3 / (5 * (4 / np.pi * PERIMETER / 65536) ** 2)
    by_core = np.array([np.log10(formula[core == CORES]).mean() for core in range(12)])
    measured = MEASURED[::4]
    found = compare_with_kozeny_carman()
    assert (found.sections, found.cores) == (48, 12)
    assert found.rank_of_sections == pytest.approx(spearmanr(formula, MEASURED).statistic)
    assert found.rank_of_cores == pytest.approx(spearmanr(by_core, measured).statistic)
    pores = [porosity[core == CORES].mean() for core in range(12)]
    assert found.rank_of_porosity == pytest.approx(spearmanr(pores, measured).statistic)
    missed = np.log10(measured) - by_core
    assert np.log10(found.usual_factor) == pytest.approx(missed.std(ddof=1))
    assert np.log10(found.worst_factor) == pytest.approx(np.abs(missed - missed.mean()).max())


def test_what_the_lesson_says():
    found = compare_with_kozeny_carman()
    assert found.rank_of_cores > 0.85
    assert found.rank_of_porosity < 0, "more pore area went with less permeability"
    assert 3 < found.usual_factor < 4
    assert found.largest_spread > 30


@pytest.mark.parametrize("values", [[1, 2, 3, 4], [1, 1, 2, 2], [3, 1, 2, 2]])
def test_ranks_are_those_of_the_library(values):
    other = [0.5, 7, 7, 9]
    assert rank_correlation(values, other) == pytest.approx(spearmanr(values, other).statistic)
