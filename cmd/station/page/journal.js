"use strict";

// What is stored a browser puts on the disk late, up to a minute after: whoever kills it, or
// pulls the plug, takes that away. So it is written to a database as well; what a practical must
// not lose so that the database says when it is on the disk (durability "strict": W3C, Indexed
// Database API 3.0). The writes are counted in both. At the start the one with more of them is
// right as a whole, so that what was put away or deleted in it does not come back from the other.
const journal = (() => {
  const number = "conoid-writes";   // how many writes there were
  const whole = "conoid-whole";     // in the database: it has all, and not only what is strict, as before
  const patience = 5000;            // milliseconds for what a database may never answer
  let db = null;    // null where there is none, or once a write was lost: then nothing is written after it
  let count = 0;
  let waiting = []; // writes [key, text or null for none], not yet under way
  let busy = false; // some are under way
  let asked = false; // somebody waits for them

  const ours = (key) => key.startsWith("conoid/");
  const strict = (key) => key.startsWith("conoid/practicals/") || key === "conoid/settings.json";
  const stored = () => Object.keys(localStorage).filter(ours);

  function inTime(promise) {
    return Promise.race([promise, new Promise((_, no) => setTimeout(no, patience, new Error("the database is silent")))]);
  }

  function answer(request) {
    return new Promise((yes, no) => {
      request.onsuccess = () => yes(request.result);
      request.onerror = request.onblocked = () => no(request.error);
    });
  }

  // write makes a change, all of it or none; if it is strict it has come to an end when it is on
  // the disk, and else when the system has it, which outlives the browser.
  function write(to, durability, change) {
    return new Promise((yes, no) => {
      const t = to.transaction("kept", "readwrite", {durability});
      t.oncomplete = yes;
      t.onabort = () => no(t.error);
      change(t.objectStore("kept"));
    });
  }

  // begin makes the two the same, before anything is read or written.
  async function begin() {
    try {
      count = Number(localStorage.getItem(number)); // first: it must never count backwards
      const request = indexedDB.open("conoid", 1);
      request.onupgradeneeded = () => request.result.createObjectStore("kept");
      const opened = await inTime(answer(request));
      const kept = opened.transaction("kept").objectStore("kept");
      const [keys, texts] = await inTime(Promise.all([answer(kept.getAllKeys()), answer(kept.getAll())]));
      const texted = new Map(keys.map((key, i) => [key, texts[i]]));
      if (texted.get(number) > count) restore(texted);
      await inTime(write(opened, "strict", (to) => {
        to.clear();
        to.put(1, whole);
        for (const key of stored()) to.put(localStorage.getItem(key), key);
        to.put(count, number);
      }));
      db = opened;
    } catch { /* all works without, as far as the browser itself keeps it */ }
  }

  // restore takes away first what differs: there is room for what is right, and not for both.
  function restore(from) {
    count = from.get(number);
    const has = from.delete(whole) ? ours : strict;
    for (const key of stored()) if (has(key) && from.get(key) !== localStorage.getItem(key)) localStorage.removeItem(key);
    for (const [key, text] of from) localStorage.setItem(key, text);
  }

  // note is told what was stored under a key, or null when it was taken away.
  function note(key, text) {
    if (!ours(key)) return;
    count++;
    // After what it counts: a storage that was cut off between the two has rather more than it says.
    try { localStorage.setItem(number, count); } catch { /* no room for one more digit */ }
    if (db === null) return;
    waiting.push([key, text]);
    if (!busy) writeAll();
  }

  // writeAll writes what waits, and what comes meanwhile.
  async function writeAll() {
    busy = true;
    while (waiting.length > 0) {
      const [batch, upTo] = [waiting, count];
      waiting = [];
      try {
        await inTime(write(db, batch.some(([key]) => strict(key)) ? "strict" : "relaxed", (to) => {
          for (const [key, text] of batch) text === null ? to.delete(key) : to.put(text, key);
          to.put(upTo, number);
        }));
      } catch {
        db = null;
        waiting = [];
      }
    }
    busy = false;
    if (asked) frames.wake();
    asked = false;
  }

  // settled reports whether all that was noted is on the disk, as far as it can be known.
  function settled() {
    asked = busy;
    return !busy;
  }

  return {begin, note, settled};
})();
