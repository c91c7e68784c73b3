import "fake-indexeddb/auto";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { disk, dropDraft, forgetDrafts, keepDraft, keptDraft, openDrafts } from "./drafts";
import { DraftsDisk } from "./drafts-disk";

const NOW = 1_900_000_000_000;
const DAY = 24 * 3600_000;

let storage = new Map<string, string>();

/** What a browser's own storage has once the whole browser was killed before it was on the disk. */
function loses(since: Map<string, string>): void {
  storage = new Map(since);
}

beforeEach(() => {
  loses(new Map());
  vi.stubGlobal("localStorage", {
    getItem: (key: string) => storage.get(key) ?? null,
    setItem: (key: string, text: string) => storage.set(key, text),
    removeItem: (key: string) => storage.delete(key),
  });
});
afterEach(async () => {
  await forgetDrafts();
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

const kept = (key = "p-1/note/b-1", now = NOW) => keptDraft(key, now);
const writes = (text: string, at = NOW, key = "p-1/note/b-1") => {
  keepDraft(key, JSON.stringify({ text }), at);
};

describe("a form", () => {
  test("stands as it was left, for a day", () => {
    writes("a");
    expect(kept()).toEqual({ text: "a" });
    expect(keptDraft("p-1/note/b-1", NOW + DAY + 1)).toBeNull();
    expect(keptDraft("p-1/note/b-1", NOW + 500, 400)).toBeNull();
    expect(kept("p-1/note/b-2")).toBeNull();
  });

  test("is there again though the browser was killed before it kept anything", async () => {
    writes("a");
    await disk.settled();
    loses(new Map());
    expect(kept()).toBeNull();
    await openDrafts(NOW);
    expect(kept()).toEqual({ text: "a" });
  });

  test("is there as it was last, of many quick changes", async () => {
    for (const n of Array(50).keys()) writes(`a${n}`, NOW + n);
    await disk.settled();
    loses(new Map());
    await openDrafts(NOW);
    expect(kept()).toEqual({ text: "a49" });
  });

  test("that the browser has later than the disk stays as it is there", async () => {
    writes("a");
    await disk.settled();
    const put = vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(() => {
      throw new DOMException("full", "QuotaExceededError");
    });
    writes("b", NOW + 1);
    await disk.settled();
    put.mockRestore();
    await openDrafts(NOW + 2);
    expect(kept()).toEqual({ text: "b" });
  });

  test("that was saved does not come back, whatever the browser lost", async () => {
    writes("a");
    const before = new Map(storage);
    dropDraft("p-1/note/b-1");
    await disk.settled();
    loses(before);
    expect(kept()).toEqual({ text: "a" });
    await openDrafts(NOW);
    expect(kept()).toBeNull();
    // And a new one in its place stands.
    writes("b", NOW + 1);
    await disk.settled();
    loses(new Map());
    await openDrafts(NOW + 1);
    expect(kept()).toEqual({ text: "b" });
  });

  test("that was never kept leaves no mark when it is given up", async () => {
    dropDraft("p-1/note/b-1");
    await disk.settled();
    expect(await disk.marks(NOW)).toEqual(new Map());
  });

  test("is forgotten by the disk after a month", async () => {
    writes("a");
    await disk.settled();
    expect([...(await disk.marks(NOW)).keys()]).toEqual(["p-1/note/b-1"]);
    expect(await disk.marks(NOW + 31 * DAY)).toEqual(new Map());
    expect(await disk.marks(NOW)).toEqual(new Map());
  });

  test("goes with all others from a phone that is wiped, and nothing else goes with it", async () => {
    const own: Record<string, string> = { "draft p-1/note/b-1": "{}", light: "night" };
    const taken: string[] = [];
    vi.stubGlobal(
      "localStorage",
      Object.assign(Object.create({ removeItem: (key: string) => taken.push(key) }), own),
    );
    disk.note("p-1/note/b-1", { at: NOW, text: "{}" });
    await forgetDrafts();
    expect(taken).toEqual(["draft p-1/note/b-1"]);
    expect(await disk.marks(NOW)).toEqual(new Map());
  });

  test("lasts as long as the page where neither takes it, and nothing fails by it", async () => {
    vi.stubGlobal("localStorage", {
      getItem: () => "no JSON",
      setItem: () => {
        throw new DOMException("shut");
      },
      removeItem: () => {
        throw new DOMException("shut");
      },
    });
    vi.spyOn(IDBFactory.prototype, "open").mockImplementation(() => {
      throw new DOMException("shut", "SecurityError");
    });
    const shut = new DraftsDisk("shut");
    shut.note("a", { at: NOW, text: "{}" });
    await shut.settled();
    expect(await shut.marks(NOW)).toEqual(new Map());
    writes("a");
    dropDraft("p-1/note/b-1");
    expect(kept()).toBeNull();
  });
});
