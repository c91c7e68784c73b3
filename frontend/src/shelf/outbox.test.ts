import { beforeEach, describe, expect, test, vi } from "vitest";
import { composed, fresh, lose, LOSS, NOON, NURSERY, pen } from "../testing/shelf";
import { ShelfFault } from "./handle";
import { NotJoined, Outbox, type Outcome, type OutboxRow } from "./outbox";

const JOINED = { install: "i-1", device: "d-1", nursery: NURSERY, epoch: "e1" };
let outbox: Outbox;

beforeEach(async () => {
  outbox = new Outbox(fresh("outbox"));
  await outbox.know(JOINED);
});

function only(rows: readonly OutboxRow[]): OutboxRow {
  const [row] = rows;
  if (!row) throw new Error("nothing was saved");
  return row;
}

function outcomes(rows: readonly OutboxRow[], first = 1): Map<string, Outcome> {
  return new Map(rows.map(({ id }, i) => [id, { id, status: "stored", seq: first + i }]));
}

async function came(rows: readonly OutboxRow[], first = 1): Promise<void> {
  await outbox.seen(rows.map(({ id, text }, i) => ({ id, text, seq: first + i })));
}

async function states(): Promise<string[]> {
  return (await outbox.rows()).map(({ state }) => state);
}

describe("saving", () => {
  test("numbers run on without holes and ids never go back", async () => {
    await lose(outbox, 2);
    await lose(outbox, 1, pen({ now: "2030-01-01T00:00:00.000Z" as typeof NOON }));
    const rows = await outbox.rows();
    expect(rows.map(({ n }) => n)).toEqual([1, 2, 3]);
    expect(rows.map(({ id }) => id)).toEqual(rows.map(({ id }) => id).sort());
    expect(await outbox.own()).toMatchObject({ n: 3, lastId: rows[2]?.id });
  });

  test("of records that are one act all are kept, or none", async () => {
    const broken = () => {
      throw new Error("no such tray");
    };
    await expect(outbox.save(NOON, [composed(), broken])).rejects.toThrow("no such tray");
    expect(await outbox.rows()).toEqual([]);
    expect(await outbox.own()).toMatchObject({ n: 0 });
  });

  test("where the disk turns one of them down none is kept, and no number is used up", async () => {
    const twice = () => ({ id: "same", text: "{}" });
    await expect(outbox.save(NOON, [composed(), twice, twice])).rejects.toThrow(ShelfFault);
    expect(await outbox.rows()).toEqual([]);
    expect(await outbox.own()).toMatchObject({ n: 0 });
    expect((await lose(outbox, 1)).map(({ n }) => n)).toEqual([1]);
  });

  test("a phone that has not joined keeps nothing and says so", async () => {
    await expect(lose(new Outbox(fresh("outbox")), 1)).rejects.toThrow(NotJoined);
  });

  test("what was kept although the browser never called back is not saved twice", async () => {
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
    const begin = Reflect.get<IDBDatabase, "transaction">(IDBDatabase.prototype, "transaction");
    let deaf = true;
    vi.spyOn(IDBDatabase.prototype, "transaction").mockImplementation(function (
      this: IDBDatabase,
      ...asked: Parameters<IDBDatabase["transaction"]>
    ) {
      const work = begin.apply(this, asked);
      if (deaf) Object.defineProperty(work, "oncomplete", { set: () => (deaf = false) });
      return work;
    });
    const saving = lose(outbox, 2);
    await new Promise((done) => setImmediate(done));
    await vi.advanceTimersByTimeAsync(8000);
    const rows = await saving;
    vi.useRealTimers();
    vi.restoreAllMocks();
    expect(deaf).toBe(false);
    expect(await outbox.rows()).toEqual(rows);
    expect(rows).toHaveLength(2);
  });
});

