"use strict";
// The page has the file as it was opened (base), the values in it (opened), and those
// that the fields have now (values). What differs is what the server is asked about.

const words = JSON.parse(document.getElementById("words").textContent);
const by = id => document.getElementById(id);
const fields = new Map(); // by path
for (const box of document.querySelectorAll(".field")) {
  fields.set(box.dataset.path, {box, input: box.querySelector("input, select, textarea"), note: box.querySelector(".note")});
}
let base = "", there = true, opened = {}, values = {};
let past = [], future = [], typing = null; // changes: [{path, from, to}, ...]

const say = (id, named = {}) => words[id].replace(/\{(\w+)\}/g, (all, name) => named[name] ?? all);
const of = path => values[path] ?? "";

// ---- Values and fields

function changes() {
  const out = {};
  for (const path of fields.keys()) {
    if (of(path) !== (opened[path] ?? "")) out[path] = of(path);
  }
  return out;
}

function show(path) {
  const f = fields.get(path), value = of(path);
  if (f.input.tagName === "SELECT" && value && ![...f.input.options].some(o => o.value === value)) {
    f.input.add(new Option(value, value)); // a word that is none of those allowed
  }
  if (f.input.value !== value) f.input.value = value;
  f.box.classList.toggle("changed", value !== (opened[path] ?? ""));
  for (const b of f.box.querySelectorAll(".levels button")) {
    b.setAttribute("aria-pressed", String(value !== "" && Number(b.dataset.value) === Number(value)));
  }
}

// A text in the language that the file itself is in needs no field, unless there is one.
function tongues() {
  const own = of("language") || "en";
  for (const [path, f] of fields) {
    if (f.box.dataset.in) f.box.hidden = f.box.dataset.in === own && of(path) === "" && f.input !== document.activeElement;
  }
}

function put(path, value) {
  if (value === "") delete values[path]; else values[path] = value;
  show(path);
  tongues();
}

function take(state) {
  base = state.base; there = state.there; opened = state.values; values = {...state.values};
  for (const path of fields.keys()) show(path);
  tongues();
  for (const path of Object.keys(values)) {
    const group = fields.get(path)?.box.closest("details");
    if (group && /aberrations|manner|accommodation|marking/.test(group.id)) group.open = true;
  }
}

// ---- Doing, undoing

function change(path, value) {
  if (value === of(path)) return;
  const step = [{path, from: of(path), to: value}];
  for (const other of excluded(path, value)) step.push({path: other, from: of(other), to: ""});
  if (typing && typing.path === path && step.length === 1 && past.length) {
    past[past.length - 1][0].to = value;
  } else {
    past.push(step);
  }
  typing = {path};
  future = [];
  apply(step, "to");
}

// What cannot stand beside a value that is given: a source of aberrations, and coefficients.
function excluded(path, value) {
  if (value === "") return [];
  const source = fields.get(path).box.dataset.beside;
  if (source) return of(source) === "" ? [] : [source];
  return [...fields].filter(([p, f]) => f.box.dataset.beside === path && of(p) !== "").map(([p]) => p);
}

function apply(step, way) {
  for (const c of step) put(c.path, c[way]);
  told();
  look();
}

function undo() {
  if (!past.length) return;
  const step = past.pop();
  future.push(step); typing = null;
  apply([...step].reverse(), "from");
  find(step[0].path);
}

function redo() {
  if (!future.length) return;
  const step = future.pop();
  past.push(step); typing = null;
  apply(step, "to");
  find(step[0].path);
}

function find(path) {
  const f = fields.get(path);
  if (!f) return;
  f.box.closest("details").open = true;
  f.input.focus({preventScroll: true});
  f.box.scrollIntoView({block: "nearest"});
}

// ---- What is saved

const unsaved = () => Object.keys(changes()).length > 0 || !there;

function told(text, failed) {
  const any = Object.keys(changes()).length > 0;
  by("undo").disabled = !past.length;
  by("redo").disabled = !future.length;
  by("save").disabled = !unsaved();
  by("state").textContent = text || (any ? say("unsaved") : there ? say("saved") : say("new"));
  by("state").className = failed ? "failed" : unsaved() ? "unsaved" : "";
}

function send(what, force, signal) {
  const body = JSON.stringify({base, there, values: changes(), force});
  return fetch(what, {method: "POST", headers: {"Content-Type": "application/json"}, body, signal});
}

let mistakes = 0, saving = false;

async function save(force) {
  if (!unsaved() || saving) return;
  saving = true;
  told(say("saving"));
  try {
    await saveNow(force);
  } catch {
    told(say("lost"), true);
  }
  saving = false;
}
async function saveNow(force) {
  const asked = changes();
  const answer = await send("save", force);
  const said = await answer.json();
  if (answer.status === 409) {
    told();
    by("changed").showModal();
    return;
  }
  if (!answer.ok) {
    told(said.text, true);
    return;
  }
  saved(said, asked);
}

// What was typed while the file was being written stays a change.
function saved(state, asked) {
  const since = {};
  for (const path of fields.keys()) {
    if (of(path) !== (asked[path] ?? opened[path] ?? "")) since[path] = of(path);
  }
  take(state);
  for (const [path, value] of Object.entries(since)) put(path, value);
  typing = null;
  told(unsaved() || !mistakes ? "" : say("saved-with"));
}

// ---- What comes of the case

let waiting = 0, current = null;

