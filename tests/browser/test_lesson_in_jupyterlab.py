"""A lesson as a learner meets it: JupyterLab, a browser, a mouse and a keyboard.

A panel made here, in the test, says what the page must show: the hand on the slider and
`panel.set` do the same thing, to the last byte of the picture.
"""

import base64
import re

import pytest
from access import AT, MISSED, OURS, STOPS, TOGETHER, faults
from harness import LAPTOP, PATIENCE, Lesson
from playwright.sync_api import expect

from aqualib.lesson.controls import Choice, Slider
from aqualib.lesson.drawing.style import set_text_size
from aqualib.lesson.panel import NOT_USED
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
from aqualib.lesson.panels.safety_map import safety_map_panel
from aqualib.units import set_units

pytestmark = pytest.mark.browser

NITROGEN_CYCLE = "02-the-nitrogen-cycle.ipynb"
NARROW = {"width": 600, "height": 900}

BYTES = """async (image) => {
    const picture = await (await fetch(image.src)).blob();
    const reader = new FileReader();
    return new Promise((resolve) => {
        reader.onload = () => resolve(reader.result.split(',')[1]);
        reader.readAsDataURL(picture);
    });
}"""
SAME_BYTES = f"async ([image, wanted]) => (await ({BYTES})(image)) === wanted"
ACTIVE_CELL = "() => jupyterapp.shell.currentWidget.content.activeCellIndex"
CELLS = "() => jupyterapp.shell.currentWidget.content.model.cells.length"
OUTPUTS = """() => [...jupyterapp.shell.currentWidget.content.model.cells]
    .flatMap((cell) => cell.outputs?.toJSON() ?? [])
    .map((output) => Object.keys(output.data ?? {}))"""
CELL_OF_FOCUS = """() => jupyterapp.shell.currentWidget.content.widgets
    .findIndex((cell) => cell.node.contains(document.activeElement))"""
FILES = "() => jupyterapp.commands.execute('application:toggle-left-area')"
LISTEN_FOR_ERRORS = """() => {
    window.raised = [];
    jupyterapp.shell.currentWidget.sessionContext.iopubMessage.connect((_, message) => {
        if (message.header.msg_type === 'error') window.raised.push(message.content.evalue);
    });
}"""
# What sticks out of the panel, to the left or to the right.
OVERFLOW = """(panel) => {
    const edge = panel.getBoundingClientRect();
    return [...panel.querySelectorAll('*')].filter((part) => {
        const box = part.getBoundingClientRect();
        return box.width && (box.left < edge.left - 1 || box.right > edge.right + 1);
    }).map((part) => part.outerHTML.slice(0, 80));
}"""


FOLD = "(panel) => { panel.querySelector('details').open = false; }"


class Shown:
    """One panel in the page: its parts by their names."""

    def __init__(self, panel):
        self.panel = panel
        self.image = panel.locator("img")
        self.sentence = panel.locator("figcaption")
        self.error = panel.get_by_role("alert")
        self.progress = panel.get_by_role("status")
        self.units = panel.get_by_role("combobox", name="Units")
        self.large = panel.get_by_role("checkbox", name="Large text")
        self.reset = panel.get_by_role("button", name="Reset")
        self.fold = panel.locator("summary")

    def slider(self, name):
        return self.panel.get_by_role("slider", name=name, exact=True)

    def box(self, name):
        return self.panel.get_by_role("textbox", name=f"{name}, as a number", exact=True)

    def type(self, name, text):
        """Put text in a number box as a learner does, and press Enter."""
        box = self.box(name)
        box.click()
        box.press("Control+a")
        box.press_sequentially(text)
        box.press("Enter")

    def picture(self):
        """The bytes of the picture that is shown."""
        return base64.b64decode(self.image.evaluate(BYTES))

    def shows(self, panel):
        """Wait until the page shows what a panel says and draws, to the last byte."""
        expect(self.sentence).to_have_text(panel.sentence)
        expect(self.image).to_have_attribute("alt", panel.sentence)
        # The page asks for a picture as large as it shows it.
        width, ratio = self.image.evaluate("(i) => [parseFloat(i.style.width), devicePixelRatio]")
        panel._on_message(panel.view, {"do": "fit", "value": width, "ratio": ratio}, [])
        wanted = base64.b64encode(panel.view.png).decode()
        image = self.image.element_handle()
        self.panel.page.wait_for_function(SAME_BYTES, arg=[image, wanted], timeout=PATIENCE)


