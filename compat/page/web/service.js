// Keeps the page on the device at the first visit, so that it opens without a network from then on.
const EDITION = "{{ edition }}";
const FILES = [/* files */];
self.addEventListener("install", (event) =>
  event.waitUntil(caches.open(EDITION).then((kept) => kept.addAll(["./", ...FILES])).then(() => self.skipWaiting())));
self.addEventListener("activate", (event) =>
  event.waitUntil(caches.keys()
    .then((names) => Promise.all(names.filter((name) => name !== EDITION && /^[0-9a-f]{16}$/.test(name)).map((name) => caches.delete(name))))
    .then(() => self.clients.claim())));
self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || new URL(event.request.url).origin !== self.location.origin) return;
  event.respondWith(caches.open(EDITION).then((kept) => kept.match(event.request, { ignoreSearch: true }))
    .then((found) => found ?? fetch(event.request)));
});
