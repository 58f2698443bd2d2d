// Keeps the pages that were open on this device, so that they open again while the studio is off. The studio's own answer
// always comes first; taps themselves are kept by the page, never here.
"use strict";
const KEPT = "slabside-pages";
const SHELL = ["/static/slabside.css", "/static/htmx.js", "/static/taps.js", "/static/press.js", "/static/memo.js", "/static/mark.svg", "/static/offline.html",
  "/static/fonts/atkinson-hyperlegible-next-latin-400-normal.woff2", "/static/fonts/atkinson-hyperlegible-next-latin-700-normal.woff2", "/static/fonts/source-serif-4-latin-600-normal.woff2"];

self.addEventListener("install", event => {
  event.waitUntil(caches.open(KEPT).then(kept => kept.addAll(SHELL)).then(() => self.skipWaiting()));
});
self.addEventListener("activate", event => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", event => {
  const { request } = event;
  const where = new URL(request.url);
  if (request.method !== "GET" || where.origin !== location.origin) return;
  const page = request.mode === "navigate" || request.headers.get("Slabside-Page") === "1";
  if (page || where.pathname.startsWith("/static/")) event.respondWith(answer(request, page));
});

async function answer(request, page) {
  let fresh;
  try {
    fresh = await fetch(request);
  } catch (off) {
    if (request.mode !== "navigate") {
      const kept = page ? null : await caches.match(request);
      if (kept) return kept;
      throw off;
    }
    const kept = await caches.match(request.url) || await caches.match(request.url, { ignoreSearch: true });
    return kept ? remembered(kept) : caches.match("/static/offline.html");
  }
  if (fresh.status === 401) {
    // Shut out: nothing of the studio stays on this device.
    await caches.delete(KEPT);
  } else if (fresh.ok && fresh.type === "basic") {
    const copy = fresh.clone();
    const kept = await caches.open(KEPT);
    await kept.put(page ? fresh.url : request, copy);
  }
  return fresh;
}

// Marks a remembered page as such; its clock is old and must not be measured against.
async function remembered(kept) {
  const text = (await kept.text()).replace("<body", '<body data-remembered="yes"');
  return new Response(text, { status: 200, headers: kept.headers });
}
