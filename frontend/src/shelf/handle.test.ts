import "fake-indexeddb/auto";
import type { DBSchema } from "idb";
import { afterEach, describe, expect, test, vi } from "vitest";
import { fresh } from "../testing/shelf";
import { Handle, ShelfFault } from "./handle";

interface Schema extends DBSchema {
  things: { key: string; value: string };
}

function handle(name = fresh("handle"), version = 1): Handle<Schema> {
  return new Handle<Schema>(name, version, (database, before) => {
    if (before === 0) database.createObjectStore("things");
  });
}

const put = (value: string) => (database: { put: Put }) => database.put("things", value, "a");
type Put = (store: "things", value: string, key: string) => Promise<string>;

/** What a browser throws at the next uses of a store. */
function broken(name: string, times: number): void {
  let left = times;
  const own = Object.getOwnPropertyDescriptor(IDBDatabase.prototype, "transaction");
  const real = own?.value as IDBDatabase["transaction"];
  vi.spyOn(IDBDatabase.prototype, "transaction").mockImplementation(function (
    this: IDBDatabase,
    ...words: Parameters<IDBDatabase["transaction"]>
  ) {
    if (left === 0) return Reflect.apply(real, this, words);
    left -= 1;
    throw new DOMException(name, name);
  });
}

afterEach(() => {
  vi.restoreAllMocks();
  vi.useRealTimers();
});

describe("requirement 24: a dead handle is dropped, opened anew, tried once more, then told", () => {
  test.each([
    ["connection lost", "InvalidStateError"],
    ["backing store", "UnknownError"],
    ["an abort by the browser", "AbortError"],
  ])("%s once: nobody notices", async (_name, fault) => {
    const one = handle();
    await one.use(put("before"));
    const opened = vi.spyOn(indexedDB, "open");
    broken(fault, 1);
    await one.use(put("after"));
    expect(opened).toHaveBeenCalledOnce();
    expect(await one.use((database) => database.get("things", "a"))).toBe("after");
  });

  test.each(["InvalidStateError", "UnknownError"])("%s twice is told", async (fault) => {
    const one = handle();
    await one.use(put("before"));
    broken(fault, 2);
    await expect(one.use(put("after"))).rejects.toMatchObject({ fault: "broken" });
    expect(await one.use((database) => database.get("things", "a"))).toBe("before");
  });

  test("what never calls back is given up after eight seconds, twice", async () => {
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout", "Date"] });
    const one = handle();
    const never = () => new Promise<string>(() => undefined);
    const told = expect(one.use(never)).rejects.toMatchObject({ fault: "silent" });
    const began = Date.now();
    await vi.advanceTimersByTimeAsync(8000);
    await vi.advanceTimersByTimeAsync(8100);
    await told;
    expect(Date.now() - began).toBeLessThanOrEqual(16_200);
  });

  test("a full disk is told at once and nothing is opened anew", async () => {
    const one = handle();
    await one.use(put("before"));
    const opened = vi.spyOn(indexedDB, "open");
    broken("QuotaExceededError", 1);
    await expect(one.use(put("after"))).rejects.toMatchObject({ fault: "full" });
    expect(opened).not.toHaveBeenCalled();
  });

  test("what the work itself throws is no fault of the database", async () => {
    const one = handle();
    await expect(one.use(() => Promise.reject(new Error("no tray")))).rejects.toThrow("no tray");
    await expect(one.use(() => Promise.reject(new Error("no tray")))).rejects.not.toThrow(
      ShelfFault,
    );
  });
});

describe("requirement 25: an upgrade that another page stands in the way of", () => {
  test("the older page lets go, and opens anew when it needs to", async () => {
    const name = fresh("handle");
    const old = handle(name, 1);
    await old.use(put("kept"));
    const newer = handle(name, 2);
    expect(await newer.use((database) => database.get("things", "a"))).toBe("kept");
    // An older build cannot read what a newer one has changed; it must not delete it either.
    await expect(old.use(put("late"))).rejects.toMatchObject({ fault: "blocked" });
  });

  test("a page that does not let go is told of within five seconds", async () => {
    const name = fresh("handle");
    const stubborn = await new Promise<IDBDatabase>((done) => {
      const request = indexedDB.open(name, 1);
      request.onsuccess = () => {
        done(request.result);
      };
    });
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
    const told = expect(handle(name, 2).use(put("new"))).rejects.toMatchObject({
      fault: "blocked",
    });
    await new Promise((done) => setImmediate(done));
    await new Promise((done) => setImmediate(done));
    await vi.advanceTimersByTimeAsync(5000);
    await told;
    stubborn.close();
  });
});
