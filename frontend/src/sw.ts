/**
 * The service worker: keeps one build of the app, so that it opens without signal.
 *
 * A new build waits until the app is opened anew, or until a person takes it by one tap, so it never
 * changes the app under a half-written record. What a page of the build before may still fetch is
 * kept as long as such a page may be open. Data is no business of this file.
 *
 * It also shows what the office pushes. Every push is shown: one that is not costs the subscription,
 * on some phones at the third time.
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

worker.addEventListener("push", (event) => {
  event.waitUntil(show(noticeOf(event.data)));
});

worker.addEventListener("notificationclick", (event) => {
  event.notification.close();
  const { url } = event.notification.data as Notice;
  event.waitUntil(open(url));
});

worker.addEventListener("pushsubscriptionchange", (event) => {
  (event as ExtendableEvent).waitUntil(renew());
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

interface Notice {
  readonly title: string;
  readonly body: string;
  readonly tag: string;
  readonly url: string;
}

const SHEET = "/#/reminders";

/** What the office sent, in the person's words; where it cannot be read, only that there is some. */
function noticeOf(data: PushMessageData | null): Notice {
  let told: Partial<Record<keyof Notice, unknown>> = {};
  try {
    told = (data?.json() ?? {}) as typeof told;
  } catch {
    // Shown all the same, without its words.
  }
  const text = (name: keyof Notice, or: string): string =>
    typeof told[name] === "string" ? told[name] : or;
  return {
    title: text("title", "Lathhouse"),
    body: text("body", ""),
    tag: text("tag", "lathhouse"),
    url: text("url", SHEET),
  };
}

/** A newer one takes the place of an older one of its tag, and is heard all the same. */
async function show({ title, body, tag, url }: Notice): Promise<void> {
  const look = { icon: "/icon-192.png", badge: "/icon-192.png", renotify: true };
  await worker.registration.showNotification(title, { ...look, body, tag, data: { url } });
}

/** Go to its sheet: in the app where it is open, else in a new window. Never to another site. */
async function open(address: string): Promise<void> {
  const { origin } = worker.location;
  const asked = new URL(address, origin);
  const url = asked.origin === origin ? asked.href : origin + SHEET;
  const [sheet] = await worker.clients.matchAll({ type: "window", includeUncontrolled: true });
  try {
    if (sheet) {
      await (await sheet.focus()).navigate(url);
      return;
    }
  } catch {
    // Some browsers let no worker steer a page.
  }
  await worker.clients.openWindow(url);
}

/** The browser made a subscription void: another one, for all that had notices here. */
async function renew(): Promise<void> {
  const told = await fetch("/api/v1/push");
  if (!told.ok) return;
  const { key, people } = (await told.json()) as { key: string; people: string[] };
  const options = { userVisibleOnly: true, applicationServerKey: key };
  const { endpoint, keys } = (await worker.registration.pushManager.subscribe(options)).toJSON();
  for (const person of people) {
    await fetch("/api/v1/push/subscription", {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Sync": "1" },
      body: JSON.stringify({ person, endpoint, keys }),
    });
  }
}
