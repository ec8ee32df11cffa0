"""The panel of symptoms: its numbers are those of `diagnose`, and it shows what is asked for."""

import inspect

import pytest
from leaves_of_symptoms import CASES, found

from aqualib.lesson.panels.what_is_wrong import FIRST, SLIDERS, symptoms_panel
from aqualib.tank.symptoms import diagnose, symptoms
from aqualib.tank.symptoms.what_it_says import TESTS
from aqualib.tank.symptoms.what_tonight import row_of

pytestmark = pytest.mark.usefixtures("lesson_start")


@pytest.fixture(scope="module")
def wrong():
    panel = symptoms_panel()
    yield panel
    panel.close()


def test_there_is_a_slider_for_each_measurement_and_no_other():
    asked = {name for tree in symptoms().values() for name in tree.measurements}
    assert set(SLIDERS) == asked
    assert set(inspect.signature(diagnose.bare).parameters) == {"symptom", *asked}


def test_the_first_controls_are_the_symptom_and_the_two_it_asks_for(wrong):
    for code, tree in symptoms().items():
        wrong.set(symptom=code)
        names = [spec["name"] for spec in wrong.view.controls]
        tick = ["tested"] if tree.wants_tests else []
        assert names == ["symptom", *tree.asks, *tick, *tree.also]
    wrong.reset()
    assert wrong.values["symptom"] == FIRST


@pytest.mark.parametrize("code", CASES)
def test_hand_and_code_come_to_the_same_leaf(wrong, code):
    case = CASES[code]
    defaults = {name: wrong.controls[name].parameter.value for name in SLIDERS}
    # The tick stands for the two tests; a case without them is one in which they were not made.
    told = {**dict.fromkeys(TESTS), **case.given}
    tested = None not in (told["ammonia"], told["ph"])
    wrong.set(symptom=case.symptom, tested=tested, **{**defaults, **case.given})
    assert wrong.result.diagnosis.code == code
    told = found(case)
    assert wrong.view.answer == [f"{told.first} Tonight:", told.tonight]
    assert wrong.result.diagnosis.words == found(case).words


def test_a_slider_is_no_test_until_the_tick_says_so(wrong):
    """It always shows a number: without the tick the answer is to test, and no soda."""
    sinks = {"symptom": "ph sinks", "ph": 6.2, "alkalinity": 10, "ammonia": 0.25}
    assert "Test ammonia and pH" in wrong.replay(**sinks)
    assert "Dissolve" in wrong.replay(**sinks, tested=True)
    assert wrong.view.answer[0] == "Test ammonia before pH is lifted. Tonight:"
    # The numbers in the picture are those of the sliders either way.
    numbers = wrong.result.numbers
    wrong.set(tested=False)
    assert wrong.result.numbers == numbers


def test_the_caption_is_short_at_every_leaf(wrong):
    long = {}
    for code, case in CASES.items():
        wrong.set(symptom=case.symptom, tested=True, **case.given)
        if len(wrong.sentence.split()) > 59:
            long[code] = wrong.sentence
    assert long == {}


def test_a_keepers_readings_stay_when_the_symptom_is_changed(wrong):
    wrong.reset()
    wrong.set(nitrite=0.33)
    wrong.set(symptom="gasping")
    assert wrong.values["nitrite"] == 0.33
    assert all(wrong.controls[name].parameter.name == row_of(name) for name in SLIDERS)