@pytest.fixture(scope="module")
def opened(window, jupyter):
    """Lesson 02, run once for all the tests that put it back as they found it."""
    lesson = Lesson(window.new_page(), jupyter)
    lesson.open(NITROGEN_CYCLE)
    yield lesson
    lesson.end_kernels()
    lesson.page.close()


@pytest.fixture
def expected():
    """The two panels of lesson 02 as Python has them, in this process."""
    set_units("metric")
    yield nitrogen_flow_panel(), safety_map_panel()
    set_units("metric")
    set_text_size("page")


@pytest.fixture
def shown(opened, expected):
    """The two panels of lesson 02 in the page, at the lesson's start, before and after."""
    panels = Shown(opened.panel(0)), Shown(opened.panel(1))
    for panel, start in zip(panels, expected, strict=True):
        panel.shows(start)
    yield panels
    opened.page.set_viewport_size(LAPTOP)
    # One setting for every panel: the others follow the first.
    panels[0].units.select_option("metric")
    panels[0].large.uncheck()
    for panel in panels:
        expect(panel.units).to_have_value("metric")
        expect(panel.large).not_to_be_checked()
        # Not by the mouse: the change of units may move the button under it.
        panel.reset.evaluate("(button) => button.click()")
        panel.panel.evaluate(FOLD)
    assert opened.errors == []


@pytest.fixture
def flow(shown):
    return shown[0]


@pytest.fixture
def page(opened):
    return opened.page


def test_each_panel_has_one_picture(opened, flow, page, expected):
    expect(page.locator(".aqualib-panel")).to_have_count(2)
    flow.slider("Food").focus()
    for _ in range(30):
        page.keyboard.press("ArrowRight")
    expected[0].set(feed=expected[0].controls["feed"].start + 30 * 0.1)
    flow.shows(expected[0])
    expect(page.locator(".aqualib-panel")).to_have_count(2)
    for number in range(2):
        expect(opened.panel(number).locator("img")).to_have_count(1)
    expect(page.locator(".jp-RenderedImage")).to_have_count(0)
    pictures = [kinds for kinds in page.evaluate(OUTPUTS) if "image/png" in kinds]
    assert len(pictures) == 2


def test_slider_follows_the_mouse(flow, page, expected):
    before = flow.picture()
    slider = flow.slider("pH")
    slider.scroll_into_view_if_needed()
    edge = slider.bounding_box()
    height = edge["y"] + edge["height"] / 2
    # Start on the knob: pH 7.6 lies at 44 % of 6.5 to 9.
    page.mouse.move(edge["x"] + 0.44 * edge["width"], height)
    page.mouse.down()
    page.mouse.move(edge["x"] + 0.75 * edge["width"], height, steps=15)
    page.mouse.up()
    value = float(slider.input_value())
    assert 8.2 < value < 8.6
    expected[0].set(ph=value)
    flow.shows(expected[0])
    assert flow.picture() != before
    expect(flow.box("pH")).to_have_value(f"{value:g}")


def test_slider_follows_the_keyboard(flow, page, expected):
    slider = flow.slider("Food")
    slider.focus()
    cell = page.evaluate(ACTIVE_CELL)
    pictures = [flow.picture()]
    for key, value in {"ArrowRight": 3.6, "PageUp": None, "Home": 0.1, "End": 20}.items():
        page.keyboard.press(key)
        feed = float(slider.input_value())
        assert feed == value if value is not None else feed > 4
        expected[0].set(feed=feed)
        flow.shows(expected[0])
        pictures.append(flow.picture())
        expect(slider).to_be_focused()
    assert len(set(pictures)) == 5
    assert page.evaluate(ACTIVE_CELL) == cell


