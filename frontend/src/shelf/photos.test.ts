import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Draft } from "../log/write";
import { composed, fresh, LOSS, NOON, NURSERY } from "../testing/shelf";
import { ShelfFault } from "./handle";
import { Outbox } from "./outbox";
import { Photos, sum, type Captured, type PhotoFact, type PhotoOf } from "./photos";
import { Reserve } from "./reserve";

const LATER = "2031-03-03T03:00:00.000Z";
let outbox: Outbox;
let name: string;
let reserve: Reserve;
let photos: Photos;

beforeEach(async () => {
  outbox = new Outbox(fresh("outbox"));
  await outbox.know({ install: "i-1", device: "d-1", nursery: NURSERY, epoch: "e1" });
  name = fresh("photos");
  reserve = new Reserve(fresh("reserve"));
  photos = new Photos(outbox, name, reserve);
});
afterEach(() => {
  vi.restoreAllMocks();
});

function captured(bytes = 300, sha256 = "aa"): Captured {
  const [data, thumb] = [bytes, 40].map(
    (size) => new Blob([new Uint8Array(size)], { type: "image/jpeg" }),
  ) as [Blob, Blob];
  return { data, thumb, sha256, width: 1600, height: 1200 };
}

function of(id: string, more: Partial<PhotoOf> = {}): PhotoOf {
  return { id, subject: "b-t4", shows: "underside", takenAt: NOON, ...more };
}

function photographed(photo: string): Draft {
  const body = { photo, sha256: "aa", width: 1600, height: 1200, shows: "underside" };
  return { kind: "photographed", about: ["b-t4"], body };
}

/** Save records that name pictures, as an act of a screen does. */
async function saved(...names: string[]) {
  const records = [LOSS, ...names.map(photographed)].map((draft) => composed(draft));
  return outbox.save(NOON, records);
}

async function answered(rows: Awaited<ReturnType<typeof saved>>): Promise<void> {
  await outbox.acked(new Map(rows.map(({ id }) => [id, { id, status: "stored", seq: 1 }])), 0);
}

async function told(...ids: string[]): Promise<PhotoFact["state"][]> {
  return (await photos.facts(ids)).map(({ state }) => state);
}

/** Let every write of this kind of value be turned down, as some browsers do. */
function turnDown(wrong: (value: unknown) => boolean, fault: string): void {
  // eslint-disable-next-line @typescript-eslint/unbound-method -- called on the store it is for
  const put = IDBObjectStore.prototype.put;
  vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(function (
    this: IDBObjectStore,
    ...[value, key]: Parameters<typeof put>
  ) {
    if (wrong(value)) throw new DOMException("no", fault);
    return put.call(this, value, key);
  });
}

const isFile = (value: unknown): boolean => (value as { data?: unknown }).data !== undefined;
const isRoom = (value: unknown): boolean => value instanceof Blob;
const isBlob = (value: unknown): boolean =>
  isRoom(value) || (value as { data?: unknown }).data instanceof Blob;

describe("keeping", () => {
  test("a picture is on the disk, whole and small, before anything names it", async () => {
    const fact = await photos.keep(captured(), of("f-1"));
    expect(fact).toMatchObject({ bytes: 300, width: 1600, state: "kept", entry: null });
    const again = new Photos(outbox, name, reserve);
    expect(await again.facts(["f-1", "f-9"])).toEqual([fact]);
    expect((await again.file("f-1", "data"))?.size).toBe(300);
    expect((await again.file("f-1", "thumb"))?.size).toBe(40);
    expect(await again.file("f-9", "data")).toBeNull();
  });

  test("both parts of it are written in one strict transaction", async () => {
    const begun = vi.spyOn(IDBDatabase.prototype, "transaction");
    await photos.keep(captured(), of("f-1"));
    const writes = begun.mock.calls.filter(([stores]) => stores.includes("facts"));
    expect(writes).toEqual([[["facts", "files"], "readwrite", { durability: "strict" }]]);
  });

  test("where the browser can keep no blobs the bytes are kept", async () => {
    turnDown(isBlob, "DataCloneError");
    await photos.keep(captured(), of("f-1"));
    const found = await photos.file("f-1", "data");
    expect([found?.size, found?.type]).toEqual([300, "image/jpeg"]);
  });

  test("on a full disk nothing of it is kept, and that is said", async () => {
    turnDown(isFile, "QuotaExceededError");
    await expect(photos.keep(captured(), of("f-1"))).rejects.toMatchObject({ fault: "full" });
    expect(await photos.all()).toEqual([]);
  });
});

describe("on a full phone", () => {
  test("a record is saved in the room that pictures left to it", async () => {
    await photos.keep(captured(), of("f-1"));
    const gone = vi.spyOn(IDBObjectStore.prototype, "delete");
    const save = () =>
      gone.mock.calls.length > 0
        ? Promise.resolve("saved")
        : Promise.reject(new ShelfFault("full"));
    expect(await photos.making(save)).toBe("saved");
    expect(gone.mock.calls).toEqual([["room"]]);
    // The next picture wants it back first.
    turnDown(isRoom, "QuotaExceededError");
    await expect(photos.keep(captured(), of("f-2"))).rejects.toMatchObject({ fault: "full" });
  });

  test("the room is taken once, before the first picture", async () => {
    const put = vi.spyOn(IDBObjectStore.prototype, "put");
    await photos.keep(captured(), of("f-1"));
    await photos.keep(captured(), of("f-2"));
    const rooms = put.mock.calls.map(([value]) => isRoom(value));
    expect(rooms).toEqual([true, false, false, false, false]);
  });

  test("and where there is not so much of it, no picture is kept", async () => {
    turnDown(isRoom, "QuotaExceededError");
    await expect(photos.keep(captured(), of("f-1"))).rejects.toMatchObject({ fault: "full" });
    expect(await photos.all()).toEqual([]);
  });

  test("what fails for another reason is not tried again", async () => {
    const work = vi.fn(() => Promise.reject(new ShelfFault("broken")));
    await expect(photos.making(work)).rejects.toMatchObject({ fault: "broken" });
    expect(work).toHaveBeenCalledOnce();
  });
});

