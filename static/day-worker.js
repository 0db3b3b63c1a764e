// Shows a kept sheet where there is no connection. It keeps nothing by itself: the page of the day puts one sheet away when somebody asks.
"use strict";
const DAY = new URL(self.registration.scope).pathname;
const KEPT = `kept ${DAY}`;
const PATIENCE_MS = 4000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const now = () => new Date().toISOString();

const put = async (cache, address, response) => {
  const headers = new Headers(response.headers);
  headers.set("Kept-At", now());
  await cache.put(address, new Response(await response.blob(), { headers }));
};

const saved = async (copy) => {
  const since = new Date(copy.headers.get("Kept-At")).toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" });
  const words = `Saved copy - could not check for changes since ${since}.`;
  const html = (await copy.text()).replace('<p id="state"></p>', `<p id="state" role="status">${words}</p>`);
  return new Response(html, { headers: copy.headers });
};

const answer = async (event, path) => {
  const cache = await caches.has(KEPT) ? await caches.open(KEPT) : null;
  const [kept] = cache ? await cache.keys() : [];
  const mine = kept && (path === DAY || path === new URL(kept.url).pathname);
  if (!mine) return fetch(event.request);
  const late = new Promise((_, fail) => { setTimeout(fail, PATIENCE_MS); });
  let fresh;
  try {
    fresh = await Promise.race([fetch(event.request), late]);
  } catch {
    return saved(await cache.match(kept));
  }
  if (fresh.status >= 500) return saved(await cache.match(kept));
  // The sheet itself never changes, but what stands above it does: a newer revision, a cancelled gig.
  if (fresh.ok && path !== DAY) event.waitUntil(put(cache, kept.url, fresh.clone()));
  return fresh;
};

self.addEventListener("fetch", (event) => {
  if (event.request.mode !== "navigate" || event.request.method !== "GET") return;
  event.respondWith(answer(event, new URL(event.request.url).pathname));
});