@pytest.mark.parametrize(("text", "value"), [("12", 12), ("4,5", 4.5), ("7250 mg a day", 7.25)])
def test_number_is_typed(flow, expected, text, value):
    flow.type("Food in g/day", text)
    expected[0].set(feed=value)
    flow.shows(expected[0])
    expect(flow.box("Food in g/day")).to_have_value(f"{value:g}")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("99", "Between 0.1 and 20 g/day, please; you typed 99."),
        ("-1", "Between 0.1 and 20 g/day, please; you typed -1."),
        ("a lot", "A number between 0.1 and 20 g/day, please; you typed “a lot”."),
    ],
)
def test_refused_entry_is_explained(flow, page, expected, text, words):
    cells = page.evaluate(CELLS)
    food = flow.box("Food in g/day")
    below = lambda: flow.image.bounding_box()["y"] - food.bounding_box()["y"]  # noqa: E731
    top = below()
    flow.type("Food in g/day", text)
    expect(flow.error).to_have_text(words)
    # It stands until it is mended, and meanwhile there is no verdict on the old number.
    expect(food).to_have_value(text)
    expect(food).to_have_attribute("aria-invalid", "true")
    expect(flow.panel.locator(".aqualib-answer")).to_have_text(f"Food: {NOT_USED}")
    # By the box, and nothing else moves.
    gap = flow.error.bounding_box()["y"] - food.bounding_box()["y"]
    assert 0 < gap < 60
    expect(food).to_have_accessible_description(words)
    assert below() == top
    # What else is set leaves it there.
    flow.slider("Protein in the food").press("ArrowRight")
    expect(flow.panel.locator(".aqualib-answer")).to_have_text(f"Food: {NOT_USED}")
    expect(food).to_have_value(text)
    flow.slider("Protein in the food").press("ArrowLeft")
    # Escape takes the entry back: the number of the picture stands in the box again.
    food.press("Escape")
    expect(food).to_have_value("3.5")
    flow.shows(expected[0])
    expect(flow.error).to_have_count(0)
    # The kernel goes on, and the words leave with the next good value too.
    flow.type("Food in g/day", text)
    expect(flow.error).to_have_text(words)
    flow.type("Food in g/day", "5")
    expected[0].set(feed=5)
    flow.shows(expected[0])
    expect(flow.error).to_have_count(0)
    assert page.evaluate(CELLS) == cells


def test_words_of_the_box_stay_in_the_box(flow, page):
    """Letters typed in a box are commands elsewhere in a notebook: a and b add cells."""
    flow.box("Food in g/day").focus()
    cells, cell = page.evaluate(CELLS), page.evaluate(ACTIVE_CELL)
    page.keyboard.type("abcdxmy")
    flow.slider("Food").focus()
    expect(flow.error).to_contain_text("A number between")
    assert (page.evaluate(CELLS), page.evaluate(ACTIVE_CELL)) == (cells, cell)


def test_ctrl_with_a_letter_is_the_notebooks_on_a_control_too(flow, page, expected):
    """Lesson 00 says: tick Large text, then close the list of files with Ctrl + B."""
    files = page.locator("#filebrowser")
    for control in (flow.large, flow.slider("Food"), flow.box("Food in g/day")):
        expect(files).to_be_visible()
        control.focus()
        page.keyboard.press("Control+b")
        expect(files).to_be_hidden()
        expect(control).to_be_focused()
        page.keyboard.press("Control+b")
    expect(files).to_be_visible()
    # The keys that move cells are kept off as before.
    cell = page.evaluate(ACTIVE_CELL)
    flow.slider("Food").press("ArrowDown")
    expected[0].set(feed=3.4)
    flow.shows(expected[0])
    assert page.evaluate(ACTIVE_CELL) == cell


@pytest.mark.parametrize("key", ["Escape", "Enter"])
def test_what_was_not_entered_gives_way_to_the_number_that_is_shown(flow, expected, key):
    """Escape takes an entry back, and an empty box is no entry."""
    box = flow.box("Food in g/day")
    box.click()
    box.press("Control+a")
    box.press_sequentially("9" if key == "Escape" else "")
    box.press("Delete" if key == "Enter" else "Shift")
    box.press(key)
    expect(box).to_have_value("3.5")
    expect(flow.error).to_have_count(0)
    flow.shows(expected[0])


SMALL = {"width": 1366, "height": 768}
PROJECTOR = {"width": 1920, "height": 1080}
BESIDE = """(panel) => panel.querySelector('.aqualib-controls').getBoundingClientRect().right
    <= panel.querySelector('.aqualib-result').getBoundingClientRect().left"""
BELOW = """(panel) => panel.querySelector('.aqualib-controls').getBoundingClientRect().bottom
    <= panel.querySelector('.aqualib-result').getBoundingClientRect().top"""
# The panel's head has left the window above, its picture has not.
STAYS = """(panel) => {
    const edge = panel.closest('.jp-WindowedPanel-outer').getBoundingClientRect().top;
    return panel.getBoundingClientRect().top < edge - 60
        && panel.querySelector('img').getBoundingClientRect().top > edge - 5;
}"""
DRAWN = """(image) => [image.naturalWidth, image.getBoundingClientRect().width]"""


