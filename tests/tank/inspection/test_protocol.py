"""The inspection takes ten minutes, and each step that can hurt says so."""

from aqualib.tank.inspection.protocol import inspection_protocol

STEPS = inspection_protocol()


def test_it_takes_ten_minutes_and_says_what_to_do():
    assert STEPS.minutes == 10.0
    assert all(step.tool and step.do.endswith(".") and step.write_down for step in STEPS)
    assert all(step.tells and 0 < step.minutes <= 3 for step in STEPS)


def test_hands_lamp_glass_bleach_and_live_media_are_warned_of():
    said = " ".join(STEPS.cautions).lower()
    for word in ("plug", "lamp", "glass", "pressure", "bleach", "live media", "never test in"):
        assert word in f"{said} {STEPS[0].do.lower()}", word


def test_it_shows_itself_as_a_table():
    assert repr(STEPS).count("\n") == len(STEPS)
    page = STEPS._repr_html_()
    assert page.count("<tr>") == len(STEPS) + 1
    # A caution is read before the hands do what it is about.
    assert STEPS.headings.index("mind first") < STEPS.headings.index("do")
    for step in STEPS:
        assert step.caution.split(";")[0][:40].replace("'", "&#x27;") in page or not step.caution


def test_a_piece_soaks_overnight_before_it_is_weighed():
    (step,) = (step for step in STEPS if step.tool == "bowl and thread")
    assert step.do.startswith("The evening before")
