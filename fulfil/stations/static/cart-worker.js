// Keeps the walk and what shows it, so that the page opens where no signal reaches. Posts always go to the shop.
"use strict";
const KEPT = "cart";
const PATIENCE_MS = 3000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const isPage = (url) => url.pathname === "/cart";
const isKept = (url) => url.pathname.startsWith("/kept/");

async function fresh(request, url) {
  const kept = await caches.open(KEPT);
  const ends = new AbortController();
  const timer = setTimeout(() => ends.abort(), PATIENCE_MS);
  const key = url.pathname;
  try {
    const got = await fetch(request, { signal: ends.signal });
    if (got.ok && got.type === "basic" && !got.redirected) {
      await kept.put(key, got.clone());
    } else if (isPage(url) && got.type === "opaqueredirect") {
      await kept.delete(key); // signed out, or no cart any more
    }
    return got;
  } catch (trouble) {
    return (await kept.match(key)) || Promise.reject(trouble);
  } finally {
    clearTimeout(timer);
  }
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (isPage(url) || isKept(url)) event.respondWith(fresh(event.request, url));
});
