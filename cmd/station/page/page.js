"use strict";

// What the page and the bench tell each other. The bench adds status(), which
// gives what is on it as JSON, and aim() and write(), for what was done in the
// mirror.
const conoid = window.conoid = {
  id: null,    // of a case from the library
  file: null,  // a case file: {name, text}
  shown,       // the bench is on the screen
  save,        // a file goes to the user
  say,         // something to be read out
  mirror,      // what is on the bench as elements
  journal,     // of what is stored and must not be lost
  rest: frames.rest,  // nothing changes for so many milliseconds, if nobody does anything
  wake: frames.wake,  // something did
  newer: false, // a new build of the bench waits
  edit: editor() && (() => location.assign(editor())), // the case that the bench opens with
  service: Boolean(build.service), // the patients of a practical are where the page comes from
  renew,       // takes it
  place,       // where the user is; the bench adds back()
  speak,       // the language that the bench speaks
};

// editor is where the case is written that the bench opens with. Only whoever was given the
// whole address knows: others on this machine can ask for the page too.
function editor() {
  const path = new URLSearchParams(location.hash.slice(1)).get("edit");
  return /^\/[A-Z2-7]+\/$/.test(path) ? path : null;
}

// word is what the page says, with what is to be filled in: in the language of the
// browser, until the bench tells which one the user chose.
let language = navigator.language.split("-")[0] in words ? navigator.language.split("-")[0] : "en";
function word(id, values = {}) {
  return words[language][id].replace(/\{(\w+)\}/g, (at, name) => values[name] ?? at);
}

nameInstalled(language);
speak(language);

// speak puts the page into a language, and says so: a voice that takes German for
// English reads it as nobody understands it.
function speak(chosen) {
  language = chosen;
  document.documentElement.lang = language;
  document.title = word("page.title");
  for (const part of document.querySelectorAll("[data-word]")) part.textContent = word(part.dataset.word);
  document.getElementById("bench")?.setAttribute("aria-label", word("page.bench"));
}

const front = document.getElementById("front");
const state = document.getElementById("state");
const said = document.getElementById("said");

// shown takes the front page away; it stays there for screen readers.
function shown() {
  front.className = "unseen";
  front.setAttribute("role", "contentinfo"); // what matters now is the bench
  state.dataset.word = "page.ready";
  state.textContent = word("page.ready");
  performance.mark("shown");
  keepForOffline();
}

// stop brings the front page back, to say how things stand and how to go on.
function stop(text) {
  // The bench has ended and must not be told of anything any more.
  for (const event of ["blur", "pointerleave", "lostpointercapture", "resize"]) {
    window.addEventListener(event, (e) => e.stopImmediatePropagation(), {capture: true});
  }
  document.querySelector("canvas")?.remove();
  document.getElementById("bench")?.remove();
  front.className = "";
  front.removeAttribute("role");
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

// say has something read out, the same words again too.
function say(text) {
  if (text === "") return said.replaceChildren(); // what it told of is left
  const line = document.createElement("p");
  line.textContent = text;
  said.replaceChildren(line);
}

// Problem is something that the user is told in these very words.
class Problem extends Error {}

async function get(path) {
  let response;
  try {
    response = await fetch(path);
  } catch {
    throw new Problem(build.worker ? word("page.offline") : word("page.silent"));
  }
  if (!response.ok) throw new Problem(word("page.unloaded", {path, why: `${response.status} ${response.statusText}`}));
  return response;
}

// unpacked is the bench as it was before it was packed.
function unpacked(response) {
  return new Response(response.body.pipeThrough(new DecompressionStream("gzip")), {headers: {"Content-Type": "application/wasm"}});
}

// count shows how much of the bench has come.
async function count(copy) {
  const size = build.bench.size;
  let come = 0;
  await copy.body.pipeTo(new WritableStream({
    write(part) {
      come += part.length;
      state.textContent = word("page.come", {percent: Math.min(100, Math.floor(100 * come / size))});
    },
  }));
}

// given is the case to be opened: the one in the address, or the one that came with the
// bench. A reload goes on with what is open by then.
async function given() {
  const reloaded = isReload();
  const asked = new URLSearchParams(location.search).get("case");
  if (asked && asked !== "case.toml") {
    conoid.id = asked;
  } else if (build.case?.id && (asked || !reloaded)) {
    conoid.id = build.case.id;
  } else if (build.case?.file && (asked || !reloaded)) {
    conoid.file = {name: build.case.name, text: await (await get(build.case.file)).text()};
  }
  history.replaceState(history.state, "", location.pathname + location.hash);
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
    }).catch((why) => {
      // Where the browser allows no storage it may allow no locks: nothing is written then.
      if (why.name === "SecurityError") return resolve();
      reject(new Problem(word("page.elsewhere")));
    });
  });
}

function isReload() {
  return performance.getEntriesByType("navigation")[0]?.type === "reload";
}

// program is the bench as it comes over the line.
async function program() {
  const path = await pick(build.bench);
  const response = await get(path);
  return path === build.bench.packed ? unpacked(response) : response;
}

async function start() {
  if (typeof WebAssembly !== "object" || typeof Go !== "function") {
    throw new Problem(word("page.no-wasm"));
  }
  const coming = program(); // while the rest is seen to
  coming.catch(() => {});   // it is waited for below
  await alone();
  if (await renewed()) return;
  await journal.begin();
  await given();
  const go = new Go();
  go.env.GOGC = "off"; // up to the first picture, which leaves little behind: see shown in browser_js.go
  let code = 0;
  const exit = go.exit;
  go.exit = (c) => { code = c; exit(c); };
  const bench = await coming;
  // What comes is counted on a copy: of a response that is just as it came the browser keeps, for the
  // next visit, what it made of the program.
  count(bench.clone()).catch(() => {}); // who waits for the bench itself is told
  const {instance} = await WebAssembly.instantiateStreaming(bench, go.importObject);
  state.textContent = word("page.setting-up");
  await go.run(instance);
  stop(word(code === 0 ? "page.closed" : "page.mistake"));
}

start().catch((problem) => {
  if (!(problem instanceof Problem)) console.error(problem);
  stop(problem instanceof Problem ? problem.message : word("page.not-started"));
});
