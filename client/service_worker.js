// Keeps one whole build of the program on the device, so that it opens without signal.
//
// One build is one set of files. They are fetched together when the worker is installed, and served from that set
// alone: the WebAssembly and the JavaScript that belongs to it never come from two builds. A new build waits until
// the program asks it to take over (message "take-over"); the set before it stays until the next change, for tabs that
// are still open on it. Nothing of a garden passes through here: calls to the server go straight to the network.

// Filled in by `cargo xtask web`: a name for the build, and the addresses of all its files.
const BUILD = "__BUILD__";
const FILES = __FILES__;

const PREFIX = "selion-";
const CACHE = PREFIX + BUILD;
const SHELL = "/";
const GENERATIONS = "selion/generations";

self.addEventListener("install", (event) => {
  event.waitUntil(fetchWholeBuild());
});

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOldBuilds().then(() => self.clients.claim()));
});

self.addEventListener("message", (event) => {
  if (event.data === "take-over") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin || url.pathname.startsWith("/api/")) {
    return; // the browser goes to the network by itself
  }
  event.respondWith(request.mode === "navigate" ? shell(request) : file(request, url));
});

// All or nothing: if one file does not come, this build is not installed and the earlier one stays.
async function fetchWholeBuild() {
  const cache = await caches.open(CACHE);
  try {
    await Promise.all([SHELL, ...FILES.filter((path) => path !== SHELL)].map(async (path) => {
      // What is named by its content may come from the browser's HTTP cache, where the page has just put most of it.
      // For all others "reload" passes by that cache, which could hold an older shell.
      const response = await fetch(path, {
        cache: path.startsWith("/assets/") ? "default" : "reload",
        credentials: "same-origin",
      });
      if (!response.ok) throw new Error(`${path} answered ${response.status}`);
      await cache.put(path, response);
    }));
  } catch (error) {
    if (!(await isInUse())) await caches.delete(CACHE);
    throw error;
  }
}

// Every address a person can open is the same page; which screen it shows is decided inside.
async function shell(request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(SHELL)) ?? fetch(request);
}

async function file(request, url) {
  const cache = await caches.open(CACHE);
  const own = await cache.match(url.pathname);
  if (own) return own;
  // A tab that is still on the build before this one asks for that build's names, which differ by content.
  const earlier = await caches.match(url.pathname);
  return earlier ?? fetch(request);
}

// The builds that took over on this device, oldest first; the last two are kept.
async function dropOldBuilds() {
  const notes = await caches.open(GENERATIONS);
  const written = await notes.match("/generations");
  const before = written ? await written.json() : [];
  const kept = [...before.filter((name) => name !== CACHE), CACHE].slice(-2);
  await notes.put("/generations", Response.json(kept));
  if (self.registration.installing) return; // a still newer build is filling its set; the next change cleans up
  const names = await caches.keys();
  await Promise.all(names
    .filter((name) => name.startsWith(PREFIX) && !kept.includes(name))
    .map((name) => caches.delete(name)));
}

async function isInUse() {
  const notes = await caches.open(GENERATIONS);
  const written = await notes.match("/generations");
  return written ? (await written.json()).includes(CACHE) : false;
}