describe("naming", () => {
  test("a picture waits for the office once a record names it, and is loose before", async () => {
    await photos.keep(captured(300), of("f-1"));
    await photos.keep(captured(500), of("f-2", { takenAt: LATER }));
    expect(await photos.waiting()).toEqual({ count: 0, bytes: 0 });
    const rows = await saved("f-1");
    await photos.name(rows);
    expect((await photos.facts(["f-1"]))[0]?.entry).toBe(rows[1]?.id);
    expect((await photos.loose()).map(({ id }) => id)).toEqual(["f-2"]);
    expect(await photos.waiting()).toEqual({ count: 1, bytes: 300 });
  });

  test("it is described once the office answered for the record, and not before", async () => {
    await photos.keep(captured(), of("f-1"));
    const rows = await saved("f-1");
    await photos.name(rows);
    await photos.settle();
    expect(await told("f-1")).toEqual(["kept"]);
    await answered(rows);
    await photos.settle();
    expect(await told("f-1")).toEqual(["described"]);
    expect(await photos.waiting()).toEqual({ count: 1, bytes: 300 });
  });

  test("a page killed after saving finds what its records name", async () => {
    await photos.keep(captured(), of("f-1"));
    await saved("f-1");
    const again = new Photos(outbox, name, reserve);
    expect(await again.loose()).toEqual([]);
    expect(await again.waiting()).toEqual({ count: 1, bytes: 300 });
  });

  test("what could not be noted at once is noted by the next round", async () => {
    await photos.keep(captured(), of("f-1"));
    const rows = await saved("f-1");
    expect(await photos.loose()).toEqual([]);
    await photos.keep(captured(), of("f-2"));
    const more = await saved("f-2");
    turnDown(() => true, "QuotaExceededError");
    await photos.name(more);
    await photos.settle();
    vi.restoreAllMocks();
    expect((await photos.facts(["f-2"]))[0]?.entry).toBeNull();
    await answered([...rows, ...more]);
    await photos.settle();
    expect(await told("f-1", "f-2")).toEqual(["described", "described"]);
  });

  test("a record that says the word and names no picture names none", async () => {
    await photos.keep(captured(), of("f-1"));
    const note: Draft = { kind: "noted", about: ["b-t4"], body: { text: '"photographed"' } };
    await photos.name(await outbox.save(NOON, [composed(note)]));
    expect((await photos.loose()).map(({ id }) => id)).toEqual(["f-1"]);
  });
});

describe("nothing is dropped", () => {
  test("but a picture that no record names, by a person's wish", async () => {
    await photos.keep(captured(), of("f-1"));
    await photos.keep(captured(), of("f-2"));
    await photos.name(await saved("f-1"));
    expect(await photos.drop("f-1")).toBe(false);
    expect(await photos.drop("f-2")).toBe(true);
    expect((await photos.all()).map(({ id }) => id)).toEqual(["f-1"]);
    expect(await photos.file("f-2", "data")).toBeNull();
    expect(await photos.file("f-1", "data")).not.toBeNull();
  });

  test("and the phone may be emptied once all that records name stands in a file", async () => {
    expect(await photos.mayGo()).toBe(true);
    await photos.keep(captured(), of("f-1"));
    expect(await photos.mayGo()).toBe(true);
    await photos.name(await saved("f-1"));
    expect(await photos.mayGo()).toBe(false);
    await photos.exported(["f-1"]);
    expect(await photos.mayGo()).toBe(true);
    await photos.destroy();
    expect(await photos.all()).toEqual([]);
  });

  test("a shelf that cannot be read tells what waited when it was read last", async () => {
    await photos.keep(captured(), of("f-1"));
    await photos.name(await saved("f-1"));
    await photos.waiting();
    const shut = vi.spyOn(IDBObjectStore.prototype, "getAll").mockImplementation(() => {
      throw new DOMException("gone", "InvalidStateError");
    });
    expect(await photos.waiting()).toEqual({ count: 1, bytes: 300 });
    await expect(photos.all()).rejects.toThrow(ShelfFault);
    expect(shut).toHaveBeenCalled();
  });
});

test("the same picture is known by its bytes, whatever it is called", async () => {
  await photos.keep(captured(300, "aa"), of("f-1", { subject: "b-t3" }));
  await photos.keep(captured(300, "bb"), of("f-2"));
  const fact = await photos.keep(captured(300, "aa"), of("f-3"));
  expect((await photos.twins(fact)).map(({ subject }) => subject)).toEqual(["b-t3"]);
  expect(sum(await photos.all())).toBe(900);
});
