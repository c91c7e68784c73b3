/**
 * The service worker: keeps one build of the app, so that it opens without signal.
 *
 * A new build waits until the app is opened anew, or until a person takes it by one tap, so it never
 * changes the app under a half-written record. What a page of the build before may still fetch is
 * kept as long as such a page may be open. Data is no business of this file.
 */
const worker = self as unknown as ServiceWorkerGlobalScope;

declare const __FILES__: string;

const { build, paths } = JSON.parse(__FILES__) as { build: string; paths: string[] };
const CACHE = `build-${build}`;
const PATIENCE_MS = [0, 200, 800, 2000];
const kept = new Set(paths);

worker.addEventListener("install", (event) => {
  event.waitUntil(keep());
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(forgetOlder());
});

worker.addEventListener("message", (event) => {
  if (event.data === "take") void worker.skipWaiting();
  if (event.data === "take_if_alone") event.waitUntil(takeIfAlone());
});

worker.addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== worker.location.origin) return;
  if (kept.has(pathname)) event.respondWith(answer(pathname, event.request));
  else if (pathname.startsWith("/assets/")) event.respondWith(older(event.request));
});

async function keep(): Promise<void> {
  const cache = await caches.open(CACHE);
  // Past the browser's own cache, which may still hold a page of the build before.
  await cache.addAll(paths.map((path) => new Request(path, { cache: "reload" })));
}

/** Only this build and the two before are kept. Names come in the order in which they were made. */
async function forgetOlder(): Promise<void> {
  const others = (await caches.keys()).filter((name) => name !== CACHE);
  await Promise.all(others.slice(0, -2).map((name) => caches.delete(name)));
  await worker.clients.claim();
}

/** The app was opened anew, and no other sheet of it is open: the one before may still be going. */
async function takeIfAlone(): Promise<void> {
  for (const wait of PATIENCE_MS) {
    await new Promise((done) => setTimeout(done, wait));
    const sheets = await worker.clients.matchAll({ type: "window", includeUncontrolled: true });
    if (sheets.length <= 1) return worker.skipWaiting();
  }
}

async function answer(path: string, request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  return (await cache.match(path)) ?? fetch(request);
}

/** A part of the build before, for a page that was opened with it. Its name says which build. */
async function older(request: Request): Promise<Response> {
  return (await caches.match(request)) ?? fetch(request);
}
