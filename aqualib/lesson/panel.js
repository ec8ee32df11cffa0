// The page side of a panel. It shows what Python sends and tells Python what the hand does.
// Native inputs carry labels, so that the keyboard and a screen reader work as everywhere else.

const SLOW = 500; // ms without an answer before progress is shown
const REST = 200; // ms of rest after which the slower part, such as a band, is asked for
const HEARD = 4000; // ms after which what was spoken is taken away again

// A screen reader tells with an input what is wrong with it: `where` holds the words.
function tie(input, where, about = "") {
  if (where) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
  const told = [about, where].filter(Boolean).join(" ");
  if (told) input.setAttribute("aria-describedby", told);
  else input.removeAttribute("aria-describedby");
}

const wish = ({ do: what, name }) => `${what} ${name ?? ""}`;

// One question at a time goes to Python. While it computes, only the newest wish of each kind
// waits, so that the picture follows the hand and never lags behind a queue.
function conversation(model, onWaiting) {
  const wishes = new Map();
  let turn = Math.floor(Math.random() * 1e8);
  let waiting = null;
  let asked = null; // the wish that is with Python now
  let lastSet = null; // the control that the hand has moved last
  let timers = [];

  function next() {
    if (waiting !== null || wishes.size === 0) return;
    const [key, message] = wishes.entries().next().value;
    wishes.delete(key);
    turn += 1;
    try {
      model.send({ ...message, turn });
    } catch {
      wishes.clear();
      onWaiting("stopped");
      return;
    }
    asked = key;
    waiting = turn;
    timers = [setTimeout(onWaiting, SLOW, "slow"), setTimeout(onWaiting, STUCK, "stuck")];
  }
  return {
    ask(message) {
      if (message.do === "set") lastSet = message.name;
      wishes.set(wish(message), message);
      next();
    },
    lastSet: () => lastSet,
    rests: () => waiting === null && wishes.size === 0,
    // True until Python has answered: what the hand has set must not be set back meanwhile.
    wants(message) {
      return wishes.has(wish(message)) || asked === wish(message);
    },
    answered() {
      if (model.get("done") !== waiting) return;
      timers.forEach(clearTimeout);
      waiting = null;
      asked = null;
      onWaiting("done");
      next();
    },
  };
}

function sliderControl(spec, ask, wants) {
  const id = newId();
  const range = make("input", {
    type: "range", id, min: spec.low, max: spec.high, step: spec.step,
  });
  tie(range, "", `${id}-about`);
  const unit = spec.unit ? ` in ${spec.unit}` : "";
  const box = make("input", {
    type: "text", inputmode: "decimal", size: 6, autocomplete: "off",
    "aria-label": `${spec.label}${unit}, as a number`,
  });
  const metric = make("span", { class: "aqualib-metric" });
  const refusal = make("p", { class: "aqualib-refusal", role: "alert", id: `${id}-refusal` });
  refusal.hidden = true;
  const element = make("div", { class: "aqualib-control" },
    make("label", { for: id }, spec.label),
    make("span", { class: "aqualib-number" }, box, make("span", {}, spec.unit), metric),
    refusal,
    range,
    make("small", { id: `${id}-about` }, spec.about),
  );
  const text = (value) => String(Number(value.toFixed(Math.max(spec.digits, 2))));
  const say = () => range.setAttribute("aria-valuetext", `${box.value} ${spec.unit}`.trim());
  // After a change of units the page may be a step behind Python: a number says what it is in.
  const set = (value) => ask({ do: "set", name: spec.name, value, units: spec.units });
  let typing = false;
  let known = null; // what Python has last said
  let unread = false; // an entry that Python could not use stands until it is mended
  range.addEventListener("input", () => {
    typing = false;
    box.value = text(range.valueAsNumber);
    // Not yet known; the line keeps its place, or the slider would jump under the hand.
    if (metric.textContent) metric.textContent = "\u00a0";
    say();
    set(range.valueAsNumber);
  });
  box.addEventListener("input", () => { typing = true; });
  function enter() {
    if (!typing) return;
    typing = false;
    if (box.value.trim() === "") { putBack(); return; }
    const value = Number(box.value.trim().replace(",", "."));
    // Python reads what has a unit; 1,250 is two numbers, and it asks which.
    set(Number.isFinite(value) && !/^\s*\d+,\d{3}\s*$/.test(box.value) ? value : box.value);
  }
  // Nothing was entered: the number the picture shows stands in the box again.
  function putBack() {
    typing = false;
    if (!known) return;
    box.value = text(known.value);
    if (unread) set(known.value);
  }
  box.addEventListener("change", enter);
  // Not every browser counts the Enter key outside a form as a change.
  box.addEventListener("keydown", (event) => {
    if (event.key === "Enter") enter();
    if (event.key === "Escape") putBack();
  });
  return {
    element,
    refuse(entry) {
      const words = entry?.words ?? "";
      unread = Boolean(entry);
      const mine = typing || wants({ do: "set", name: spec.name });
      if (entry && !mine && !box.value.startsWith(entry.typed)) box.value = entry.typed;
      if (refusal.textContent !== words) refusal.textContent = words;
      refusal.hidden = !words;
      tie(box, words && refusal.id);
    },
    blame: (where) => tie(range, where, `${id}-about`),
    told: () => `${box.value} ${spec.unit}`.trim(),
    show(reading) {
      known = reading;
      if (typing || unread || wants({ do: "set", name: spec.name })) return;
      range.value = reading.value;
      box.value = text(reading.value);
      metric.textContent = reading.metric && `(${reading.metric})`;
      say();
    },
  };
}

