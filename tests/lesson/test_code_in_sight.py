"""Cells that teach no code are folded, and the others stay in sight."""

import pytest

from aqualib.lesson.code_in_sight import OUT_OF_SIGHT, hide_all, teaches_no_code


@pytest.mark.parametrize(
    "source",
    [
        'from aqualib.units import Q\n\nset_units("metric")  # or "us"',
        "water = water_volume_panel()\nwater",
        'my_guess = asking.guess("Weight", "kg")\nmy_guess',
        'evidence_by_id(\n    "a",\n)',
        'our.tank_sheet("04")\nbibliography([])',
        'asking.exercises("01")',
    ],
)
def test_what_only_puts_something_on_the_page(source):
    assert teaches_no_code(source)


@pytest.mark.parametrize(
    "source",
    [
        "",
        "print(show(volume))",
        "volume = Q(105, 'cm') * 3",
        "def my_growth(x):\n    return None",
        "with asking.fold():\n    print(water.replay(depth=3))",
        "my_tank = own_tank()",
        "for x in y:\n    bibliography(x)",
    ],
)
def test_what_teaches_stays(source):
    assert not teaches_no_code(source)


def test_all_code_can_be_put_out_of_sight_and_words_are_left_alone():
    from nbformat import v4

    code = v4.new_code_cell("x = 1", metadata={"tags": ["kept"]})
    words = v4.new_markdown_cell("x = 1")
    hide_all(v4.new_notebook(cells=[code, words]))
    assert code.metadata == {"tags": ["kept", OUT_OF_SIGHT], "jupyter": {"source_hidden": True}}
    assert words.metadata == {}
