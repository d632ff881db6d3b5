"use strict";

// pick is the file in which the bench comes over the line with the fewest bytes: plain
// where the server compresses it by itself, or where it is kept already; or else
// packed, to be unpacked here.
async function pick(bench) {
  if (!bench.packed) return bench.plain;
  for (const path of [bench.plain, bench.packed]) {
    if (await kept(path)) return path;
  }
  if (typeof DecompressionStream !== "function") return bench.plain;
  const head = await fetch(bench.plain, {method: "HEAD"}).catch(() => null);
  return head?.ok && head.headers.get("Content-Encoding") ? bench.plain : bench.packed;
}

// kept reports whether a file is kept for work without a network. Where the browser
// keeps nothing it is not.
async function kept(path) {
  try {
    return await caches.match(path) !== undefined;
  } catch {
    return false;
  }
}
