// What the page does by itself: says how far it is, and goes to the word that a link names.
(() => {
  window.voila_process = (step, steps) => {
    const text = document.getElementById("loading_text");
    if (text) text.textContent = `Working the lesson out: ${step} of ${steps}`;
  };

  // The browser looks for the word before it is drawn, and pictures push it down afterwards.
  function follow() {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (!location.hash || !target) return;
    const go = () => target.scrollIntoView();
    const growing = new ResizeObserver(go);
    const stop = () => growing.disconnect();
    growing.observe(document.querySelector("main"));
    for (const hand of ["wheel", "touchstart", "pointerdown", "keydown"]) {
      window.addEventListener(hand, stop, { once: true, passive: true });
    }
    setTimeout(stop, 10000);
    go();
  }

  // What is wider than the window scrolls by itself, and the keyboard must get there to do it.
  function reachWhatScrolls() {
    for (const part of document.querySelectorAll("main table, mjx-container[display]")) {
      if (part.scrollWidth > part.clientWidth) part.tabIndex = 0;
    }
  }
  const show = window.voila_finish;
  window.voila_finish = window.display_cells = () => {
    show();
    follow();
    new ResizeObserver(reachWhatScrolls).observe(document.querySelector("main"));
  };

  // What is folded stands open on paper, and is folded again after it.
  let opened = [];
  window.addEventListener("beforeprint", () => {
    opened = [...document.querySelectorAll("details:not([open])")];
    for (const part of opened) part.open = true;
  });
  window.addEventListener("afterprint", () => { for (const part of opened) part.open = false; });

  // Python ends with the page that is left; one that the browser kept and brings back needs it anew.
  window.addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
})();
