"use strict";

// What has the bench work without a network, where it comes as a site (build.worker).
// Where the browser has no service workers, or allows none, it works as it did before.

const workers = build.worker ? allowed() : undefined;
let registered; // once it is

function allowed() {
  try {
    return navigator.serviceWorker;
  } catch {
    return undefined;
  }
}

// keepForOffline has this build kept in the browser, and tells the bench when a new one is there.
async function keepForOffline() {
  if (!workers) return;
  try {
    registered = await workers.register(build.worker, {updateViaCache: "none"});
  } catch (problem) {
    console.info("not kept for work without a network:", problem.message);
    return;
  }
  const look = () => {
    conoid.newer = Boolean(registered.waiting && workers.controller);
    conoid.wake();
  };
  look();
  registered.addEventListener("updatefound", () => registered.installing?.addEventListener("statechange", look));
}

// renewed takes a new build that waits, before the bench begins; it reports whether the
// page is loading again for it.
async function renewed() {
  let found;
  try {
    found = await workers?.getRegistration();
  } catch {
    return false; // nothing may be kept
  }
  // Where the page was not loaded again by the user, what the address asks for is still to come.
  const load = () => isReload() ? location.reload() : location.replace(location.href);
  return Boolean(found?.waiting && workers.controller) && take(found, load);
}

// renew takes the new build when the user wants it.
function renew() {
  if (registered?.waiting) take(registered, () => location.reload());
}

// take has the new build take over, and then loads the page again. It reports whether it did.
function take(from, load) {
  return new Promise((resolve) => {
    const patience = setTimeout(() => resolve(false), 3000);
    workers.addEventListener("controllerchange", () => {
      clearTimeout(patience);
      resolve(true);
      load();
    }, {once: true});
    from.waiting.postMessage("take");
  });
}

// The name under which the bench is installed is in the language of the browser.
function nameInstalled(language) {
  const link = document.querySelector("link[rel=manifest]");
  if (link && build.manifests?.[language]) link.href = build.manifests[language];
}
