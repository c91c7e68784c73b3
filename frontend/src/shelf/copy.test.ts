import { openDB } from "idb";
import { describe, expect, test } from "vitest";
import { fresh, NOON } from "../testing/shelf";
import { Copy, Overtaken, type Advance, type CopyLine, type Cursor } from "./copy";
import { sheavesOf } from "./sheaves";

const AT: Cursor = { epoch: "e1", seq: 0 };

let made = 0;

function line(more: Partial<CopyLine> = {}): CopyLine {
  made += 1;
  const seq = made;
  return { id: `l-${seq}`, about: ["b-1"], author: "p-1", at: NOON, text: "{}", seq, ...more };
}

async function standing(): Promise<Copy> {
  const copy = new Copy("copy-a", fresh("copy"));
  await copy.begin("snapshot");
  await copy.advance(step({}), "snapshot");
  return copy;
}

function step(more: Partial<Advance>): Advance {
  return { lines: [], rows: [], gone: [], released: [], cursor: AT, ...more };
}

function ids(lines: Iterable<CopyLine>): string[] {
  return [...lines].map(({ id }) => id);
}

/** As this phone writes it: the text alone tells of what it is about. */
function own(id: string, n: number, about: readonly string[] = ["b-1"]) {
  return { id, n, text: JSON.stringify({ about, author: "p-1", occurred_at: NOON }) };
}

describe("lines lie in sheaves, and are read one by one", () => {
  test("those about the same subjects lie together, some at a time", () => {
    const many = Array.from({ length: 120 }, () => line());
    const both = line({ about: ["b-1", "r-1"] });
    const found = sheavesOf([...many.slice(0, 60), both, ...many.slice(60)]);
    expect(found.map(({ ids }) => ids.length)).toEqual([50, 50, 20, 1]);
    expect(found.map(({ about }) => about)).toEqual([["b-1"], ["b-1"], ["b-1"], both.about]);
  });

  test("by what they are about, by who wrote when, and by their ids", async () => {
    const copy = await standing();
    const lines = [
      line({ at: "2031-03-03T09:00:00.000Z" }),
      line({ at: "2031-03-03T08:00:00.000Z" }),
      line({ about: ["b-1", "r-1"], author: "p-2" }),
      line({ at: "2031-03-04T08:00:00.000Z" }),
      line({ about: ["r-1"], at: "2031-03-03T08:00:00.000Z" }),
    ] as const;
    const [nine, eight, both, next, room] = ids(lines);
    await copy.advance(step({ lines }), AT);
    expect(ids(await copy.about("b-1"))).toEqual([nine, eight, both, next]);
    expect(ids(await copy.about("r-1"))).toEqual([both, room]);
    const day = ["2031-03-03T08:00:00.000Z", "2031-03-03T09:00:00.000Z"] as const;
    expect(ids(await copy.by("p-1", ...day))).toEqual([eight, room, nine]);
    expect(ids(await copy.by("p-1", day[0], day[0]))).toEqual([eight, room]);
    expect(ids((await copy.lines([eight ?? "", "none"])).values())).toEqual([eight]);
    expect(await copy.line("none")).toBeNull();
    expect(await copy.line(both ?? "")).toEqual(lines[2]);
    expect((await copy.stale()).sort()).toEqual(["b-1", "r-1"]);
  });

  test("told again, what was told last holds", async () => {
    const copy = await standing();
    const first = line();
    await copy.advance(step({ lines: [first, line()] }), AT);
    await copy.advance(step({ lines: [{ ...first, text: "[]" }] }), AT);
    expect((await copy.line(first.id))?.text).toBe("[]");
    expect(await copy.about("b-1")).toHaveLength(2);
  });

  test("a line that counts from now on, and one whose words are gone, leave those beside them", async () => {
    const copy = await standing();
    const [aside, gone, beside] = [line({ setAside: true }), line(), line()];
    const alone = line({ about: ["b-2"] });
    await copy.advance(step({ lines: [aside, gone, beside, alone] }), AT);
    await copy.fold(["b-1", "b-2"], () => null);
    await copy.advance(step({ released: [aside.id], erased: [gone.id, alone.id, "none"] }), AT);
    const left = await copy.about("b-1");
    expect(left.map(({ id, setAside }) => [id, setAside])).toEqual([
      [aside.id, false],
      [beside.id, undefined],
    ]);
    expect(await copy.about("b-2")).toEqual([]);
    expect(await copy.line(gone.id)).toBeNull();
    expect(await copy.stale()).toEqual(["b-1", "b-2"]);
  });
});

