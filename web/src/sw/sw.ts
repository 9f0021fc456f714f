/// <reference lib="webworker" />
/** Keeps the app's files, so that it opens without a network. Never keeps an answer of the API. */

declare const self: ServiceWorkerGlobalScope;

export {};

const CACHE = `app-${__SHELL_DIGEST__}`;

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches.open(CACHE).then((cache) => Promise.all(__SHELL_FILES__.map(keepIn(cache)))),
  );
});

/** A page where a script belongs is not ours: nothing is kept, and the last version goes on. */
const keepIn = (cache: Cache) => async (file: string) => {
  const response = await fetch(file, { cache: "reload", redirect: "error" });
  const html = (response.headers.get("content-type") ?? "").includes("text/html");
  const ours = file === "/" ? (await response.clone().text()).includes('id="app"') : !html;
  if (!response.ok || !ours) throw new Error(`${file} did not come from the clinic's server`);
  await cache.put(file, response);
};

self.addEventListener("activate", (event) => {
  const others = (names: string[]) => names.filter((name) => name !== CACHE);
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(others(names).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("message", (event) => {
  if (event.data === "take over") void self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url);
  if (event.request.method !== "GET" || origin !== self.location.origin) return;
  if (pathname.startsWith("/api/")) return;
  const wanted = event.request.mode === "navigate" ? "/" : pathname;
  event.respondWith(
    caches.open(CACHE).then(async (cache) => (await cache.match(wanted)) ?? fetch(event.request)),
  );
});