@pytest.mark.parametrize("size", [SMALL, PROJECTOR], ids=["laptop", "projector"])
@pytest.mark.parametrize("large", [False, True], ids=["page", "large"])
def test_the_picture_fits_the_window_and_no_pixel_is_stretched(shown, page, expected, size, large):
    flow, _ = shown
    page.set_viewport_size(size)
    flow.large.set_checked(large)
    set_text_size("projector" if large else "page")
    flow.shows(expected[0])
    # The page asks for another picture when its room changes: let it come.
    fits = "([a, b]) => Math.abs(a - b) < 1"
    page.wait_for_function(
        f"(image) => ({fits})(({DRAWN})(image))", arg=flow.image.element_handle(), timeout=10_000
    )
    _, wide = flow.image.evaluate(DRAWN)
    assert wide > 1.2 * 720 or size is SMALL
    result = flow.panel.locator(".aqualib-result").bounding_box()
    window = page.locator(".jp-WindowedPanel-outer").first.bounding_box()
    assert result["height"] <= window["height"]
    # Slider and picture are in sight together, even beside the list of files.
    assert flow.panel.evaluate(BESIDE)


def test_the_picture_stays_in_sight_beside_open_settings(shown, page):
    flow, _ = shown
    page.set_viewport_size({"width": 1366, "height": 600})
    flow.fold.click()
    last = flow.slider("Time without a filter")
    last.scroll_into_view_if_needed()
    page.mouse.move(300, 300)
    page.mouse.wheel(0, 120)
    # The picture is drawn anew for the low window meanwhile.
    page.wait_for_function(STAYS, arg=flow.panel.element_handle())


@pytest.mark.parametrize(("units", "water"), [("us", "50 US gal"), ("imperial", "42 imp gal")])
def test_units_reach_every_panel(shown, expected, units, water):
    flow, safety = shown
    before = flow.sentence.text_content(), safety.picture()
    flow.units.select_option(units)
    set_units(units)
    for panel, same in zip(shown, expected, strict=True):
        panel.shows(same)
        expect(panel.units).to_have_value(units)
    # Round in the units shown.
    expect(flow.box("Temperature in °F")).to_have_value("76")
    expect(flow.panel.get_by_text("(24.4 °C)", exact=True)).to_be_visible()
    expect(flow.slider("Temperature")).to_have_attribute("aria-valuetext", "76 °F")
    expect(flow.box("Food in g/day")).to_have_value("3.5")
    flow.fold.click()
    number, unit = water.split(" ", 1)
    expect(flow.box(f"Water in the tank in {unit}")).to_have_value(number)
    flow.fold.click()
    assert safety.picture() != before[1]
    # A number is typed in the units shown.
    safety.fold.click()
    safety.type("Temperature in °F", "59")
    expected[1].set(temperature=15)
    safety.shows(expected[1])
    expect(safety.panel.get_by_text("(15 °C)", exact=True)).to_be_visible()
    safety.fold.click()


SWITCH_AND_MOVE = """(slider) => {
    const units = slider.closest('.aqualib-panel').querySelector('[aria-label=Units]');
    units.value = 'us';
    units.dispatchEvent(new Event('change', { bubbles: true }));
    slider.value = 150;
    slider.dispatchEvent(new Event('input', { bubbles: true }));
}"""


def test_a_move_just_after_a_change_of_units_keeps_its_unit(flow, expected):
    """The slider still stands on litres while Python changes the units."""
    flow.slider("Food").scroll_into_view_if_needed()
    flow.fold.click()
    flow.slider("Water in the tank").evaluate(SWITCH_AND_MOVE)
    set_units("us")
    expected[0].set(volume=150)
    flow.shows(expected[0])
    expect(flow.box("Water in the tank in US gal")).to_have_value("39.63")
    expect(flow.panel.get_by_text("(150 L)", exact=True)).to_be_visible()
    expect(flow.error).to_have_count(0)
    flow.fold.click()


def test_slider_stays_under_the_hand(flow, page):
    """In US units the metric value stands on a line of its own; it must not come and go."""
    flow.units.select_option("us")
    slider = flow.slider("Temperature")
    expect(slider).to_have_attribute("aria-valuetext", "76 °F")
    move = """(slider) => {
        const before = slider.getBoundingClientRect().top;
        slider.value = Number(slider.value) - 1;
        slider.dispatchEvent(new Event('input', { bubbles: true }));
        return slider.getBoundingClientRect().top - before;
    }"""
    assert slider.evaluate(move) == 0


