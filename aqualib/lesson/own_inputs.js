// Native inputs in a notebook's page: what panels and questions share. It is put before the code of
// each, since a widget's code is one file.

const STUCK = 8000; // ms without an answer before help is offered
// Where Python has stopped, Run All Cells only starts it anew; this entry runs the cells too.
// A page without JupyterLab's menus says for itself what helps there.
const AGAIN = document.body?.dataset.aqualibAgain
  || "use the menu: Kernel, Restart Kernel and Run All Cells.";

// The page loads this file once for each view, so a plain counter would give two inputs one id.
let count = 0;
const page = Math.random().toString(36).slice(2);
const newId = () => `aqualib-${page}-${(count += 1)}`;

// The notebook's own keys (arrows move between cells) must not act on a control that has the
// focus. The notebook looks for this mark on the focused element itself, not only around it.
const OWN_KEYS = new Set(["input", "textarea", "select", "button", "summary"]);
const MARK = "data-lm-suppress-shortcuts";

// Ctrl with a letter is the notebook's everywhere (save, close the list of files), except for
// the letters that edit a box: all, copy, paste, cut, again, back.
function letThrough(event) {
  const { target, key } = event;
  const theNotebooks = (event.ctrlKey || event.metaKey) && /^[bd-uw]$/i.test(key);
  if (!theNotebooks || !target.hasAttribute(MARK)) return;
  target.removeAttribute(MARK);
  setTimeout(() => target.setAttribute(MARK, "true"));
}

function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  if (OWN_KEYS.has(tag)) element.setAttribute(MARK, "true");
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