function choiceControl(spec, ask, wants) {
  const id = newId();
  const select = make("select", { id });
  for (const [value, words] of spec.words) select.append(make("option", { value }, words));
  select.addEventListener("change", () => {
    ask({ do: "set", name: spec.name, value: select.value });
  });
  return {
    element: make("div", { class: "aqualib-control" },
      make("label", { for: id }, spec.label), select),
    blame: (where) => tie(select, where),
    told: () => select.selectedOptions[0]?.textContent ?? "",
    show(reading) {
      if (!wants({ do: "set", name: spec.name })) select.value = reading.value;
    },
  };
}

function tickControl(spec, ask, wants) {
  const box = make("input", { type: "checkbox" });
  box.addEventListener("change", () => {
    ask({ do: "set", name: spec.name, value: box.checked });
  });
  return {
    element: make("div", { class: "aqualib-control" },
      make("label", { class: "aqualib-tick" }, box, spec.label)),
    blame: (where) => tie(box, where),
    told: () => (box.checked ? "yes" : "no"),
    show(reading) {
      if (!wants({ do: "set", name: spec.name })) box.checked = reading.value;
    },
  };
}

const KINDS = { slider: sliderControl, choice: choiceControl, tick: tickControl };
const NOTEBOOK = ".jp-Notebook";
// On a page of its own the notebook is the body, and the window scrolls.
const SCROLLER = ".jp-WindowedPanel-outer, div.jp-Notebook";
// How much wider than its plain width a picture may grow, with large text and without; the least
// width a low window leaves it; and the pixels above and below a panel's picture and words.
const MOST_LARGE = 1.8;
const MOST = 1.25;
const LEAST = 420;
const AIR = 24;
// An enlarged page leaves a low window (panel.css has it too): there only the answer stands above
// the picture's lower edge, and what is read below it is scrolled to.
const LOW = "(max-height: 480px)";
const LEAST_LOW = 220;
const AIR_LOW = 10;
const UNIT_NAMES = { metric: "Metric", us: "US", imperial: "Imperial" };
const TANK_NAMES = { example: "The example", mine: "My tank" };