def test_reset_returns_to_the_start(flow, page, expected):
    flow.slider("Food").press("End")
    flow.slider("pH").press("Home")
    expected[0].set(feed=20, ph=6.5)
    flow.shows(expected[0])
    flow.reset.press("Enter")
    expected[0].reset()
    flow.shows(expected[0])
    expect(flow.slider("Food")).to_have_value("3.5")
    expect(flow.reset).to_be_focused()


def test_large_text(flow, expected):
    size = "(element) => parseFloat(getComputedStyle(element).fontSize)"
    before = flow.sentence.evaluate(size)
    wide = flow.image.bounding_box()["width"]
    flow.large.press("Space")
    expect(flow.large).to_be_checked()
    expect(flow.panel).to_have_class(re.compile("aqualib-large"))
    assert flow.sentence.evaluate(size) > 1.3 * before
    assert flow.image.bounding_box()["width"] >= wide
    set_text_size("projector")
    flow.shows(expected[0])
    # What stands around the panel is read from the same distance.
    words = flow.panel.page.locator(".jp-RenderedMarkdown p").first
    assert words.evaluate(size) == 20


def test_large_text_reaches_every_panel(shown):
    flow, safety = shown
    flow.large.check()
    expect(flow.panel).to_have_class(re.compile("aqualib-large"))
    expect(safety.panel).to_have_class(re.compile("aqualib-large"))


def test_more_settings_unfold_from_the_keyboard(flow, page, expected):
    expect(flow.slider("Salinity")).to_have_count(0)
    for key in ("Enter", "Space"):
        flow.fold.press(key)
        expect(flow.slider("Salinity")).to_be_visible()
        flow.slider("Salinity").press("End")
        expected[0].set(salinity=40)
        flow.shows(expected[0])
        flow.slider("Salinity").press("Home")
        expected[0].set(salinity=0)
        flow.shows(expected[0])
        flow.fold.press(key)
        expect(flow.slider("Salinity")).to_have_count(0)


def heard(shown, title):
    """What a screen reader finds in a panel: [(role, name, {property: value})]."""
    # JupyterLab leaves out what is far from the window.
    shown.panel.scroll_into_view_if_needed()
    session = shown.panel.page.context.new_cdp_session(shown.panel.page)
    nodes = {n["nodeId"]: n for n in session.send("Accessibility.getFullAXTree")["nodes"]}
    session.detach()

    def text(node, key):
        return node.get(key, {}).get("value", "")

    def inside(node):
        for child in (nodes[i] for i in node["childIds"] if i in nodes):
            if not child["ignored"]:
                properties = {p["name"]: p["value"].get("value") for p in child["properties"]}
                yield text(child, "role"), text(child, "name"), properties
            yield from inside(child)

    (region,) = [
        n for n in nodes.values() if (text(n, "role"), text(n, "name")) == ("region", title)
    ]
    return list(inside(region))


@pytest.mark.parametrize("number", [0, 1])
def test_screen_reader_finds_names_and_values(shown, expected, number):
    panel = expected[number]
    if shown[number].fold.is_visible():
        shown[number].fold.click()
    parts = heard(shown[number], panel.title)
    if shown[number].fold.is_visible():
        shown[number].fold.click()
    sliders = {name: properties for role, name, properties in parts if role == "slider"}
    with_sliders = [c for c in panel.controls.values() if isinstance(c, Slider)]
    choices = [c.name for c in panel.controls.values() if isinstance(c, Choice)]
    assert list(sliders) == [control.name for control in with_sliders]
    for control in with_sliders:
        said = sliders[control.name]
        assert said["valuemin"] == pytest.approx(control.parameter.low)
        assert said["valuemax"] == pytest.approx(control.parameter.high)
        assert said["valuetext"].startswith(f"{control.start:g}")
    names = {role: [n for r, n, _ in parts if r == role] for role, _, _ in parts}
    assert names["image"] == [panel.sentence]
    assert names["combobox"] == [*choices, "Tank", "Units"]
    assert names["button"] == ["Reset"]
    assert names["checkbox"] == ["Large text"]
    assert all(name.endswith(", as a number") for name in names["textbox"])
    assert len(set(names["textbox"])) == len(with_sliders)
    # The sentence is read where it stands; by itself only the answer and progress are heard.
    live = [role for role, _, properties in parts if properties.get("live") == "polite"]
    assert live == ["status", "paragraph"]


