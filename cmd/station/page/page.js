"use strict";

// What the page and the bench tell each other. The bench adds status(), which
// gives what is on it as JSON.
const conoid = window.conoid = {
  id: null,    // of a case from the library
  file: null,  // a case file: {name, text}
  shown,       // the bench is on the screen
  save,        // a file goes to the user
  say,         // something to be read out
};

// word is what the page says in the language of the browser, with what is to be
// filled in.
const language = navigator.language.split("-")[0] in words ? navigator.language.split("-")[0] : "en";
function word(id, values = {}) {
  return words[language][id].replace(/\{(\w+)\}/g, (at, name) => values[name] ?? at);
}

document.documentElement.lang = language;
document.title = word("page.title");
for (const part of document.querySelectorAll("[data-word]")) part.textContent = word(part.dataset.word);

const front = document.getElementById("front");
const state = document.getElementById("state");
const said = document.getElementById("said");

// shown takes the front page away; it stays there for screen readers.
function shown() {
  front.className = "unseen";
  state.textContent = word("page.ready");
  const canvas = document.querySelector("canvas");
  canvas.setAttribute("role", "application");
  canvas.setAttribute("aria-label", word("page.bench"));
  canvas.setAttribute("aria-describedby", "terminal");
  performance.mark("shown");
}

// stop brings the front page back, to say how things stand and how to go on.
function stop(text) {
  // The bench has ended and must not be told of anything any more.
  for (const event of ["blur", "pointerleave", "lostpointercapture", "resize"]) {
    window.addEventListener(event, (e) => e.stopImmediatePropagation(), {capture: true});
  }
  document.querySelector("canvas")?.remove();
  front.className = "";
  state.setAttribute("role", "alert");
  state.textContent = text;
  document.getElementById("again").hidden = false;
  document.getElementById("again").href = location.href;
}

function save(name, bytes) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([bytes]));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

function say(text) {
  if (said.textContent !== text) said.textContent = text;
}

// Problem is something that the user is told in these very words.
class Problem extends Error {}

async function get(path) {
  let response;
  try {
    response = await fetch(path);
  } catch {
    throw new Problem(word("page.silent"));
  }
  if (!response.ok) throw new Problem(word("page.unloaded", {path, why: `${response.status} ${response.statusText}`}));
  return response;
}

// counted passes a response on and shows how much of it has come.
function counted(response) {
  const size = Number(response.headers.get("Conoid-Size"));
  let come = 0;
  const count = new TransformStream({
    transform(part, out) {
      come += part.length;
      if (size > 0) state.textContent = word("page.come", {percent: Math.min(100, Math.floor(100 * come / size))});
      out.enqueue(part);
    },
  });
  return new Response(response.body.pipeThrough(count), {headers: {"Content-Type": "application/wasm"}});
}

// alone holds the bench for this page until it is closed. Two pages that write
// one log would break it.
function alone() {
  return new Promise((resolve, reject) => {
    if (!navigator.locks) return resolve();
    const patience = AbortSignal.timeout(2000); // a page that is being left lets go soon
    navigator.locks.request("conoid", {signal: patience}, () => {
      resolve();
      return new Promise(() => {});
    }).catch(() => reject(new Problem(word("page.elsewhere"))));
  });
}

async function start() {
  if (typeof WebAssembly !== "object" || typeof Go !== "function") {
    throw new Problem(word("page.no-wasm"));
  }
  await alone();
  const named = new URLSearchParams(location.search).get("case");
  history.replaceState(null, "", location.pathname); // a reload goes on with what is open by then
  if (named === "case.toml") {
    const response = await get("case.toml");
    conoid.file = {name: response.headers.get("Conoid-Name") || named, text: await response.text()};
  } else {
    conoid.id = named;
  }
  const go = new Go();
  let code = 0;
  const exit = go.exit;
  go.exit = (c) => { code = c; exit(c); };
  const {instance} = await WebAssembly.instantiateStreaming(counted(await get("bench.wasm")), go.importObject);
  state.textContent = word("page.setting-up");
  await go.run(instance);
  stop(word(code === 0 ? "page.closed" : "page.mistake"));
}

start().catch((problem) => {
  if (!(problem instanceof Problem)) console.error(problem);
  stop(problem instanceof Problem ? problem.message : word("page.not-started"));
});