describe("what becomes of a record", () => {
  test("an answer ends sending, and the feed's same bytes are the proof", async () => {
    const rows = await lose(outbox, 3);
    await outbox.acked(outcomes(rows), 0);
    expect(await states()).toEqual(["acked", "acked", "acked"]);
    await came(rows.slice(0, 2));
    expect(await states()).toEqual(["seen", "seen", "acked"]);
  });

  test("an answer that comes late does not undo what the feed has shown", async () => {
    const rows = await lose(outbox, 1);
    await came(rows, 7);
    await outbox.acked(new Map(rows.map(({ id }) => [id, { id, status: "known", seq: 7 }])), 0);
    expect(await states()).toEqual(["seen"]);
  });

  test("other bytes under its id are no proof, and a person is told", async () => {
    const row = only(await lose(outbox, 1));
    const { id, text } = row;
    await outbox.acked(outcomes([row]), 99);
    await outbox.seen([{ id, text: text.replace("died", "culled"), seq: 1 }]);
    expect(await outbox.rows()).toMatchObject([{ state: "acked", trouble: "differs", text }]);
    expect(await outbox.prune()).toBe(0);
  });

  test("what is kept raw or set aside stays on the row", async () => {
    const row = only(await lose(outbox, 1));
    const { id } = row;
    const outcome = { id, status: "kept_raw", code: "unreadable", ref: "r-88" };
    await outbox.acked(new Map([[id, outcome]]), 0);
    expect(await outbox.rows()).toMatchObject([{ state: "acked", outcome }]);
  });

  test.each([
    ["queued", 0, 1],
    ["acked", 9, 1],
    ["seen", 0, 1],
    ["seen", 1, 0],
  ])("%s and a tested backup up to %i: %i left", async (state, durable, left) => {
    const rows = await lose(outbox, 1);
    if (state !== "queued") await outbox.acked(outcomes(rows), durable);
    if (state === "seen") await came(rows);
    await outbox.prune();
    expect(await outbox.rows()).toHaveLength(left);
  });

  test("what the office turns down waits for a person and holds back nobody", async () => {
    const rows = await lose(outbox, 3);
    const bad = only(rows.slice(0, 1));
    const good = rows.slice(1);
    await outbox.troubled(bad.id, "refused");
    const parcel = await outbox.parcel(200);
    expect(parcel?.rows.map(({ id }) => id)).toEqual(good.map(({ id }) => id));
    expect(parcel?.count).toBe(3);
    expect(await outbox.waiting()).toMatchObject({ count: 3, oldest: NOON });
  });

  test("over what the office fails is sent alone", async () => {
    const [bad, good] = await lose(outbox, 2);
    await outbox.troubled(bad?.id ?? "", "stuck");
    const parcel = await outbox.parcel(200);
    expect(parcel?.rows.map(({ id }) => id)).toEqual([good?.id]);
    expect(parcel?.stuck.map(({ id }) => id)).toEqual([bad?.id]);
    expect(parcel?.count).toBe(2);
  });

  test("a parcel is never larger than a push may be", async () => {
    const text = "x".repeat(300_000);
    const long = composed({ ...LOSS, body: { count: 1, fate: "died", cause: text } });
    await outbox.save(NOON, [long, long, long, long, long]);
    expect((await outbox.parcel(200))?.rows).toHaveLength(3);
    expect((await outbox.parcel(2))?.rows).toHaveLength(2);
  });
});

describe("a book that was made anew", () => {
  const after = { epoch: "e2", copy: "copy-b" } as const;

  test("what it lacks is sent again, what it has stands under its new number", async () => {
    const rows = await lose(outbox, 4);
    await outbox.acked(outcomes(rows, 10), 0);
    await came(rows, 10);
    const [gone, has, closed] = rows as [OutboxRow, OutboxRow, OutboxRow];
    const lines = new Map([[has.id, { id: has.id, text: has.text, seq: 2 }]]);
    const own = await outbox.own();
    if (!own) throw new Error("no phone");
    expect(await outbox.meet(own, after, new Set([gone.id]), lines)).toBe(true);
    const found = await outbox.rows();
    expect(found.map(({ state }) => state)).toEqual(["queued", "seen", "acked", "acked"]);
    expect(found.map(({ outcome }) => outcome?.seq)).toEqual([undefined, 2, undefined, undefined]);
    expect(found[2]?.id).toBe(closed.id);
    expect(await outbox.own()).toMatchObject({ ...after, durable: 0 });
    await outbox.acked(new Map(), 99);
    await outbox.prune();
    expect(await states()).toEqual(["queued", "acked", "acked"]);
  });

  test("whoever comes second changes nothing", async () => {
    const own = await outbox.own();
    if (!own) throw new Error("no phone");
    expect(await outbox.meet(own, after, new Set(), new Map())).toBe(true);
    expect(await outbox.meet(own, after, new Set(), new Map())).toBe(false);
  });
});

describe("joining", () => {
  test("anew in the same nursery goes on with its numbers", async () => {
    await lose(outbox, 3);
    await outbox.know({ ...JOINED, device: "d-2" });
    expect(await outbox.own()).toMatchObject({ device: "d-2", n: 3 });
    expect((await outbox.parcel(200))?.rows).toHaveLength(3);
  });

  test("another nursery never gets what was written for the first", async () => {
    const rows = await lose(outbox, 3);
    await outbox.acked(outcomes(rows.slice(0, 1)), 0);
    await outbox.know({ ...JOINED, install: "i-2", nursery: { ...NURSERY, id: "other" } });
    const [mine] = await lose(outbox, 1, pen({ install: "i-2" }));
    const parcel = await outbox.parcel(200);
    expect(parcel).toMatchObject({ count: 1, rows: [{ id: mine?.id, n: 1 }] });
    expect(await outbox.waiting()).toMatchObject({ count: 3 });
    await came(rows);
    await outbox.acked(outcomes(rows), 99);
    await outbox.prune();
    expect(await outbox.rows()).toHaveLength(4);
  });
});