function look() {
  clearTimeout(waiting);
  current?.abort();
  by("progress").textContent = say("waiting");
  for (const id of ["pictures", "account", "warnings"]) by(id).classList.add("old");
  waiting = setTimeout(lookNow, 400);
}

async function lookNow() {
  const mine = current = new AbortController();
  typing = null; // what is typed after a pause is taken back by itself
  by("progress").textContent = say("looking");
  try {
    const answer = await send("look", false, mine.signal);
    if (!answer.ok) {
      by("progress").textContent = (await answer.json()).text;
      return;
    }
    for await (const event of lines(answer.body)) {
      if (mine === current) heard(event);
    }
  } catch {
    if (!mine.signal.aborted) told(say("lost"), true);
  }
}

async function* lines(body) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const {done, value} = await reader.read();
    if (done) return;
    const parts = (rest + value).split("\n");
    rest = parts.pop();
    for (const p of parts) yield JSON.parse(p);
  }
}

function heard(event) {
  switch (event.kind) {
    case "read": return noted(event.notes ?? [], event.usual ?? {});
    case "progress": by("progress").textContent = event.text; return;
    case "picture": return pictured(event.picture);
    case "account": return accounted(event.lines ?? [], event.warnings ?? []);
    case "failed": by("progress").textContent = event.text; return;
    case "taken": by("progress").textContent = say("other-page"); return;
    case "done": by("progress").textContent = mistakes ? say("until-mended") : say("ready"); return;
  }
}

function element(tag, text, parent) {
  const e = document.createElement(tag);
  e.textContent = text;
  parent?.append(e);
  return e;
}

function noted(notes, usual) {
  mistakes = notes.length;
  for (const [path, f] of fields) {
    const own = notes.filter(n => n.path === path).map(n => n.text).join(" ");
    if (f.note.textContent !== own) f.note.textContent = own;
    f.box.classList.toggle("wrong", own !== "");
    f.input.setAttribute("aria-invalid", String(own !== ""));
    if (path in usual) f.input.placeholder = usual[path];
  }
  for (const group of document.querySelectorAll("details")) {
    const n = group.querySelectorAll(".wrong").length, count = group.querySelector(".count");
    count.hidden = !n;
    count.textContent = "▲ " + n;
  }
  const list = by("mistakes");
  list.replaceChildren();
  for (const n of notes) list.append(mistake(n));
  if (!notes.length) element("li", say("no-mistakes"), list);
}

function mistake(n) {
  const li = document.createElement("li");
  li.className = "mistake";
  const field = fields.get(n.path);
  if (!field) {
    li.textContent = n.text;
    return li;
  }
  const link = element("a", n.text, li);
  link.href = "#" + field.input.id;
  link.addEventListener("click", event => { event.preventDefault(); find(n.path); });
  return li;
}

function pictured(p) {
  const box = by("pictures");
  box.classList.remove("old");
  const figure = document.createElement("figure");
  const img = document.createElement("img");
  img.src = p.source;
  img.alt = say("seen", {title: p.title});
  const caption = document.createElement("figcaption");
  element("b", p.title + ". ", caption);
  caption.append(p.says);
  figure.append(img, caption);
  const old = box.children[p.place];
  if (old) old.replaceWith(figure); else box.append(figure);
}

function accounted(all, warnings) {
  const list = by("account"), mind = by("warnings");
  list.classList.remove("old"); mind.classList.remove("old");
  list.replaceChildren(); mind.replaceChildren();
  for (const l of all) {
    element("dt", l.name, list);
    element("dd", l.text, list);
  }
  for (const w of warnings.length ? warnings : [say("no-warnings")]) element("li", w, mind);
}

// ---- Hands

for (const [path, f] of fields) {
  const single = f.box.dataset.kind === "line" && f.input.tagName === "TEXTAREA"; // one line, which is shown in two
  f.input.addEventListener("input", () => {
    if (single && f.input.value.includes("\n")) f.input.value = f.input.value.replace(/\s*\n\s*/g, " ");
    change(path, f.input.value);
  });
  f.input.addEventListener("keydown", event => { if (single && event.key === "Enter") event.preventDefault(); });
  f.input.addEventListener("blur", () => { typing = null; });
  for (const b of f.box.querySelectorAll(".levels button")) {
    b.addEventListener("click", () => { typing = null; change(path, b.dataset.value); });
  }
}
by("undo").addEventListener("click", undo);
by("redo").addEventListener("click", redo);
by("save").addEventListener("click", () => save(false));
by("mine").addEventListener("click", () => { by("changed").close(); save(true); });
by("neither").addEventListener("click", () => { by("changed").close(); told(); });
by("theirs").addEventListener("click", () => { by("changed").close(); open(); });

addEventListener("keydown", event => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || by("changed").open) return;
  const key = event.key.toLowerCase();
  const does = key === "s" ? () => save(false) : key === "y" || key === "z" && event.shiftKey ? redo : key === "z" ? undo : null;
  if (!does) return;
  event.preventDefault();
  does();
});

addEventListener("beforeunload", event => {
  if (Object.keys(changes()).length > 0) event.preventDefault();
});

async function open() {
  try {
    const answer = await fetch("file");
    const said = await answer.json();
    if (!answer.ok) {
      told(said.text, true);
      return;
    }
    take(said);
    past = []; future = []; typing = null;
    told();
    look();
  } catch {
    told(say("lost"), true);
  }
}
open();
