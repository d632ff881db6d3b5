// Keeps one build of the bench in the browser, whole, so that it works without a
// network. A new build is fetched beside it and waits until no page of the old one is
// open, or until the user asks for it. What the user made is stored elsewhere, and is
// not touched here. Before this stand "site", the files of the build, and pick().

const ours = `conoid ${registration.scope} `; // other sites may lie on the same server
const name = ours + site.id;

self.addEventListener("install", (event) => event.waitUntil(fetchBuild()));
self.addEventListener("activate", (event) => event.waitUntil(dropOthers()));
self.addEventListener("message", (event) => {
  if (event.data === "take") self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  event.respondWith(answer(event.request, url));
});

// fetchBuild gets all files of the build, or keeps none.
async function fetchBuild() {
  const cache = await caches.open(name);
  try {
    const bench = await pick(site.bench);
    const wanted = [...Object.keys(site.files), bench];
    await Promise.all(wanted.map((path) => fetchFile(cache, path)));
  } catch (problem) {
    await caches.delete(name);
    throw problem;
  }
}

// fetchFile keeps a file if it is the one of this build: a server can be in the middle
// of an update. What an earlier build had under the same name is the same.
async function fetchFile(cache, path) {
  const had = path === "./" ? undefined : await caches.match(path);
  if (had) return cache.put(path, had);
  const digest = site.files[path] ?? site.benches[path];
  // Only the page has a name that stays, and so is asked for anew.
  const response = await fetch(path, path === "./" ? {cache: "no-store"} : {});
  const bytes = await response.arrayBuffer();
  if (!response.ok || await sha256(bytes) !== digest) throw new Error(`${path} is not of this build`);
  const headers = new Headers(response.headers);
  for (const line of ["Content-Encoding", "Content-Length"]) headers.delete(line); // it is unpacked now
  await cache.put(path, new Response(bytes, {headers}));
}

async function sha256(bytes) {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...sum].map((b) => b.toString(16).padStart(2, "0")).join("");
}

async function dropOthers() {
  for (const other of await caches.keys()) {
    if (other.startsWith(ours) && other !== name) await caches.delete(other);
  }
}

// answer gives what is kept of this build, or else what the server has.
async function answer(request, url) {
  const cache = await caches.open(name);
  const isPage = request.mode === "navigate" && [registration.scope, registration.scope + "index.html"].includes(url.origin + url.pathname);
  return await cache.match(isPage ? "./" : request) ?? fetch(request);
}