LISTEN = """() => {
    window.said = [];
    for (const spoken of document.querySelectorAll('.aqualib-spoken')) {
        new MutationObserver(() => spoken.textContent && window.said.push(spoken.textContent))
            .observe(spoken, { childList: true });
    }
}"""


def test_the_answer_is_spoken_once_when_the_hand_rests(shown, page, expected):
    flow, safety = shown
    page.evaluate(LISTEN)
    flow.slider("Food").focus()
    for _ in range(8):
        page.keyboard.press("ArrowRight")
    expected[0].set(feed=4.3)
    answer = " ".join(expected[0].view.answer)
    page.wait_for_function("() => window.said.length > 0")
    # The other panel answers too, and keeps silent: the hand is not there.
    flow.units.select_option("us")
    expect(safety.units).to_have_value("us")
    page.wait_for_timeout(500)
    assert page.evaluate("said") == [answer]
    assert len(answer) < 80


def test_every_id_is_used_once(shown, page):
    everywhere = page.evaluate("() => [...document.querySelectorAll('[id]')].map((e) => e.id)")
    ours = page.evaluate(
        "() => [...document.querySelectorAll('.aqualib-panel [id]')].map((e) => e.id)"
    )
    assert len(ours) > 20
    assert [name for name in ours if everywhere.count(name) > 1] == []


def act(stop, page):
    """Do with the control that has the focus all that its keys are for; leave it at its end."""
    kind = stop.get_attribute("type") or stop.evaluate("(stop) => stop.localName")
    match kind:
        case "range":
            low, high = stop.get_attribute("min"), stop.get_attribute("max")
            for key, value in {"Home": float(low), "ArrowRight": None, "End": float(high)}.items():
                page.keyboard.press(key)
                now = float(stop.input_value())
                assert now == pytest.approx(value) if value is not None else now > float(low)
        case "text":
            before = stop.input_value()
            page.keyboard.press("Control+a")
            page.keyboard.type("none")
            page.keyboard.press("Enter")
            expect(stop).to_have_attribute("aria-invalid", "true")
            page.keyboard.type(before)
            page.keyboard.press("Control+a")
            page.keyboard.type(before)
            page.keyboard.press("Enter")
            expect(stop).not_to_have_attribute("aria-invalid", "true")
        case "select" if stop.get_attribute("aria-label") == "Units":
            for key, system in {"ArrowDown": "us", "ArrowUp": "metric"}.items():
                page.keyboard.press(key)
                expect(stop).to_have_value(system)
        case "checkbox":
            for ticked in (True, False):
                page.keyboard.press("Space")
                expect(stop).to_be_checked(checked=ticked)
        case "summary":
            for _ in range(3):
                page.keyboard.press("Enter")


def test_a_panel_is_worked_by_the_keyboard_alone(flow, page, expected):
    flow.box("Food in g/day").focus()
    page.keyboard.press("Shift+Tab")
    count = flow.panel.evaluate(STOPS)
    assert page.evaluate(AT) == -1, "Shift+Tab leaves the panel at its upper end"
    flow.box("Food in g/day").focus()
    missed, visited, cells = [], 0, page.evaluate(CELLS)
    while visited < count:
        assert page.evaluate(AT) == visited
        missed += page.evaluate(MISSED)
        act(page.locator(":focus"), page)
        count = flow.panel.evaluate(STOPS)
        assert page.evaluate(AT) == visited
        assert page.evaluate(CELL_OF_FOCUS) == page.evaluate(ACTIVE_CELL)
        visited += 1
        page.keyboard.press("Tab")
    assert page.evaluate(AT) == -1, "the last Tab leaves the panel"
    assert missed == []
    assert count > 12, "with the folded ones"
    expected[0].set(**{n: c.parameter.high for n, c in expected[0].controls.items()})
    flow.shows(expected[0])
    assert page.evaluate(CELLS) == cells
    flow.fold.press("Enter")


def test_axe_finds_nothing_grave(shown, page):
    for panel in shown:
        panel.fold.click()
        panel.type("Temperature in °C", "900")
        expect(panel.error).to_be_visible()
        assert faults(page, *OURS) == set()
        panel.fold.click()
        panel.reset.click()
    # That it looks at all: a picture without words.
    shown[0].image.evaluate("(image) => image.removeAttribute('alt')")
    (found,) = faults(page, *OURS)
    assert found.startswith("image-alt")
    shown[0].slider("Food").press("ArrowRight")


