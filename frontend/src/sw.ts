/**
 * The service worker: keeps one build of the app, so that it opens without signal.
 *
 * A new build waits until every sheet is closed, or until a person takes it by one tap, so it never
 * changes the app under a half-written record. Data is no business of this file.
 */
const worker = self as unknown as ServiceWorkerGlobalScope;

declare const __FILES__: string;

const { build, paths } = JSON.parse(__FILES__) as { build: string; paths: string[] };
const CACHE = `build-${build}`;
const kept = new Set(paths);

worker.addEventListener("install", (event) => {
  event.waitUntil(keep());
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(forgetOlder());
});

worker.addEventListener("message", (event) => {
  if (event.data === "take") void worker.skipWaiting();
});

worker.addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method === "GET" && origin === worker.location.origin && kept.has(pathname)) {
    event.respondWith(answer(pathname, event.request));
  }
});

async function keep(): Promise<void> {
  const cache = await caches.open(CACHE);
  // Past the browser's own cache, which may still hold a page of the build before.
  await cache.addAll(paths.map((path) => new Request(path, { cache: "reload" })));
}

async function forgetOlder(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name !== CACHE).map((name) => caches.delete(name)));
  await worker.clients.claim();
}

async function answer(path: string, request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  return (await cache.match(path)) ?? fetch(request);
}
