"""What a panel is told: one path for hand and code, refusals in words, units."""

import pytest
from panels_of_lessons import Blank, ask, picture, sliders, small_panel, start_anew, state

from aqualib.lesson.controls import Choice, Slider
from aqualib.lesson.panel import NOT_USED, Panel
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
from aqualib.lesson.panels.oxygen_curve import oxygen_panel
from aqualib.lesson.panels.safety_map import safety_map_panel
from aqualib.lesson.panels.slice_a_piece import slice_panel
from aqualib.lesson.panels.tank_weight import first_slider_panel
from aqualib.lesson.panels.water_volume import water_volume_panel
from aqualib.units import DISPLAY, UNIT_SETS, display_unit, line_to, set_units
from aqualib.validity import ValidityError

pytestmark = pytest.mark.usefixtures("lesson_start")

NO_NUMBERS = ("a lot", "7 buckets", "", None, [7.0], {}, True)
NAN, INFINITY = float("nan"), float("inf")


def test_hand_and_code_take_the_same_path(panel):
    name, slider = next(iter(sliders(panel).items()))
    at_the_end = slider.start + 3 * slider.step > slider.parameter.high
    value = slider.start + (-3 if at_the_end else 3) * slider.step
    by_code = panel.set(**{name: value}), picture(panel)
    panel.reset()
    ask(panel, do="set", name=name, value=value, units="metric", turn=7)
    assert panel.view.done == 7
    # What takes longer comes when the hand rests; code gets it at once.
    assert panel.view.rough == (panel.refine is not None)
    ask(panel, do="refine", turn=8)
    assert (panel.sentence, picture(panel)) == by_code
    assert not panel.view.rough


def test_set_refuses_bad_values_and_changes_nothing(panel):
    name = next(iter(sliders(panel)))
    before, wrong = state(panel), []
    for value in (*NO_NUMBERS, 1e9, -1e9, 10**400, NAN, INFINITY):
        with pytest.raises(ValidityError) as refused:
            panel.set(**{name: value})
        if refused.value.parameter != panel.controls[name].name or state(panel) != before:
            wrong.append(value)
    assert wrong == []


def test_one_bad_value_among_good_ones_changes_nothing(panel):
    first, slider = next(iter(sliders(panel).items()))
    second = next((name for name in panel.controls if name != first), None)
    if second is None:
        pytest.skip("one control has no good one beside it")
    before = panel.values
    with pytest.raises(ValidityError):
        panel.set(**{first: slider.parameter.low, second: 1e12})
    assert panel.values == before


def test_unknown_control_is_named(panel):
    with pytest.raises(ValidityError, match="bubbles"):
        panel.set(bubbles=1)


def but_for_its_words(panel):
    """What a panel shows beside its verdict: numbers, the picture, and what code is told."""
    return panel.values, panel.result, panel.sentence, picture(panel), panel.view.readings


def test_a_bad_entry_is_shown_in_words_and_there_is_no_verdict_until_it_is_mended(panel):
    name, slider = next(iter(sliders(panel).items()))
    before, wrong = but_for_its_words(panel), []
    for turn, value in enumerate((*NO_NUMBERS, 1e9, NAN, INFINITY), 1):
        ask(panel, do="set", name=name, value=value, units="metric", turn=turn)
        told = ", please; " in panel.view.refused[name]["words"]
        told = told and panel.view.answer == [f"{slider.name}:", NOT_USED]
        if not told or but_for_its_words(panel) != before or panel.view.done != turn:
            wrong.append(value)
    assert wrong == []
    ask(panel, do="set", name=name, value=slider.parameter.low, units="metric", turn=99)
    assert (panel.view.error, panel.view.refused) == ("", {})
    assert panel.view.answer == list(panel.answer(panel.result))
    assert panel.view.sentence == panel.sentence


@pytest.mark.parametrize(
    ("name", "typed", "value"),
    [
        ("total_ammonia", "3 mg/l", 3.0), ("total_ammonia", "1,5 ppm", 1.5),
        ("total_ammonia", "500 µg/L", 0.5), ("temperature", "77 F", 25.0),
        ("temperature", " 20 °C ", 20.0), ("ph", "7,1", 7.1),
    ],
)  # fmt: skip
def test_any_unit_that_fits_may_be_typed_into_a_box(name, typed, value):
    """77 °F is (77 - 32) / 1.8 = 25 °C."""
    panel = safety_map_panel()
    for system in UNIT_SETS:
        set_units(system)
        panel.reset()
        ask(panel, do="set", name=name, value=typed, units=system)
        assert panel.values[name] == pytest.approx(value), system
        assert panel.view.refused == {}
    panel.close()


