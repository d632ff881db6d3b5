"use strict";

// A browser is asked for frames only while there is something to draw: the bench says after
// each how long the screen stays as it is, and whatever the user does ends that at once. So a
// bench that nobody touches costs nothing.
const frames = (() => {
  const now = window.requestAnimationFrame.bind(window);
  const ask = (next) => now((time) => { taken++; next(time); });
  let taken = 0;    // frames so far
  let until = 0;    // when the rest ends, as performance.now has it
  let held = null;  // who waits for a frame meanwhile
  let timer = 0;

  function wake() {
    until = 0;
    clearTimeout(timer);
    if (held === null) return;
    const next = held;
    held = null;
    ask(next);
  }

  // Both the loader and the bench take a frame by this name.
  window.requestAnimationFrame = (next) => {
    const left = until - performance.now();
    if (left <= 0 || held !== null) return ask(next);
    held = next;
    timer = setTimeout(wake, Math.min(left, 0x7fffffff));
    return 0;
  };

  function rest(milliseconds) {
    until = performance.now() + milliseconds;
  }

  for (const event of ["pointerdown", "pointermove", "pointerup", "pointercancel", "pointerout", "wheel", "keydown", "keyup", "input", "click",
    "compositionend", "focusin", "focus", "blur", "drop", "resize", "popstate", "pageshow"]) {
    window.addEventListener(event, wake, {capture: true, passive: true});
  }
  document.addEventListener("visibilitychange", wake);
  return {rest, wake, taken: () => taken};
})();