function render({ model, el }) {
  const heading = make("h3", { class: "aqualib-title" }, model.get("title"));
  const inSight = make("div", { class: "aqualib-stack" });
  const rest = make("div", { class: "aqualib-stack" });
  const folded = make("details", {}, make("summary", {}, "More settings"), rest);
  const units = make("select", { "aria-label": "Units" });
  for (const [value, name] of Object.entries(UNIT_NAMES)) {
    units.append(make("option", { value }, name));
  }
  const tank = make("select", { "aria-label": "Tank" });
  for (const [value, name] of Object.entries(TANK_NAMES)) {
    tank.append(make("option", { value }, name));
  }
  const note = make("small", {});
  const large = make("input", { type: "checkbox" });
  const reset = make("button", { type: "button" }, "Reset");
  const settings = make("div", { class: "aqualib-settings" },
    tank, units, reset, make("label", { class: "aqualib-tick" }, large, "Large text"), note);
  const error = make("p", { class: "aqualib-error", role: "alert", id: newId() });
  const answer = make("p", { class: "aqualib-answer" });
  const image = make("img", {});
  const plain = { wide: model.get("width"), high: model.get("height") };
  const sentence = make("figcaption");
  const spoken = make("p", { class: "aqualib-spoken", "aria-live": "polite" });
  const values = make("p", { class: "aqualib-values" });
  const progress = make("p", { class: "aqualib-progress", role: "status" });
  const picture = make("div", { class: "aqualib-picture" }, image, progress);
  const result = make("div", { class: "aqualib-result" }, answer, error,
    make("figure", {}, picture, values, sentence), spoken);
  const root = make("section", {
    class: "aqualib-panel", "aria-label": model.get("title"),
  },
  make("div", { class: "aqualib-columns" },
    make("div", { class: "aqualib-controls" }, heading, inSight, folded, settings),
    result));
  el.append(root);

  let controls = new Map();
  let url = null;

  const talk = conversation(model, (state) => {
    const words = {
      slow: "Working…",
      stuck: `Still no answer. If this stays, ${AGAIN}`,
      stopped: `Python has stopped. To go on, ${AGAIN}`,
      done: "",
    };
    const busy = state === "slow" || state === "stuck";
    if (progress.textContent !== words[state]) {
      progress.replaceChildren(words[state]);
      if (busy) progress.append(make("progress", { "aria-label": "working" }));
    }
    image.setAttribute("aria-busy", String(busy));
  });

  function buildControls() {
    const focused = document.activeElement;
    const before = controls;
    inSight.replaceChildren();
    rest.replaceChildren();
    controls = new Map();
    model.get("controls").forEach((spec, place) => {
      // A control that is as it was stays, with the focus and with what the hand has just set.
      const is = JSON.stringify(spec);
      const same = before.get(spec.name);
      const control = same?.is === is
        ? same : { ...KINDS[spec.kind](spec, talk.ask, talk.wants), is };
      (place < model.get("in_sight") ? inSight : rest).append(control.element);
      controls.set(spec.name, control);
    });
    folded.hidden = controls.size <= model.get("in_sight");
    if (focused !== document.activeElement && root.contains(focused)) focused.focus();
  }

  function showPicture() {
    const bytes = model.get("png");
    const fresh = URL.createObjectURL(new Blob([bytes], { type: "image/png" }));
    const stale = url;
    url = fresh;
    image.src = fresh;
    if (stale) setTimeout(() => URL.revokeObjectURL(stale), 1000);
  }

  function showRest() {
    image.alt = model.get("sentence");
    sentence.textContent = model.get("sentence");
    const [what, number] = model.get("answer");
    answer.replaceChildren(make("span", {}, `${what} `), make("strong", {}, number ?? ""));
    error.textContent = model.get("error");
    error.hidden = !model.get("error");
    note.textContent = model.get("note");
    if (!talk.wants({ do: "tank" })) tank.value = model.get("tank");
    if (!talk.wants({ do: "units" })) units.value = model.get("units");
    if (!talk.wants({ do: "large" })) large.checked = model.get("large");
    root.classList.toggle("aqualib-large", model.get("large"));
    // The text around the panel follows: it is read from the same distance.
    root.closest(NOTEBOOK)?.classList.toggle("aqualib-large-page", model.get("large"));
    const readings = model.get("readings");
    const refused = model.get("refused");
    controls.forEach((control, name) => {
      control.refuse?.(refused[name]);
      control.show(readings[name]);
      control.blame(model.get("error") && talk.lastSet() === name ? error.id : "");
    });
    // On paper the values stand in place of the controls.
    values.textContent = model.get("controls")
      .map(({ name, label }) => `${label}: ${controls.get(name).told()}`).join(" · ");
    fit();
    speakAtRest();
  }

  // The picture is as wide as its column and lower than the window, and Python draws it so large:
  // nothing is stretched, and sliders and picture are in sight together.
  const watcher = new ResizeObserver(fit);
  let fitted = "";
  let scroller = null;
  function fit() {
    const column = Math.floor(result.getBoundingClientRect().width);
    if (!column) return;
    // It is laid out anew some time after the window: its own height tells when.
    if (!scroller) {
      scroller = root.closest(SCROLLER);
      if (scroller) watcher.observe(scroller);
    }
    const window_ = scroller?.clientHeight || window.innerHeight;
    const most = plain.wide * (model.get("large") ? MOST_LARGE : MOST);
    const ratio = window.devicePixelRatio;
    const low = window.matchMedia(LOW).matches;
    const above = picture.getBoundingClientRect().top - result.getBoundingClientRect().top;
    const place = `${column} ${window_} ${most} ${ratio} ${low && above}`;
    if (place === fitted) return;
    fitted = place;
    const words = low ? above + AIR_LOW : result.offsetHeight - picture.offsetHeight + AIR;
    const room = ((window_ - Math.max(words, 0)) * plain.wide) / plain.high;
    const wide = Math.floor(Math.min(column, most, Math.max(room, low ? LEAST_LOW : LEAST)));
    image.style.width = `${wide}px`;
    image.style.height = `${(wide * plain.high) / plain.wide}px`;
    talk.ask({ do: "fit", value: wide, ratio });
  }

  // What a screen reader says by itself: the short answer, once, when the hand rests. The other
  // panels of a lesson, which follow a change of units, keep silent.
  let heard = model.get("answer").join(" ");
  let speaking = null;
  const news = () => answer.textContent !== heard;
  function speak() {
    // While more is to come, this is asked again with the next answer.
    if (!news() || !talk.rests() || model.get("rough")) return;
    heard = answer.textContent;
    if (root.contains(document.activeElement)) spoken.textContent = heard;
    // Gone when it has been heard, or it would be found twice.
    speaking = setTimeout(() => spoken.replaceChildren(), HEARD);
  }
  function speakAtRest() {
    if (!news()) return;
    clearTimeout(speaking);
    speaking = setTimeout(speak, REST);
  }

  let atRest = null;
  function refineAtRest() {
    clearTimeout(atRest);
    if (model.get("rough")) atRest = setTimeout(talk.ask, REST, { do: "refine" });
  }

  tank.addEventListener("change", () => talk.ask({ do: "tank", value: tank.value }));
  units.addEventListener("change", () => talk.ask({ do: "units", value: units.value }));
  large.addEventListener("change", () => talk.ask({ do: "large", value: large.checked }));
  reset.addEventListener("click", () => talk.ask({ do: "reset" }));

  // Python keeps a panel while a page shows it. When Python has stopped there is no one to tell.
  const view = newId();
  function tell(what) {
    try { model.send({ do: what, name: view }); } catch { /* see above */ }
  }
  const leave = () => tell("gone");
  window.addEventListener("pagehide", leave);
  const beforeTheNotebook = (event) => { if (root.contains(event.target)) letThrough(event); };
  window.addEventListener("keydown", beforeTheNotebook, true);

  tell("here");
  buildControls();
  showPicture();
  showRest();
  readOn(root);
  const listeners = [
    ["change:controls", buildControls],
    ["change:png", showPicture],
    ["change", () => { talk.answered(); showRest(); refineAtRest(); }],
  ];
  listeners.forEach(([name, listener]) => model.on(name, listener));
  watcher.observe(result);
  window.addEventListener("resize", fit);
  return () => {
    leave();
    watcher.disconnect();
    window.removeEventListener("resize", fit);
    window.removeEventListener("pagehide", leave);
    window.removeEventListener("keydown", beforeTheNotebook, true);
    listeners.forEach(([name, listener]) => model.off(name, listener));
    if (url) URL.revokeObjectURL(url);
  };
}

export default { render };