def test_a_typed_number_without_a_unit_is_in_that_beside_its_box():
    slider = water_volume_panel().controls["length"]
    for system, typed, value in (
        ("us", "40", 101.6), ("us", "40 in", 101.6), ("us", "1 m", 100), ("metric", "40 cm", 40),
    ):  # fmt: skip
        for shown in UNIT_SETS:  # the page may be a step behind
            set_units(shown)
            slider.take(typed, system)
            assert slider.value == pytest.approx(value), (system, typed, shown)


def test_no_verdict_stands_beside_an_entry_that_was_not_read():
    """Ammonia that harms was typed: the verdict on the old 0.25 mg/L must not stay."""
    panel = safety_map_panel()
    ask(panel, do="set", name="total_ammonia", value="6 mug", units="metric")
    words = "A number between 0 and 10 mg/L, please; you typed “6 mug”."
    left = {"total_ammonia": {"typed": "6 mug", "words": words}}
    blank = ["Ammonia on the test:", NOT_USED]
    assert (panel.view.refused, panel.view.answer) == (left, blank)
    assert "0.250" not in panel.view.sentence
    # What else is set, by hand or in words, does not bring a verdict back.
    ask(panel, do="set", name="ph", value=8.5, units="metric")
    ask(panel, do="refine")
    ask(panel, do="set", name="temperature", value="warm", units="metric")
    assert panel.view.refused["total_ammonia"] == left["total_ammonia"]
    assert panel.view.answer == ["Ammonia on the test, Temperature:", NOT_USED]
    ask(panel, do="set", name="temperature", value=24.5, units="metric")
    assert (panel.view.refused, panel.view.answer) == (left, blank)
    for mend in (
        lambda: ask(panel, do="set", name="total_ammonia", value="6 mg/l", units="metric"),
        lambda: ask(panel, do="set", name="total_ammonia", value=0.25, units="metric"),
        lambda: panel.set(total_ammonia=panel.values["total_ammonia"]),
        lambda: panel.replay(total_ammonia=2),
        lambda: ask(panel, do="reset"),
        lambda: ask(panel, do="units", value="us"),
    ):
        mend()
        assert panel.view.refused == {}
        assert panel.view.answer == list(panel.answer(panel.result))
        ask(panel, do="set", name="total_ammonia", value="6 mug")
        assert panel.view.answer == blank
    panel.close()


def test_an_entry_whose_box_a_choice_hides_holds_nothing_up():
    kinds = {"a": ["one"], "b": ["two"]}
    controls = {
        "kind": Choice("Kind", {"a": "a", "b": "b"}, "a", shows=kinds),
        "one": Slider("One", "tested_ph", 0.1),
        "two": Slider("Two", "tested_ph", 0.1),
    }
    panel = Panel("t", controls, lambda **_: 1, Blank(), str, lambda _: ("One", "1"))
    ask(panel, do="set", name="one", value="odd")
    assert panel.view.answer == ["One:", NOT_USED]
    ask(panel, do="set", name="kind", value="b")
    assert (panel.view.refused, panel.view.answer) == ({}, ["One", "1"])


def test_the_words_of_a_refusal_leave_when_the_same_value_is_entered_again():
    panel = small_panel()
    ask(panel, do="set", name="ph", value="a lot")
    asked = "A number between 6.5 and 9, please; you typed “a lot”."
    assert panel.view.refused == {"ph": {"typed": "a lot", "words": asked}}
    ask(panel, do="set", name="ph", value=panel.controls["ph"].value)
    assert panel.view.refused == {}


def test_a_long_entry_comes_back_short():
    panel = small_panel()
    for value in ("x" * 100_000, ["y"] * 100_000, {"z" * 100_000: 1}):
        ask(panel, do="set", name="ph", value=value)
        assert 0 < len("".join(panel.view.refused["ph"].values())) < 130
    ask(panel, do="set", name="ph", value=7.3, units="u" * 100_000)
    assert "units" in panel.view.error
    assert len(panel.view.error) < 200


STRANGE = (
    {},
    {"do": "dance"},
    {"do": []},
    {"do": "set", "name": "nothing", "value": 1},
    {"do": "set", "name": [], "value": 1},
    {"do": "set", "name": {"ph": 1}, "value": 1},
    {"do": "set", "name": None},
    {"do": "set"},
    {"do": "units", "value": "cubits"},
    {"do": "units", "value": []},
    {"do": "large", "value": "yes"},
    {"do": "large", "value": [1]},
    {"do": "large"},
    {"do": "fit", "value": 1e6, "ratio": 1},
    {"do": "fit", "value": 700, "ratio": "big"},
    {"do": "fit", "value": NAN, "ratio": 1},
    {"do": "fit", "value": True, "ratio": 1},
    {"do": "fit", "value": 700},
    {"do": "here", "name": []},
    {"do": "here"},
    {"do": "gone", "name": {}},
    {"do": "gone", "name": "never here"},
)


