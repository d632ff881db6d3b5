"use strict";
// The board is asked for every few seconds, and what has changed is changed in it: who goes
// through it by keys, or listens, stays where they are. When nothing is heard of the service
// the board stays, says since when, and goes on by itself.

const every = 5000, patience = 10000; // ms
const address = document.currentScript.dataset.board; // a refused form's page has that of the form
const main = document.querySelector("main"), said = document.getElementById("said");
let lost = false, stays = 12; // how often what was said is still there after it is brought up to date

if (location.pathname !== address) history.replaceState(null, "", address); // loaded anew it sends no form again

// What tells an element from those beside it of the same kind.
const key = e => e.tagName + (e.id || e.getAttribute("action") || e.getAttribute("href") || (e.tagName === "TR" ? "" : e.className));
const alike = (a, b) => a.nodeType === b.nodeType && (a.nodeType !== Node.ELEMENT_NODE || key(a) === key(b));

// become makes a node what another one is, and keeps of it what is alike.
function become(node, next) {
  if (node.nodeType !== Node.ELEMENT_NODE) {
    if (node.data !== next.data) node.data = next.data;
    return;
  }
  for (const {name} of [...node.attributes]) {
    if (!next.hasAttribute(name)) node.removeAttribute(name);
  }
  for (const {name, value} of next.attributes) {
    if (node.getAttribute(name) !== value) node.setAttribute(name, value);
  }
  let at = node.firstChild;
  for (const n of [...next.childNodes]) {
    let same = at;
    while (same && n.nodeType === Node.ELEMENT_NODE && !alike(same, n)) same = same.nextSibling;
    if (!same || !alike(same, n)) {
      node.insertBefore(document.importNode(n, true), at);
      continue;
    }
    while (at !== same) at = gone(at);
    become(same, n);
    at = same.nextSibling;
  }
  while (at) at = gone(at);
}

// gone takes a node away, and is the one after it.
function gone(node) {
  const after = node.nextSibling;
  node.remove();
  return after;
}

// renew brings the board up to date. Whose button is gone is left at the row, or the heading.
function renew(page) {
  const at = document.activeElement ?? document.body, row = at.closest("tr"), next = page.querySelector("main");
  if (said && !next.querySelector("#said") && stays-- > 0) next.prepend(document.importNode(said, true));
  become(main, next);
  if (main.contains(at) || at === document.body || document.activeElement === at) return;
  const near = row?.isConnected && row.querySelector("a, button") || main.querySelector("h1");
  if (near.tagName === "H1") near.tabIndex = -1;
  near.focus({preventScroll: true});
}

function loses(now) {
  lost = now;
  const says = document.getElementById("lost"); // there is none once the practical is over
  if (says) says.hidden = !now;
}

async function look() {
  const stop = new AbortController(), timer = setTimeout(() => stop.abort(), patience);
  try {
    const reply = await fetch(address, {cache: "no-store", signal: stop.signal});
    if (reply.status === 403 || reply.status === 404) return location.assign(address); // it says why
    if (reply.status >= 500) throw new Error(reply.status);
    if (reply.ok) renew(new DOMParser().parseFromString(await reply.text(), "text/html"));
    loses(false);
  } catch {
    loses(true);
  } finally {
    clearTimeout(timer);
  }
  if (document.getElementById("lost")) setTimeout(look, every);
}

// What is pressed while nothing is heard would lead to a page of the browser, and no further.
for (const what of ["click", "submit"]) {
  document.addEventListener(what, e => { if (lost && (what === "submit" || e.target.closest("a"))) e.preventDefault(); });
}
setTimeout(look, every);
