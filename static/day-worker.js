// Shows the kept page of the day where there is no connection. It keeps nothing by itself: the page puts itself away when somebody asks, and a newer one takes its place.
"use strict";
const DAY = new URL(self.registration.scope).pathname;
const KEPT = `kept ${DAY}`;
const PATIENCE_MS = 4000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const keptCopy = async (of) => await caches.has(KEPT) ? (await caches.open(KEPT)).match(of) : undefined;

const put = async (response) => {
  const headers = new Headers(response.headers);
  headers.set("Kept-At", new Date().toISOString());
  await (await caches.open(KEPT)).put(DAY, new Response(await response.blob(), { headers }));
};

const saved = async (copy) => {
  const text = await copy.text();
  const language = text.match(/<html lang="([\w-]+)"/)?.[1] ?? "en";
  const when = new Date(copy.headers.get("Kept-At")).toLocaleString(language === "en" ? "en-GB" : language, { dateStyle: "medium", timeStyle: "short" });
  const html = text.replace(/<p id="state" data-saved="([^"]*)"><\/p>/, (_, words) => `<p id="state" role="status">${words.replace("{when}", when)}</p>`);
  return new Response(html, { headers: copy.headers });
};

const page = async (event, address) => {
  const kept = await keptCopy(DAY);
  if (!kept) return fetch(event.request);
  const late = new Promise((_, fail) => { setTimeout(fail, PATIENCE_MS); });
  let fresh;
  try {
    fresh = await Promise.race([fetch(event.request), late]);
  } catch {
    return saved(kept);
  }
  if (fresh.status >= 500) return saved(kept);
  // The kept page follows what is plugged by; a draft that somebody only looks at does not take its place.
  if (fresh.ok && !fresh.redirected && !address.searchParams.has("draft")) event.waitUntil(put(fresh.clone()));
  return fresh;
};

// Style and scripts of the kept page; their addresses change with their content.
const part = async (request) => await keptCopy(request) ?? fetch(request);

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== self.location.origin) return;
  if (request.mode === "navigate") {
    if (address.pathname === DAY) event.respondWith(page(event, address));
  } else if (request.destination === "style" || request.destination === "script") {
    event.respondWith(part(request));
  }
});
