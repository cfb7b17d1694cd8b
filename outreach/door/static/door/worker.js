// The service worker of the Door. The server puts VERSION and FILES before this text; both change with the files.
// It keeps pages, never people: what residents said lies in the database of the page (keep.js).

const CACHE = `loambook-door-${VERSION}`;
const SHELL = "/door/shell/";
const APPLICATION = /^\/door\/\d+\/$/;
const START = "/door/";

self.addEventListener("install", (event) => {
  event.waitUntil(keepAll());
});

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOlder().then(() => self.clients.claim()));
});

// A page that has just started and holds nothing half-done asks for the newer files.
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (request.mode === "navigate") {
    if (APPLICATION.test(url.pathname)) event.respondWith(kept(SHELL, request));
    else if (url.pathname === START) event.respondWith(fetch(request).catch(() => kept(SHELL, request)));
  } else if (FILES.includes(url.pathname)) {
    event.respondWith(kept(url.pathname, request));
  }
});

async function keepAll() {
  const cache = await caches.open(CACHE);
  await cache.addAll(FILES.map((url) => new Request(url, { cache: "reload", credentials: "omit" })));
}

async function dropOlder() {
  const names = await caches.keys();
  const older = names.filter((name) => name.startsWith("loambook-door-") && name !== CACHE);
  await Promise.all(older.map((name) => caches.delete(name)));
}

async function kept(address, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(address, { ignoreVary: true })) ?? fetch(request);
}
