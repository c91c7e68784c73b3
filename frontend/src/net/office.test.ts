import { expect, test, vi } from "vitest";
import { office, type Fetch } from "./office";

const JSON_TYPE = { "Content-Type": "application/json" };
const PROBLEM = { "Content-Type": "application/problem+json" };

function answering(body: string, init: ResponseInit = {}): Fetch {
  return () => Promise.resolve(new Response(body, { headers: JSON_TYPE, ...init }));
}

async function troubleOf(fetcher: Fetch) {
  const answer = await office("en", fetcher).get("/x");
  return answer.ok ? null : answer.trouble;
}

test("an answer is its data", async () => {
  expect(await office("en", answering('{"a": 1}')).get("/x")).toEqual({ ok: true, data: { a: 1 } });
});

test("asks in the language of the person, and gives up after a while", async () => {
  const fetcher = vi.fn<Fetch>(answering("{}"));
  await office("es", fetcher).get("/x");
  const [path, init] = fetcher.mock.calls[0] ?? [];
  expect([path, init?.headers]).toEqual([
    "/x",
    { Accept: "application/json", "Accept-Language": "es" },
  ]);
  expect(init?.signal).toBeInstanceOf(AbortSignal);
});

const TROUBLES: [string, Fetch, object][] = [
  ["no network", () => Promise.reject(new TypeError("failed")), { why: "offline" }],
  [
    "the page of a Wi-Fi portal",
    answering("<html>", { headers: { "Content-Type": "text/html" } }),
    { why: "offline" },
  ],
  ["half an answer", answering('{"a": '), { why: "offline" }],
  [
    "an answer of no kind",
    () => Promise.resolve(new Response(null, { status: 200 })),
    { why: "offline" },
  ],
  ["nobody signed in", answering("{}", { status: 401 }), { why: "signed_out" }],
  ["nothing there", answering("{}", { status: 404 }), { why: "missing" }],
  [
    "a problem with its sentence",
    answering('{"code": "later", "detail": "Try at 9."}', { status: 503, headers: PROBLEM }),
    { why: "trouble", code: "later", detail: "Try at 9." },
  ],
  [
    "a problem that names what it is about",
    answering('{"code": "odd", "detail": null, "params": {"field": "days"}}', { status: 422 }),
    { why: "trouble", code: "odd", detail: null, params: { field: "days" } },
  ],
  [
    "a problem about nothing in particular",
    answering('{"code": "odd", "detail": null, "params": {}}', { status: 422 }),
    { why: "trouble", code: "odd", detail: null },
  ],
  [
    "a problem of no kind",
    answering("[]", { status: 500 }),
    { why: "trouble", code: "500", detail: null },
  ],
  [
    "a server's own page",
    answering("<html>", { status: 502, headers: { "Content-Type": "text/html" } }),
    { why: "trouble", code: "502", detail: null },
  ],
];

test.each(TROUBLES)("%s is said as a value", async (_, fetcher, trouble) => {
  expect(await troubleOf(fetcher)).toEqual(trouble);
});

test("a change carries what no other site can send, and the token of the session", async () => {
  vi.stubGlobal("document", { cookie: "a=1; nursery_csrf=secret; b=2" });
  const fetcher = vi.fn<Fetch>(() => Promise.resolve(new Response(null, { status: 204 })));
  const gone = await office("en", fetcher).send("DELETE", "/session");
  expect(gone).toEqual({ ok: true, data: undefined });
  expect(fetcher.mock.calls[0]?.[1].headers).toMatchObject({
    "X-Sync": "1",
    "X-CSRFToken": "secret",
  });
  vi.unstubAllGlobals();
});

test("a change without a session carries no token", async () => {
  const fetcher = vi.fn<Fetch>(answering("{}"));
  await office("en", fetcher).send("POST", "/session", { email: "a" });
  const init = fetcher.mock.calls[0]?.[1];
  expect(init?.body).toBe('{"email":"a"}');
  expect(init?.headers).not.toHaveProperty("X-CSRFToken");
});

test("a file to print comes as it is", async () => {
  const fetcher = vi.fn<Fetch>(
    answering("%PDF-", { headers: { "Content-Type": "application/pdf" } }),
  );
  const answer = await office("es", fetcher).print("/labels", { each: 2 });
  expect(answer.ok && (await answer.data.text())).toBe("%PDF-");
  expect(fetcher.mock.calls[0]?.[1]).toMatchObject({ method: "POST", body: '{"each":2}' });
});

test.each([
  ["no network", () => Promise.reject(new TypeError("failed")), { why: "offline" }],
  [
    "a portal's page",
    answering("<html>", { headers: { "Content-Type": "text/html" } }),
    { why: "offline" },
  ],
  [
    "more labels than a file takes",
    answering('{"code": "labels_too_many", "detail": "Fewer."}', { status: 422, headers: PROBLEM }),
    { why: "trouble", code: "labels_too_many", detail: "Fewer." },
  ],
] as [string, Fetch, object][])("no file to print: %s", async (_, fetcher, trouble) => {
  expect(await office("en", fetcher).print("/labels", {})).toEqual({ ok: false, trouble });
});

test("a file goes to the office as it is, by whoever may change something", async () => {
  const fetcher = vi.fn(answering('{"usable": true}'));
  const file = new Blob(["date,rain\n"]);
  const answer = await office("en", fetcher).give("POST", "/weather/preview", file);
  expect(answer).toEqual({ ok: true, data: { usable: true } });
  const [, init] = fetcher.mock.calls[0] ?? [];
  expect(init?.body).toBe(file);
  expect(init?.headers).toMatchObject({ "Content-Type": "text/csv", "X-Sync": "1" });
});
