import "fake-indexeddb/auto";
import { expect, test, vi } from "vitest";
import { forget, keep, kept, keptAll } from "./kept";
import { choose, chosen } from "./settings";

test("an answer is kept with the moment at which it was true", async () => {
  expect(await kept("stock")).toBeNull();
  expect(await keep("stock", { at: "2031-03-03T00:00:00.000Z", data: [1] })).toBe(true);
  expect(await kept("stock")).toEqual({ at: "2031-03-03T00:00:00.000Z", data: [1] });
});

test("several are kept answers to one question, each or none", async () => {
  const find = () => keptAll<[number[], string]>("stock", "nothing");
  expect(await find()).toEqual([await kept("stock"), null]);
  const get = vi.spyOn(IDBObjectStore.prototype, "get").mockImplementationOnce(() => {
    throw new DOMException("gone", "InvalidStateError");
  });
  expect(await find()).toEqual([null, null]);
  get.mockRestore();
  expect(await find()).toEqual([await kept("stock"), null]);
});

test("what was kept for one person is not shown to the next", async () => {
  await keep("stock", { at: "x", data: [1] });
  await forget();
  expect(await kept("stock")).toBeNull();
});

test("what cannot be kept is not kept, and nothing is lost by it", async () => {
  const put = vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(() => {
    throw new DOMException("full", "QuotaExceededError");
  });
  expect(await keep("stock", { at: "x", data: [1] })).toBe(false);
  put.mockRestore();
  expect(await keep("stock", { at: "x", data: [2] })).toBe(true);
});

test("a database that died is opened anew", async () => {
  const get = vi.spyOn(IDBObjectStore.prototype, "get").mockImplementationOnce(() => {
    throw new DOMException("gone", "InvalidStateError");
  });
  const clear = vi.spyOn(IDBObjectStore.prototype, "clear").mockImplementationOnce(() => {
    throw new DOMException("gone", "InvalidStateError");
  });
  expect(await kept("stock")).toBeNull();
  await forget();
  get.mockRestore();
  clear.mockRestore();
  expect(await kept("stock")).toEqual({ at: "x", data: [2] });
});

test("another sheet that deletes the database is let through", async () => {
  await keep("stock", { at: "x", data: [3] });
  await new Promise((done, fail) => {
    const request = indexedDB.deleteDatabase("cache");
    request.onsuccess = done;
    request.onerror = fail;
  });
  expect(await kept("stock")).toBeNull();
});

test("a setting is kept where the browser keeps anything", () => {
  expect(chosen("light")).toBeNull();
  choose("light", "night");
  const store = new Map<string, string>();
  vi.stubGlobal("localStorage", {
    getItem: (name: string) => store.get(name) ?? null,
    setItem: (name: string, value: string) => store.set(name, value),
  });
  choose("light", "night");
  expect(chosen("light")).toBe("night");
  vi.unstubAllGlobals();
});
