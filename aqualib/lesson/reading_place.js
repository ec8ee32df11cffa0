// Where the reader's eyes are, in JupyterLab. Run All Cells leaves the reader at the foot of the
// page; and a link into a page that is not open yet leads to its top, for JupyterLab looks for the
// word before it is drawn. Both are mended here, and the first move of the reader ends it for good.

const HANDS = ["wheel", "keydown", "pointerdown", "touchstart"];
const PAGE = ".jp-NotebookPanel";
const SCROLLS = ".jp-WindowedPanel-outer";
const LOOK = 100; // ms between two looks
const PATIENCE = 150; // looks until what is waited for must be there
const QUIET = 15; // looks without change after which a page is drawn
const EMPTY = 2; // code cells that a run of all may leave out: JupyterLab does not run empty ones

// Looks again and again until `look` says that it is done, or the reader moves.
function untilTheHandMoves(look) {
  const stop = () => {
    clearInterval(timer);
    for (const hand of HANDS) window.removeEventListener(hand, stop, true);
  };
  const timer = setInterval(() => { if (look()) stop(); }, LOOK);
  for (const hand of HANDS) {
    window.addEventListener(hand, stop, { capture: true, passive: true });
  }
}

// A word or heading by the name that a link has for it, as JupyterLab writes it down.
const named = (page, name) => name && page.querySelector(`[data-jupyter-id="${CSS.escape(name)}"]`);

// How many cells run together: while they do, the toolbar says "4/15". Where it has no room to say
// so, the cells that wait do.
function cellsInRun(page) {
  const said = page.querySelector(".jp-Notebook-ExecutionIndicator")?.textContent ?? "";
  const waiting = [...page.querySelectorAll(".jp-InputArea-prompt")]
    .filter((prompt) => prompt.textContent.includes("*")).length;
  return Number(said.match(/\d+\/(\d+)/)?.[1] ?? waiting);
}

// Whether all cells were run, and the reader is still where that led: at the last one, or where a
// short page has no foot to go to. Their last move, if it is known, was in a menu, not in the page.
function leftAtTheFoot(page, scroller) {
  if (document.documentElement.dataset.aqualibHand === "in the page") return false;
  const cells = [...scroller.querySelectorAll(".jp-Cell")];
  const code = cells.filter((cell) => cell.classList.contains("jp-CodeCell")).length;
  const last = cells.at(-1);
  const inSight = last.getBoundingClientRect().top < scroller.getBoundingClientRect().bottom;
  return code > 1 && cellsInRun(page) >= Math.max(2, code - EMPTY)
    && cells[0].dataset.windowedListIndex === "0" && last.classList.contains("jp-mod-active")
    && (inSight || scroller.scrollTop === 0);
}

// Whether the focus is nobody's, or at a cell where JupyterLab left it: in one of our boxes it is
// the reader's.
function focusIsFree(scroller) {
  const focused = document.activeElement;
  if (focused === document.body) return true;
  return scroller.contains(focused) && !focused.closest(`[class*="aqualib-"]`);
}

// Puts a place at the upper edge, or the page's top. The cell there gets a focus that is free, and
// becomes the active one: keyboard and screen reader go on from there too.
function goTo(scroller, place) {
  if (place) place.scrollIntoView();
  else scroller.scrollTop = 0;
  const cell = place ? place.closest(".jp-Cell") : scroller.querySelector(".jp-Cell");
  if (focusIsFree(scroller)) cell?.focus({ preventScroll: true });
}

// What is drawn above a place pushes it down: it is held until the page is quiet.
function hold(page, scroller, name) {
  let high = scroller.scrollHeight;
  let quiet = 0;
  untilTheHandMoves(() => {
    quiet = high === scroller.scrollHeight ? quiet + 1 : 0;
    high = scroller.scrollHeight;
    if (quiet === 0) goTo(scroller, named(page, name));
    return quiet > QUIET && cellsInRun(page) === 0;
  });
}

// JupyterLab opens the page by itself; its word is found as soon as it is drawn.
function follow(link) {
  const name = decodeURIComponent(link.hash.slice(1));
  let looks = 0;
  untilTheHandMoves(() => {
    const page = [...document.querySelectorAll(PAGE)].find(
      (open) => !open.contains(link) && open.checkVisibility() && named(open, name),
    );
    if (page) arrive(page, name);
    return page || (looks += 1) > PATIENCE;
  });
}

// The name is kept until the reader reads on from there: Run All Cells comes back to it.
function arrive(page, name) {
  const scroller = page.querySelector(SCROLLS);
  scroller.aqualibPlace = name;
  const forget = () => { delete scroller.aqualibPlace; };
  for (const hand of HANDS) {
    scroller.addEventListener(hand, forget, { capture: true, passive: true, once: true });
  }
  goTo(scroller, named(page, name));
  hold(page, scroller, name);
}

// Once for all views, for each has a copy of this code.
function watchTheHand() {
  const { dataset } = document.documentElement;
  if ("aqualibHand" in dataset) return;
  dataset.aqualibHand = "";
  for (const hand of HANDS) {
    window.addEventListener(hand, ({ target }) => {
      dataset.aqualibHand = target.closest?.(SCROLLS) ? "in the page" : "in a menu";
    }, { capture: true, passive: true });
  }
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.(`${SCROLLS} a[href]`);
    const elsewhere = event.ctrlKey || event.metaKey || event.shiftKey;
    if (!link || elsewhere || link.getAttribute("href").startsWith("#")) return;
    if (link.hash.length > 1 && link.pathname.endsWith(".ipynb")) follow(link);
  }, true);
}

// Each view asks this when it is drawn; the first of a run leads back.
function readOn(root, tries = PATIENCE) {
  const scroller = root.closest(SCROLLS);
  const page = scroller?.closest(PAGE);
  if (!page) { // it is put into the page a moment after it is made
    if (tries && document.querySelector(SCROLLS)) setTimeout(readOn, LOOK, root, tries - 1);
    return;
  }
  watchTheHand();
  if (scroller.aqualibLed || !leftAtTheFoot(page, scroller)) return;
  scroller.aqualibLed = true;
  const name = scroller.aqualibPlace;
  goTo(scroller, named(page, name));
  if (name) hold(page, scroller, name);
  delete scroller.aqualibPlace;
  const led = setInterval(() => {
    if (cellsInRun(page) > 0) return;
    clearInterval(led);
    delete scroller.aqualibLed;
  }, LOOK);
}

