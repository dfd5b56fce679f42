// Keeps one build of the field book on the phone, whole, and serves it without the network.
// It never touches what the person saved: that lies in a file of its own, not in these caches.
"use strict";

const BUILD = "@BUILD@";
const FILES = @FILES@; // address -> SHA-256 in base64
const POLICY = "@POLICY@";
const CACHE = `field-book-${BUILD}`;
const COMPILED = `field-book-compiled-${BUILD}`; // what Python compiled of this build, at its first start
const KEPT = [CACHE, COMPILED];
const AT_ONCE = 4;

const place = (name) => new URL(name, self.registration.scope).href;

async function fetched(name, hash) {
  const options = { integrity: `sha256-${hash}`, credentials: "same-origin" };
  try {
    return await fetch(place(name), options);
  } catch {
    // What the browser had kept of an earlier build does not match; ask the host.
    return fetch(place(name), { ...options, cache: "reload" });
  }
}

// What an earlier build already brought, by its hash.
async function known() {
  const found = new Map();
  for (const key of await caches.keys()) {
    if (!key.startsWith("field-book-") || key.startsWith("field-book-compiled-")) continue;
    const cache = await caches.open(key);
    for (const request of await cache.keys()) {
      const answer = await cache.match(request);
      const hash = answer?.headers.get("x-sha256");
      if (hash) found.set(hash, answer);
    }
  }
  return found;
}

async function keep(cache, name, hash, before) {
  const old = before.get(hash)?.clone(); // two files may be the same, and an answer can be read once
  const answer = old ?? (await fetched(name, hash));
  if (!answer.ok) throw new Error(`${name}: ${answer.status}`);
  const headers = new Headers({ "content-security-policy": POLICY, "x-sha256": hash });
  headers.set("content-type", answer.headers.get("content-type") ?? "application/octet-stream");
  await cache.put(place(name), new Response(await answer.blob(), { headers }));
}

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(CACHE);
    const before = await known();
    const names = Object.keys(FILES);
    const work = async () => {
      for (let name = names.shift(); name !== undefined; name = names.shift()) {
        await keep(cache, name, FILES[name], before);
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, work));
  })());
});

self.addEventListener("message", (event) => {
  if (event.data === "switch") self.skipWaiting();
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const key of await caches.keys()) {
      if (key.startsWith("field-book-") && !KEPT.includes(key)) await caches.delete(key);
    }
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) {
    event.respondWith(Response.error()); // nothing here asks anybody else
    return;
  }
  if (event.request.method !== "GET" || !url.href.startsWith(self.registration.scope)) return;
  event.respondWith((async () => {
    const name = event.request.mode === "navigate" ? place("./") : url.origin + url.pathname;
    for (const key of [COMPILED, CACHE]) {
      const found = await caches.match(name, { cacheName: key });
      if (found) return found;
    }
    // For a sign that its font lacks, the client asks for another font again and again, until it gets one.
    if (url.pathname.endsWith(".woff2")) return caches.match(place("assets/fonts/roboto.woff2"), { cacheName: CACHE });
    return new Response("", { status: 404 });
  })());
});