@pytest.fixture
def enlarged(page):
    """What is left of a small laptop's window at 200 %, with the list of files put away."""
    page.evaluate(FILES)
    page.set_viewport_size({"width": 683, "height": 384})
    yield page
    page.evaluate(FILES)
    expect(page.locator("#filebrowser")).to_be_visible()


@pytest.mark.parametrize("large", [False, True], ids=["page", "large"])
def test_slider_and_picture_are_in_sight_together_at_200_per_cent(shown, enlarged, large):
    window = enlarged.locator(".jp-WindowedPanel-outer").first.element_handle()
    shown[0].large.set_checked(large)
    for each in shown:
        expect(each.large).to_be_checked(checked=large)
        panel = each.panel.element_handle()
        sliders = each.panel.locator(".aqualib-controls > .aqualib-stack [type=range]")
        for slider in (sliders.first, sliders.last):
            places = [panel, slider.element_handle(), window]
            enlarged.wait_for_function(TOGETHER, arg=places, timeout=PATIENCE)
        assert each.panel.evaluate(OVERFLOW) == []


def test_a_page_that_is_asked_for_calm_and_for_its_own_colours(flow, page):
    page.emulate_media(reduced_motion="reduce", forced_colors="active")
    flow.slider("Food").focus()
    page.keyboard.press("ArrowRight")
    assert page.evaluate(MISSED) == []
    moving = "(panel) => panel.getAnimations({ subtree: true }).length"
    assert flow.panel.evaluate(moving) == 0
    flow.type("Food in g/day", "99")
    mark = "(box) => getComputedStyle(box).outlineStyle"
    expect(flow.error).to_be_visible()
    assert flow.box("Food in g/day").evaluate(mark) != "none"
    page.emulate_media(reduced_motion="null", forced_colors="null")


@pytest.fixture
def narrow(page, request):
    """A narrow window, with JupyterLab's list of files open or put away."""
    page.set_viewport_size(NARROW)
    if request.param == "files put away":
        page.evaluate(FILES)
        expect(page.locator("#filebrowser")).to_be_hidden()
    yield
    if request.param == "files put away":
        page.evaluate(FILES)
        expect(page.locator("#filebrowser")).to_be_visible()


@pytest.mark.parametrize("narrow", ["files in sight", "files put away"], indirect=True)
@pytest.mark.parametrize("large", [False, True], ids=["page", "large"])
def test_narrow_window(shown, narrow, large):
    """Where there is little room the controls stand above the picture, and nothing sticks out."""
    flow, safety = shown
    flow.units.select_option("us")
    flow.large.set_checked(large)
    flow.fold.click()
    expect(flow.box("Temperature in °F")).to_be_visible()
    for panel in (flow.panel, safety.panel):
        assert panel.evaluate(BELOW)
        assert panel.evaluate(OVERFLOW) == []
    flow.fold.click()


SLOW = """
import time
from aqualib.lesson.panels.tank_weight import compute, first_slider_panel

def compute_slowly(**values):
    time.sleep(1.2)
    return compute(**values)

slow = first_slider_panel()
slow.compute = compute_slowly
slow
"""
FAULTY = """
def compute_or_fail(**values):
    if values["depth"] > 0.55:
        raise RuntimeError("the pump came off its shaft")
    return compute(**values)

faulty = first_slider_panel()
faulty.compute = compute_or_fail
faulty
"""


def test_slow_and_faulty_computations(lesson):
    lesson.write("slow-and-faulty.ipynb", SLOW, FAULTY)
    lesson.open("slow-and-faulty.ipynb")
    slow, faulty = Shown(lesson.panel(0)), Shown(lesson.panel(1))

    expect(slow.progress).to_have_text("")
    slider = slow.slider("Depth of the water")
    lesson.take_focus(slider)
    slider.press("ArrowRight")
    expect(slow.progress).to_contain_text("Working")
    expect(slow.progress.locator("progress")).to_be_visible()
    expect(slow.image).to_have_attribute("aria-busy", "true")
    expect(slow.sentence).to_contain_text("207 L")
    expect(slow.progress).to_have_text("")
    expect(slow.image).to_have_attribute("aria-busy", "false")

    lesson.page.evaluate(LISTEN_FOR_ERRORS)
    faulty.slider("Depth of the water").press("End")
    expect(faulty.error).to_have_text("the pump came off its shaft")
    lesson.page.wait_for_function("() => window.raised.length > 0")
    assert lesson.page.evaluate("raised") == ["the pump came off its shaft"]
    faulty.slider("Depth of the water").press("Home")
    expect(faulty.sentence).to_contain_text("44.1 L")
    expect(faulty.error).to_have_count(0)