def test_a_strange_message_changes_nothing(panel):
    before, drawn = state(panel), panel.updates
    for message in STRANGE:
        ask(panel, **message)
        assert panel.view.error == "", message
    assert (state(panel), panel.updates) == (before, drawn)


def test_what_is_no_message_changes_nothing():
    panel = small_panel()
    before = state(panel)
    for message in (None, [], "set", 7, True, [{"do": "reset"}]):
        panel._on_message(panel.view, message, [])
    assert (state(panel), panel.view.error) == (before, "")


def test_a_strange_turn_is_not_answered():
    panel = small_panel()
    ask(panel, do="reset", turn=5)
    for turn in (None, [], {}, "", "6", NAN, INFINITY, 6.5, 10**30):
        ask(panel, do="set", name="ph", value=7.5, turn=turn)
        ask(panel, do="set", name="ph", value="a lot", turn=turn)
        assert panel.view.done == 5, turn
    assert panel.controls["ph"].value == 7.5


@pytest.mark.parametrize("system", UNIT_SETS)
def test_units_are_one_setting_with_metric_alongside(panel, system):
    ask(panel, do="units", value=system, turn=1)
    assert panel.view.units == system
    specs = {spec["name"]: spec for spec in panel.view.controls}
    on_page = {name: slider for name, slider in sliders(panel).items() if name in specs}
    assert on_page
    for name, slider in on_page.items():
        reading, spec = panel.view.readings[name], specs[name]
        other = slider.unit in DISPLAY and system != "metric"
        assert bool(reading["metric"]) == other, name
        factor, offset = line_to(slider.unit, display_unit(slider.unit)) if other else (1.0, 0.0)
        low, high = (factor * end + offset for end in (slider.parameter.low, slider.parameter.high))
        # The ends the page offers lie inside the range, less than a step from its ends.
        hair = 1e-6 * (high - low)
        assert low - hair <= spec["low"] < low + spec["step"], name
        assert high - spec["step"] < spec["high"] <= high + hair, name
        assert low - hair <= reading["value"] <= high + hair, name
    with panel._one_update():
        for name, slider in on_page.items():
            before = slider.value
            slider.take(slider.reading()["value"])
            assert slider.value == pytest.approx(before, rel=1e-8, abs=1e-9), name
            # The ends can be set, whatever the units.
            for end in ("low", "high"):
                slider.take(specs[name][end], system)
                assert slider.parameter.low <= slider.value <= slider.parameter.high


def test_every_number_is_read_in_the_units_it_was_made_in(panel):
    """The hand moves a slider while the answer to a change of units is on its way."""
    with panel._one_update():
        for name, slider in sliders(panel).items():
            for system in UNIT_SETS:
                unit = display_unit(slider.unit, system)
                factor, offset = (1, 0) if unit == slider.unit else line_to(slider.unit, unit)
                for end in (slider.parameter.low, slider.parameter.high):
                    slider.take(factor * end + offset, system)
                    assert slider.value == pytest.approx(end, rel=1e-8, abs=1e-9), name


def test_two_hundred_litres_stay_two_hundred_litres():
    panel = nitrogen_flow_panel()
    ask(panel, do="units", value="us")
    ask(panel, do="set", name="volume", value=200, units="metric")
    assert panel.controls["volume"].value == 200
    ask(panel, do="set", name="temperature", value=25, units="metric")
    assert (panel.controls["temperature"].value, panel.view.error) == (25, "")


def test_units_of_one_panel_reach_the_other():
    first, second = first_slider_panel(), oxygen_panel()
    ask(first, do="units", value="us", turn=1)
    assert second.view.units == "us"
    assert "°F" in second.sentence


def test_a_refused_entry_is_told_in_the_units_it_was_typed_in():
    panel = water_volume_panel()
    set_units("us")
    ask(panel, do="set", name="length", value=900, units="us")
    words = "Between 8 and 62 in, please; you typed 900."
    assert panel.view.refused == {"length": {"typed": "900", "words": words}}
    assert panel.view.readings["length"]["value"] == 42


def test_starts_are_round_in_each_unit_set():
    panel = water_volume_panel()
    metric = panel.values
    assert metric["length"] == panel.controls["length"].start
    panel.set(depth=41.3)
    for system in ("us", "imperial"):
        ask(panel, do="units", value=system)
        assert panel.view.readings["length"]["value"] == 42
        # What a hand has set stays as it is.
        assert panel.controls["depth"].value == 41.3
    panel.reset()
    assert panel.view.readings["depth"]["value"] == 18
    assert water_volume_panel().values == panel.values
    ask(panel, do="units", value="metric")
    assert panel.values == metric