describe("what this phone wrote lies apart until it comes back", () => {
  test("it is there once, under the number that the feed gave", async () => {
    const copy = await standing();
    const [fed, mine] = [line(), line()];
    await copy.advance(step({ lines: [fed] }), AT);
    expect(await copy.takeIn([])).toEqual([]);
    await copy.takeIn([own(fed.id, 1), own(mine.id, 2)]);
    expect(await copy.ownUpTo()).toBe(2);
    const seqs = async () => (await copy.about("b-1")).map(({ seq }) => seq);
    expect(await seqs()).toEqual([fed.seq, null]);
    await copy.advance(step({ lines: [line(), mine] }), AT);
    expect(await seqs()).toEqual([fed.seq, mine.seq, made]);
    expect(await copy.lines([mine.id])).toEqual(new Map([[mine.id, mine]]));
  });

  test("told of something else under its id, what it was about is folded anew too", async () => {
    const copy = await standing();
    const told = line({ about: ["b-2"] });
    await copy.takeIn([own(told.id, 1)]);
    await copy.fold(["b-1"], () => null);
    await copy.advance(step({ lines: [told] }), AT);
    expect(await copy.stale()).toEqual(["b-1", "b-2"]);
    expect(await copy.about("b-1")).toEqual([]);
  });
});

test("whoever stands elsewhere moves nothing", async () => {
  const copy = await standing();
  const moved = copy.advance(step({ lines: [line()] }), { epoch: "e1", seq: 7 });
  await expect(moved).rejects.toThrow(Overtaken);
  expect(await copy.about("b-1")).toEqual([]);
});

test("subjects are folded together, and what nothing is told of any more goes", async () => {
  const copy = await standing();
  await copy.advance(step({ lines: [line(), line({ about: ["b-2"] })] }), AT);
  const state = (id: string, lines: readonly CopyLine[]) =>
    lines.length > 0 ? { id, what: "batch" as const, state: { lines: lines.length } } : null;
  expect(await copy.fold(["b-1", "b-2", "b-3"], state)).toHaveLength(2);
  expect(await copy.states()).toHaveLength(2);
  await copy.advance(step({ erased: ids(await copy.about("b-1")) }), AT);
  expect(await copy.fold(["b-1"], state)).toEqual([]);
  expect(ids((await copy.states()) as unknown as CopyLine[])).toEqual(["b-2"]);
});

describe("a newer build finds what an older one kept", () => {
  async function older(version: number): Promise<Copy> {
    const name = fresh("copy");
    const disk = await openDB(name, version, {
      upgrade: (database) => {
        database.createObjectStore("lines", { keyPath: "id" });
        database.createObjectStore("rows", { keyPath: ["type", "id"] });
        database.createObjectStore("folded", { keyPath: "id" });
        for (const store of ["stale", "told"]) database.createObjectStore(store);
      },
    });
    await disk.put("lines", line({ id: "fed" }));
    await disk.put("lines", line({ id: "own", seq: null }));
    await disk.put("rows", { type: "place", id: "r-1", rev: 1, body: {} });
    await disk.put("told", AT, "cursor");
    disk.close();
    return new Copy("copy-a", name);
  }

  test("lines that were rows of their own lie in sheaves, and the feed goes on", async () => {
    const copy = await older(2);
    expect(ids(await copy.about("b-1"))).toEqual(["fed", "own"]);
    expect([await copy.cursor(), (await copy.rows()).length]).toEqual([AT, 1]);
    await copy.advance(step({ lines: [line({ id: "own", seq: 9 })] }), AT);
    expect((await copy.about("b-1")).map(({ seq }) => seq)).not.toContain(null);
  });

  test("one that cannot be brought over is no copy, and is not taken for one", async () => {
    const name = fresh("copy");
    const disk = await openDB(name, 2, {
      upgrade: (database) => {
        database.createObjectStore("lines", { keyPath: "id" });
      },
    });
    await disk.put("lines", { id: "no line" });
    disk.close();
    const copy = new Copy("copy-a", name);
    await expect(copy.cursor()).rejects.toMatchObject({ fault: "broken" });
    await copy.destroy();
    expect(await copy.cursor()).toBeNull();
  });

  test("what is older still is pulled anew", async () => {
    const copy = await older(1);
    expect([await copy.cursor(), await copy.rows(), await copy.about("b-1")]).toEqual([
      null,
      [],
      [],
    ]);
  });
});

test("all that a start shows is read at one moment", async () => {
  const copy = await standing();
  const row = { type: "person", id: "p-1", rev: 1, body: { role: "grower" } };
  await copy.advance(step({ lines: [line({ about: ["b-1"] })], rows: [row] }), AT);
  await copy.tell("heard", NOON);
  const before = await copy.all();
  expect(before).toMatchObject({ cursor: AT, heard: NOON, stale: 1, rows: [row], states: [] });
  expect([before.own, before.outlook, before.growers]).toEqual([undefined, null, undefined]);
  const state = { id: "b-1", what: "batch", state: {} } as const;
  await copy.fold(["b-1"], () => state);
  await copy.takeIn([own("o-1", 7)]);
  expect(await copy.all()).toMatchObject({ own: 7, stale: 1, states: [state] });
});
