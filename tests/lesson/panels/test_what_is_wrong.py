"""The panel of symptoms: its numbers are those of `diagnose`, and it shows what is asked for."""

import inspect

import pytest
from leaves_of_symptoms import CASES, found
from words_in_pictures import out_of_place

from aqualib.lesson.drawing import style
from aqualib.lesson.panels.what_is_wrong import FIRST, SLIDERS, symptoms_panel
from aqualib.tank.symptoms import diagnose, symptoms
from aqualib.tank.symptoms.what_it_says import TESTS
from aqualib.tank.symptoms.what_tonight import row_of
from aqualib.units import set_units

pytestmark = pytest.mark.usefixtures("lesson_start")


ORDER, BEFORE = 95, 65
"""Signs of a headline at most: of a thing to do, and of the words before it."""


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


def test_what_a_keeper_reads_is_answered_and_not_out_of_range(wrong):
    """A nano of 12 L, pH 5.5, 32 degC is answered as it is; past the sums it is said."""
    wrong.replay(symptom="ph sinks", volume=12, ph=5.5, alkalinity=5, ammonia=0.1, tested=True)
    assert wrong.result.diagnosis.amounts["soda"].m_as("g") == pytest.approx(0.403, abs=0.001)
    assert not wrong.result.diagnosis.beyond
    wrong.replay(ph=9.5)
    assert "pH 9.5: these sums take 9." in wrong.result.diagnosis.minds
    wrong.replay(symptom="nitrate stays", nitrate=250, temperature=32, ph=7, tested=True)
    assert not wrong.result.diagnosis.beyond
    wrong.replay(temperature=36)
    assert "Temperature 36 °C: these sums take 34 °C" in wrong.result.diagnosis.minds
    wrong.replay(symptom="nitrite stays", nitrite=12)
    wrong.replay(symptom="rattle", hours_since_opened=6 * 7 * 24)
    wrong.replay(symptom="power cut", hours_stood=100)
    assert wrong.result.diagnosis.code == "cut-fish"


@pytest.mark.sweep
@pytest.mark.parametrize(("system", "size"), [("metric", "page"), ("us", "projector")])
def test_every_leaf_has_room_for_its_cautions_and_is_short(wrong, system, size):
    set_units(system)
    style.set_text_size(size)
    odd = {}
    for code, case in CASES.items():
        for tested in (True, False):
            wrong.replay(symptom=case.symptom, tested=tested, **case.given)
            what, bold = wrong.view.answer
            long = [bold] * (len(bold) > ORDER or len(what) > BEFORE)
            if found_odd := [*out_of_place(wrong.picture.figure), *long]:
                odd[code, tested] = found_odd
    assert odd == {}
