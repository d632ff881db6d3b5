"use strict";

// The browser's Back goes back on the bench. Home is one entry of the history, and all
// that lies beyond it another one.

let away = false;
let guarded = false; // something would be lost, or a practical interrupted
let own = 0;         // steps back that the bench has made itself

// place is told where the user is on the bench.
function place(isAway, isGuarded) {
  [away, guarded] = [isAway, isGuarded];
  if (away && !history.state?.away) history.pushState({away: true}, "");
  if (!away && history.state?.away) stepBack();
}

function stepBack() {
  own++;
  history.back();
}

window.addEventListener("popstate", () => {
  if (own > 0) {
    own--;
    place(away, guarded); // it may have changed meanwhile
  } else if (history.state?.away && !away) {
    stepBack(); // the browser's Forward leads nowhere
  } else {
    conoid.back?.();
  }
});
window.addEventListener("beforeunload", (event) => {
  if (guarded) event.preventDefault();
});
