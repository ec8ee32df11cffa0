// The page side of guesses and exercises: native inputs with labels, and what Python says of them.

const LARGEST = 2e6; // bytes of a file

function text(element, words) {
  if (element.textContent !== words) element.textContent = words;
}

// A line that is told and cannot be answered.
function tellLine() {
  const element = make("p", { class: "aqualib-said" });
  return { element, show: (item) => text(element, item.said) };
}

// A file of the learner's own: its bytes go to Python, and nowhere else.
function fileBox(item, send) {
  const id = newId();
  const box = make("input", {
    id, type: "file", accept: ".csv,.txt,text/csv", "aria-describedby": `${id}-about`,
  });
  const about = make("small", { id: `${id}-about` }, item.prompt);
  const said = make("p", { class: "aqualib-said", role: "status" });
  const label = make("label", { for: id }, make("span", { class: "aqualib-name" }, item.label));
  box.addEventListener("change", async () => {
    const [file] = box.files;
    if (!file) return;
    if (file.size > LARGEST) { text(said, "This file is too large for a log."); return; }
    text(said, "");
    const reader = new FileReader();
    reader.addEventListener("load", () => {
      send({ do: "file", name: item.name, value: [file.name, reader.result.split(",")[1] ?? ""] });
    });
    reader.readAsDataURL(file);
  });
  return {
    element: make("li", {}, make("div", { class: "aqualib-entry" }, label, box, about), said),
    show() {},
    stuck(words) { text(said, words); },
  };
}

function question(item, send) {
  const id = newId();
  const words = item.kind === "words";
  const typed = item.kind !== "model"; // a model is written in the cell, not in a box
  const box = words
    ? make("textarea", { id, rows: 4 })
    : item.kind === "choice"
      ? make("select", { id })
      : make("input", { id, type: "text", autocomplete: "off" });
  if (item.kind === "choice") {
    for (const word of ["", ...item.choices]) box.append(make("option", { value: word }, word));
  }
  const name = make("span", { class: "aqualib-name" }, item.label);
  const level = make("span", { class: "aqualib-level" });
  const prompt = make("span", { class: "aqualib-prompt" });
  const unit = make("span", { id: `${id}-unit` });
  const button = make("button", { type: "button" }, item.button);
  // In a list of buttons each must say whose it is.
  const ofThis = (words) => `${words}, ${item.label}`;
  if (item.button) button.setAttribute("aria-label", ofThis(item.button));
  const hint = make("button", { type: "button" });
  const said = make("p", { class: "aqualib-said", role: "status", id: `${id}-said` });
  const hints = make("ul", { "aria-live": "polite" });
  const rubric = make("div");
  const asked = [name, " ", level, make("br"), prompt];
  const label = typed ? make("label", { for: id }, ...asked) : make("p", {}, ...asked);
  const inputs = typed ? (item.button ? [box, unit, button] : [box, unit]) : [];
  const entry = make("div", { class: "aqualib-entry" }, label, ...inputs, hint);
  const element = make("li", {}, entry, said, hints, rubric);
  box.setAttribute("aria-describedby", `${id}-unit ${id}-said`);
  let typing = false;
  const answer = () => {
    typing = false;
    send({ do: "answer", name: item.name, value: box.value });
  };
  box.addEventListener("input", () => { typing = item.kind !== "choice"; });
  box.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && !words) { event.preventDefault(); answer(); }
  });
  button.addEventListener("click", answer);
  if (!item.button) box.addEventListener("change", answer);
  hint.addEventListener("click", () => send({ do: "hint", name: item.name }));

  function showRubric(now) {
    rubric.hidden = now.rubric.length === 0;
    if (rubric.childElementCount === 0 && now.rubric.length) {
      rubric.append(make("p", { class: "aqualib-name" }, "What a good answer says. Tick what yours says:"));
      now.rubric.forEach((line, place) => {
        const tick = make("input", { type: "checkbox" });
        tick.addEventListener("change", () => {
          send({ do: "mark", name: item.name, value: [place, tick.checked] });
        });
        rubric.append(make("p", {}, make("label", {}, tick, ` ${line}`)));
      });
    }
    rubric.querySelectorAll("input").forEach((tick, place) => { tick.checked = now.marked[place]; });
  }
  return {
    element,
    show(now) {
      text(level, now.level);
      text(prompt, now.prompt);
      text(unit, now.unit);
      if (!typing) box.value = now.given;
      text(said, now.said);
      said.dataset.state = now.state;
      // A number that was read is a valid entry, be it right or wrong.
      if (now.state === "odd") box.setAttribute("aria-invalid", "true");
      else box.removeAttribute("aria-invalid");
      hint.hidden = now.more_hints === 0;
      const more = now.hints.length ? "Another hint" : "Hint";
      text(hint, more);
      hint.setAttribute("aria-label", ofThis(more));
      while (hints.childElementCount < now.hints.length) {
        hints.append(make("li", {}, now.hints[hints.childElementCount]));
      }
      showRubric(now);
    },
    stuck(words_) { text(said, words_); },
  };
}

const MADE = { told: tellLine, file: fileBox };

function render({ model, el }) {
  const list = make("ol", { role: "list" });
  const told = make("p", { class: "aqualib-said", role: "status" });
  const root = make("section", { class: "aqualib-questions" }, list);
  root.setAttribute("aria-label", model.get("name"));
  el.append(root);
  const shown = new Map();
  let turn = Math.floor(Math.random() * 1e8);
  let timer = null;

  function send(message) {
    turn += 1;
    const help = (words) => shown.get(message.name)?.stuck?.(`${words} ${AGAIN}`);
    clearTimeout(timer);
    timer = setTimeout(help, STUCK, "Python has not answered. If this stays,");
    try {
      model.send({ ...message, turn });
    } catch {
      clearTimeout(timer);
      help("Python has stopped. To go on,");
    }
  }
  for (const words of model.get("actions")) {
    const button = make("button", { type: "button" }, words);
    button.addEventListener("click", () => send({ do: words, name: "" }));
    root.append(make("p", {}, button));
  }
  const link = make("a", {});
  root.append(told, make("p", {}, link));

  function showLink() {
    const [words, file, address] = model.get("link");
    link.hidden = !address;
    if (!address) return;
    text(link, words);
    link.download = file;
    link.href = address;
  }

  const groups = new Map();
  function groupOf(heading) {
    if (!heading) return list;
    if (!groups.has(heading)) {
      const inner = make("ol", { role: "list" });
      list.append(make("li", {}, make("details", {}, make("summary", {}, heading), inner)));
      groups.set(heading, inner);
    }
    return groups.get(heading);
  }

  function show() {
    for (const item of model.get("items")) {
      if (!shown.has(item.name)) {
        const made = (MADE[item.kind] ?? question)(item, send);
        shown.set(item.name, made);
        const place = groupOf(item.group);
        place.append(item.kind === "told" ? make("li", {}, made.element) : made.element);
      }
      shown.get(item.name).show(item);
    }
    text(told, model.get("told"));
  }
  const answered = () => clearTimeout(timer);
  const beforeTheNotebook = (event) => { if (root.contains(event.target)) letThrough(event); };
  window.addEventListener("keydown", beforeTheNotebook, true);
  model.on("change:items", show);
  model.on("change:told", show);
  model.on("change:link", showLink);
  model.on("change:done", answered);
  show();
  showLink();
  readOn(root);
  return () => {
    clearTimeout(timer);
    window.removeEventListener("keydown", beforeTheNotebook, true);
    model.off("change:items", show);
    model.off("change:told", show);
    model.off("change:link", showLink);
    model.off("change:done", answered);
  };
}

export default { render };