def test_replay_starts_from_the_lesson_start():
    panel = nitrogen_flow_panel()
    alone = panel.replay(feed=8)
    panel.set(ph=9.0, volume=20)
    assert panel.replay(feed=8) == alone
    assert panel.controls["ph"].value == panel.controls["ph"].start


def test_an_error_of_the_computation_is_shown_and_raised():
    def compute(ph):
        if ph > 8:
            message = "the sum went wrong"
            raise RuntimeError(message)
        return ph

    panel = small_panel(compute)
    with pytest.raises(RuntimeError):
        panel.set(ph=8.5)
    assert panel.view.error == "the sum went wrong"
    with pytest.raises(RuntimeError):
        ask(panel, do="set", name="ph", value=8.6, turn=5)
    assert panel.view.done == 5
    panel.set(ph=7.0)
    assert panel.view.error == ""


def test_a_refusal_within_the_computation_is_raised_too():
    """It is not the entry that was refused: the panel's own sum asks for what may not be."""

    def compute(ph):
        if ph > 8:
            raise ValidityError("salinity", -1, "0 to 42", "", "is out of range")
        return ph

    panel = small_panel(compute)
    with pytest.raises(ValidityError, match="salinity"):
        ask(panel, do="set", name="ph", value=8.6, turn=5)
    assert "salinity" in panel.view.error
    assert panel.view.done == 5


@pytest.mark.parametrize("make", [first_slider_panel, slice_panel])
def test_a_panel_put_back_is_as_it_was_made(make):
    """What the fixture of these tests promises."""
    panel = make()
    made = state(panel)
    name = next(iter(sliders(panel)))
    ask(panel, do="units", value="us")
    ask(panel, do="large", value=True)
    ask(panel, do="fit", value=1000, ratio=2)
    ask(panel, do="set", name=name, value=panel.controls[name].parameter.high, units="metric")
    ask(panel, do="set", name=name, value="a lot", turn=4)
    assert state(panel) != made
    start_anew(panel)
    assert (state(panel), panel.view.error, panel.view.rough) == (made, "", False)
    assert panel.view.done == 0


def test_slider_ranges_come_from_the_parameters(panel):
    for slider in sliders(panel).values():
        assert slider.parameter.low <= slider.start <= slider.parameter.high
        cited = slider.parameter.source not in {"", "assumed"}
        assert (slider.parameter.origin in slider.spec()["about"]) == cited
    assert panel.view.note == "The range of a slider is assumed, unless a source stands under it."


def test_what_a_choice_brings_gives_way_to_what_is_set_beside_it():
    brings = {"warm": {"ph": 8.0, "temperature": 28.0}}
    controls = {
        "ph": Slider("pH", "tank_ph", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "kind": Choice("Kind", {"cool": "cool", "warm": "warm"}, "cool", brings),
    }
    panel = Panel("t", controls, lambda **v: v, Blank(), str, lambda v: ("kind", v["kind"]))
    panel.set(ph=7.0, kind="warm")
    assert panel.values == {"ph": 7.0, "temperature": 28.0, "kind": "warm"}
    with pytest.raises(ValidityError):
        panel.set(kind="cool", ph=99)
    assert panel.values == {"ph": 7.0, "temperature": 28.0, "kind": "warm"}
    panel.replay(temperature=20)
    assert panel.values == {"ph": controls["ph"].start, "temperature": 20.0, "kind": "cool"}


def test_a_choice_shows_the_controls_it_wants_and_hides_those_of_others():
    shows = {"cool": ["ph"], "warm": ["temperature", "ph"], "none": []}
    controls = {
        "ph": Slider("pH", "tank_ph", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "volume": Slider("Water", "tank_volume", 10.0),
        "kind": Choice("Kind", {kind: kind for kind in shows}, "cool", shows=shows),
    }
    panel = Panel("t", controls, lambda **v: v, Blank(), str, lambda v: ("kind", v["kind"]))

    def on_page():
        return [spec["name"] for spec in panel.view.controls]

    assert on_page() == ["volume", "kind", "ph"]
    ask(panel, do="set", name="kind", value="warm")
    assert on_page() == ["volume", "kind", "temperature", "ph"]
    # What is hidden keeps its number, for code and for the next time it is wanted.
    panel.set(kind="none", temperature=20)
    assert on_page() == ["volume", "kind"]
    assert panel.result["temperature"] == pytest.approx(293.15)
    shown = panel.view.controls
    panel.set(volume=120)
    assert panel.view.controls is shown, "the page need not build its controls anew"
    panel.reset()
    assert on_page() == ["volume", "kind", "ph"]