def test_lesson_read_as_it_was_saved(lesson, expected):
    """Nothing is run: the still pictures stand where the panels will be."""
    lesson.look(NITROGEN_CYCLE)
    pictures = lesson.page.locator(".jp-RenderedImage img")
    expect(pictures).to_have_count(2, timeout=20_000)  # cells far below are drawn when it rests
    for number in range(2):
        pictures.nth(number).scroll_into_view_if_needed()
        expect(pictures.nth(number)).to_be_visible()
        assert pictures.nth(number).evaluate("(image) => image.decode().then(() => image.width)")
    expect(lesson.page.get_by_text(re.compile("model not found", re.IGNORECASE))).to_have_count(0)
    expect(lesson.page.locator(".aqualib-panel")).to_have_count(0)


@pytest.mark.parametrize(
    ("name", "panels"), [("00-start-here.ipynb", 1), ("01-know-your-water.ipynb", 2)]
)
def test_other_lessons_run(lesson, name, panels):
    lesson.open(name)
    expect(lesson.page.locator(".aqualib-panel")).to_have_count(panels)
    for number in range(panels):
        panel = Shown(lesson.panel(number))
        expect(panel.error).to_have_count(0)
        slider = panel.panel.get_by_role("slider").first
        before = panel.sentence.text_content(), panel.picture()
        lesson.take_focus(slider)
        slider.press("ArrowRight")
        expect(panel.sentence).not_to_have_text(before[0])
        # The picture comes a moment after the words.
        for _ in range(50):
            if panel.picture() != before[1]:
                break
            lesson.page.wait_for_timeout(100)
        assert panel.picture() != before[1]
        expect(panel.image).to_have_attribute("alt", panel.sentence.text_content())


FIRST_SLIDER = """
from aqualib.lesson.panels.tank_weight import first_slider_panel

tank = first_slider_panel()
tank
"""
# What ipywidgets would still draw: two for each panel that a page can reach.
COUNT = """
from ipywidgets.widgets import widget

print(len(widget._instances), "widgets")
"""

LEAVE = """() => {
    window.dispatchEvent(new Event('pagehide'));
    return new Promise((done) => setTimeout(done, 500));
}"""


def test_a_second_window_leaves_the_first_its_panel(lesson, window, jupyter):
    """All cells run in a second window on the same lesson, with the same kernel."""
    lesson.write("two-windows.ipynb", FIRST_SLIDER, COUNT)
    lesson.open("two-windows.ipynb")
    second = Lesson(window.new_page(), jupyter)
    second.open("two-windows.ipynb")
    for opened in (lesson, second):
        panel = Shown(opened.panel())
        slider = panel.slider("Depth of the water")
        opened.take_focus(slider)
        slider.press("Home")
        expect(panel.sentence).to_contain_text("44.1 L")
    expect(Shown(lesson.panel()).error).to_have_count(0)
    assert second.errors == []
    # What was in a window goes when the window is closed and the cells run again.
    # On a busy machine a page may be gone before it has said so: here it says so first.
    second.page.evaluate(LEAVE)
    second.page.close()
    for _ in range(3):
        lesson.run_again()
        expect(lesson.panel()).to_be_visible()
    expect(lesson.page.locator(".jp-OutputArea-output pre")).to_have_text("2 widgets\n")


def test_the_advice_where_python_has_stopped_helps(lesson):
    lesson.write("stopped.ipynb", FIRST_SLIDER)
    lesson.open("stopped.ipynb")
    panel = Shown(lesson.panel())
    lesson.choose("Kernel", "Shut Down Kernel")
    lesson.page.wait_for_function("() => !jupyterapp.shell.currentWidget.sessionContext.session")
    panel.slider("Depth of the water").press("Home")
    expect(panel.progress).to_have_text(
        "Python has stopped. To go on, use the menu: Kernel, Restart Kernel and Run All Cells."
    )
    expect(panel.progress.locator("progress")).to_have_count(0)
    lesson.choose("Kernel", "Restart Kernel and Run All Cells…")
    expect(panel.progress).to_have_text("")
    slider = panel.slider("Depth of the water")
    lesson.take_focus(slider)
    slider.press("Home")
    expect(panel.sentence).to_contain_text("44.1 L")
