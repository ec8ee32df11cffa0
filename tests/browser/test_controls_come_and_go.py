"""A choice that wants other controls: the page builds them anew, and the hand loses nothing.

The page's side of a panel runs in Chromium with a stand-in for Python: no JupyterLab, no kernel.
"""

import json

import pytest

from aqualib.lesson.on_page import HERE
from aqualib.lesson.panels.what_is_wrong import symptoms_panel
from aqualib.lesson.shared_code import page_code

STAND_IN = """
const told = JSON.parse(document.getElementById("told").textContent);
const { default: panel } = await import(
  URL.createObjectURL(new Blob([told.code], { type: "text/javascript" })));
const data = { ...told.before, png: new Uint8Array() };
const listeners = {};
window.sent = [];
const model = {
  get: (name) => data[name],
  send: (message) => window.sent.push(message),
  on: (name, listener) => (listeners[name] ??= []).push(listener),
  off: () => {},
};
window.answer = (news) => {
  Object.assign(data, news, { done: window.sent.at(-1).turn });
  const named = "controls" in news ? ["change:controls", "change"] : ["change"];
  named.forEach((name) => (listeners[name] ?? []).forEach((listener) => listener()));
};
panel.render({ model, el: document.getElementById("here") });
window.ready = true;
"""


def state_of(panel):
    """What Python tells the page, but for the picture."""
    names = [name for name in panel.view.trait_names(sync=True) if not name.startswith("_")]
    state = {name: getattr(panel.view, name) for name in names}
    return {name: value for name, value in state.items() if is_plain(value)}


def is_plain(value):
    return value is None or isinstance(value, str | int | bool | list | dict)


@pytest.fixture
def page(chromium):
    panel = symptoms_panel()
    before = state_of(panel)
    panel.set(symptom="power cut")
    after = state_of(panel)
    panel.close()
    told = {"code": page_code(HERE / "panel.js"), "before": before}
    page = chromium.new_page()
    # A closing tag within the text would end the script.
    text = json.dumps(told).replace("</", "<\\/")
    page.set_content(
        f'<div id="here"></div><script type="application/json" id="told">{text}</script>'
        f'<script type="module">{STAND_IN}</script>'
    )
    page.wait_for_function("window.ready")
    page.after = {name: after[name] for name in ("controls", "readings", "answer", "sentence")}
    yield page
    page.close()


def labels(page):
    return page.locator(".aqualib-controls .aqualib-control > label").all_inner_texts()


def test_the_choice_in_the_hand_keeps_focus_and_value_while_others_come_and_go(page):
    assert labels(page)[:3] == ["What I see", "Nitrite, as N", "Alkalinity, as CaCO₃"]
    choice = page.locator(".aqualib-controls select").first
    choice.focus()
    choice.select_option("power cut")
    # The answer to something older comes first: what the hand has just set must not fall back.
    page.evaluate("(news) => answer(news)", page.after)
    focused = page.evaluate("[document.activeElement.tagName, document.activeElement.value]")
    assert focused == ["SELECT", "power cut"]
    assert labels(page)[:3] == ["What I see", "Hours for which it stood", "Temperature"]
    page.evaluate("answer({})")
    assert choice.input_value() == "power cut"
