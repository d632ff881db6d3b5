"use strict";

// What is on the bench as elements, for those who hear or feel the page: the bench tells
// what changed (internal/mirror), and is told by aim(id, key) and write(id, text, caret,
// mark) what was done to an element. The elements lie, unseen, where the things are painted.
const mirror = (() => {
  const elements = new Map(); // by key
  const made = {
    screen: () => document.createElement("div"),
    region: () => document.createElement("section"),
    group: () => set(document.createElement("div"), {role: "group"}),
    dialog: () => set(document.createElement("div"), {role: "dialog", "aria-modal": "true", tabindex: "-1"}),
    text: () => document.createElement("p"),
    heading: (n) => document.createElement("h" + n.level),
    image: () => set(document.createElement("div"), {role: "img"}),
    button: () => set(document.createElement("button"), {type: "button"}),
    field: () => set(document.createElement("input"), {type: "text", autocomplete: "off", autocapitalize: "none"}),
    secret: () => set(document.createElement("input"), {type: "password", autocomplete: "off"}),
    slider: () => set(document.createElement("input"), {type: "range", step: "any"}),
  };
  const holds = new Set(["screen", "region", "group", "dialog"]); // kinds that hold others, and lie nowhere
  let root = null;
  let focus = ""; // key of what had it last
  let busy = false; // the bench itself moves the focus
  let lifted = null; // where and when the pointer was let go of

  function set(element, attributes) {
    for (const [name, value] of Object.entries(attributes)) {
      if (value === null) element.removeAttribute(name);
      else if (element.getAttribute(name) !== value) element.setAttribute(name, value);
    }
    return element;
  }

  // begin puts the mirror on the page and listens to what is done in it.
  function begin() {
    root = set(document.createElement("main"), {id: "bench", tabindex: "-1", "aria-label": word("page.bench")});
    document.body.append(root);
    root.addEventListener("focusin", focused);
    root.addEventListener("pointerup", (e) => { lifted = {x: e.clientX, y: e.clientY, at: e.timeStamp}; }, true);
    root.addEventListener("click", clicked);
    root.addEventListener("input", (e) => (e.target.type === "range" ? turned : written)(e.target));
    document.addEventListener("selectionchange", () => {
      const field = document.activeElement;
      if (!busy && field.told) {
        const {caret, mark} = selected(field);
        if (caret !== field.told.caret || mark !== field.told.mark) written(field);
      }
    });
    root.focus({preventScroll: true});
    return root;
  }

  // focused tells what the browser gave the focus. It selects all of a field then, which
  // the bench did not.
  function focused(e) {
    if (busy || !e.target.thing) return;
    if (e.target.told?.caret >= 0) select(e.target, e.target.told);
    conoid.aim(e.target.thing, "");
  }

  // over reports whether a place lies in an element.
  function over(element, x, y) {
    const at = element.getBoundingClientRect();
    return at.left <= x && x <= at.right && at.top <= y && y <= at.bottom;
  }

  // clicked presses what assistive technology means. Some of it also tells of a pointer,
  // which the bench has heard of then.
  function clicked(e) {
    const thing = e.target.thing;
    const heard = lifted && e.timeStamp - lifted.at < 100 && over(e.target, lifted.x, lifted.y);
    lifted = null;
    if (heard || !thing || e.target.getAttribute("aria-disabled")) return;
    if (e.target.tagName === "INPUT") e.target.focus({preventScroll: true});
    else conoid.aim(thing, "Enter");
  }

  // turned tells a slider's steps: it stands in the middle of its way, to be moved by one
  // in either direction.
  function turned(slider) {
    const way = Number(slider.value) - slider.told;
    slider.value = slider.told;
    if (way !== 0) conoid.aim(slider.thing, way < 0 ? "ArrowLeft" : "ArrowRight");
  }

  // selected is where the caret of a field is, and the other end of what is selected.
  function selected(field) {
    const {selectionStart: start, selectionEnd: end} = field;
    return field.selectionDirection === "backward" ? {caret: start, mark: end} : {caret: end, mark: start};
  }

  function select(field, {caret, mark}) {
    field.setSelectionRange(Math.min(caret, mark), Math.max(caret, mark), mark > caret ? "backward" : "forward");
  }

  function written(field) {
    const {caret, mark} = selected(field);
    field.told = {text: field.value, caret, mark};
    const characters = (end) => [...field.value.slice(0, end)].length; // not halves of pairs
    conoid.write(field.thing, field.value, characters(caret), characters(mark) - characters(caret));
  }

  // lift gives the field that a finger touched the focus, while the browser still knows
  // that the user did it: only then a telephone's keyboard comes up.
  function lift(x, y) {
    for (const field of root.querySelectorAll("input[type=text], input[type=password]")) {
      if (field.closest("[inert]") || !over(field, x, y)) continue;
      busy = true;
      field.blur(); // one that has the focus gets the keyboard back
      field.focus({preventScroll: true});
      busy = false;
    }
  }

  function tell(element, n) {
    element.thing = n.id;
    const name = n.name ?? "";
    const unused = n.disabled ? "true" : null;
    switch (n.kind) {
      case "text": case "heading":
        if (element.textContent !== name) element.textContent = name;
        break;
      case "button":
        if (element.textContent !== name) element.textContent = name;
        set(element, {"aria-pressed": n.pressed ? "true" : null, "aria-disabled": unused, tabindex: n.disabled ? "-1" : "0"});
        break;
      case "slider":
        element.told = n.number;
        set(element, {"aria-label": name, "aria-valuetext": n.value ?? "", min: String(n.number - 5), max: String(n.number + 5)});
        element.value = n.number;
        break;
      case "field":
        set(element, {"aria-label": name});
        fill(element, n);
        break;
      case "screen":
        element.inert = n.inert === true;
        break;
      default:
        set(element, {"aria-label": name});
        element.inert = n.inert === true;
    }
    if (!holds.has(n.kind)) place(element, n.box);
  }

  // fill writes into a field what the bench has in it, unless it has it from there.
  function fill(field, n) {
    const value = n.value ?? "";
    const units = (characters) => [...value].slice(0, characters).join("").length;
    const told = {text: value, caret: units(n.caret), mark: units(n.caret + n.mark)};
    if (field.value !== value) field.value = value;
    if (field.told?.text !== value || field.told.caret !== told.caret || field.told.mark !== told.mark) {
      field.told = told;
      select(field, told);
    }
  }

  function place(element, [left, top, width, height]) {
    Object.assign(element.style, {left: left + "px", top: top + "px", width: width + "px", height: height + "px"});
  }

  // sort brings the elements into an order, and moves no more of them than it must.
  function sort(order) {
    const next = new Map(); // what comes next in an element
    for (const key of order) {
      const {element, within} = elements.get(key);
      const parent = within ? elements.get(within).element : root;
      const at = next.has(parent) ? next.get(parent) : parent.firstChild;
      if (element === at) next.set(parent, at.nextSibling);
      else {
        parent.insertBefore(element, at);
        next.set(parent, at);
      }
    }
  }

  // show does what the bench tells.
  function show(change) {
    const held = root.contains(document.activeElement);
    busy = true;
    for (const key of change.gone ?? []) {
      elements.get(key).element.remove();
      elements.delete(key);
    }
    for (const n of change.nodes ?? []) {
      const element = elements.get(n.key)?.element ?? made[n.kind](n);
      elements.set(n.key, {element, within: n.within});
      tell(element, n);
    }
    if (change.order) sort(change.order);
    const lost = held && !root.contains(document.activeElement);
    if (lost || change.focus !== focus) (elements.get(change.focus)?.element ?? root).focus({preventScroll: true});
    focus = change.focus;
    busy = false;
  }

  return {begin, show, lift};
})();
