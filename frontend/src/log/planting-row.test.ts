import { describe, expect, test } from "vitest";
import type { Instant } from "./entry";
import {
  batchFor,
  cropRows,
  holesOf,
  isBegun,
  layoutOf,
  meantFor,
  meantOf,
  nextHole,
  recordOf,
  sum,
  tally,
  withPlanted,
  type HoleIs,
  type LayoutOf,
  type RowOf,
  type Stood,
} from "./planting-row";

const ROW: RowOf = { number: 2, first: 13, holes: 4 };
const LAYOUT: LayoutOf = {
  id: "terrace-4",
  rows: [
    ROW,
    { number: 1, first: 1, holes: 12 },
    { number: 3, first: 1, holes: 5, stands: "shelter", species: "pigeon pea" },
  ],
  meant: [
    { batch: "b-t3", first: 1, last: 14 },
    { batch: "b-t2", first: 15, last: 16 },
  ],
};

const plant = (batch: string) => ({
  ...{ batch, at: "2032-03-12T08:00:00.000Z" as Instant, entry: `e-${batch}`, state: "alive" },
  ...{ cause: null, first: true, look: null },
});
const stood = (batches: Record<string, string>, ...empty: string[]): Stood => ({
  positions: Object.fromEntries(
    Object.entries(batches).map(([name, batch]) => [name, plant(batch)]),
  ) as Stood["positions"],
  left_empty: empty,
});
const kinds = (some: readonly { is: HoleIs }[]): HoleIs[] => some.map(({ is }) => is);

describe("the holes of a row", () => {
  test("are open until somebody told of them", () => {
    expect(kinds(holesOf(ROW))).toEqual(["open", "open", "open", "open"]);
    expect(kinds(holesOf(ROW, stood({ 13: "b-t3" }, "15")))).toEqual([
      ...["planted", "open", "empty", "open"],
    ]);
  });

  test("show a tap before its record is folded", () => {
    const taps = [
      { name: "14", batch: "b-t2" },
      { name: "15", batch: null },
    ];
    const holes = holesOf(ROW, stood({ 13: "b-t3" }), taps);
    expect(kinds(holes)).toEqual(["planted", "planted", "empty", "open"]);
    expect(holes[1]).toEqual({ name: "14", is: "planted", batch: "b-t2", entry: null });
    expect(holes[0]?.entry).toBe("e-b-t3");
  });

  test("keep a plant in a hole that is tapped as left empty", () => {
    expect(holesOf(ROW, stood({ 13: "b-t3" }), [{ name: "13", batch: null }])[0]).toMatchObject({
      is: "planted",
      batch: "b-t3",
    });
  });

  test("of a shelter row are named apart", () => {
    const shelter = LAYOUT.rows.filter(({ stands }) => stands === "shelter");
    expect(shelter.flatMap((row) => holesOf(row)).map(({ name }) => name)).toEqual([
      ...["S1", "S2", "S3", "S4", "S5"],
    ]);
    expect(cropRows(LAYOUT).map(({ number }) => number)).toEqual([1, 2]);
  });
});

describe("the next hole", () => {
  test.each<[string, Record<string, string>, string[], string | null, string | null]>([
    ["of a fresh row is its first", {}, [], null, "13"],
    ["is the first that nobody told of", { 13: "b-t3" }, ["14"], null, "15"],
    ["begins where the person stands", {}, [], "15", "15"],
    ["comes back to what was taken back", { 15: "b-t2" }, [], "14", "14"],
    ["asks what was passed over once the end is reached", { 15: "x", 16: "x" }, [], "15", "13"],
    ["of a row that is told whole is none", { 13: "x", 14: "x", 15: "x" }, ["16"], null, null],
    ["of a hole that is not in the row is the first", {}, [], "77", "13"],
  ])("%s", (_, planted, empty, from, next) => {
    expect(nextHole(holesOf(ROW, stood(planted, ...empty)), from)?.name ?? null).toBe(next);
  });
});

test("quick taps before any record is folded go on hole by hole", () => {
  const taps: { name: string; batch: string }[] = [];
  for (let i = 0; i < 5; i += 1) {
    const next = nextHole(holesOf(ROW, undefined, taps), null);
    if (next) taps.push({ name: next.name, batch: "b-t2" });
  }
  expect(taps.map(({ name }) => name)).toEqual(["13", "14", "15", "16"]);
});

test("a row is told whole, begun or not begun by what is known of its holes", () => {
  expect(tally(ROW)).toEqual({ planted: 0, empty: 0, open: 4 });
  const begun = tally(ROW, stood({ 13: "b-t3", 99: "b-t3" }, "14"));
  expect(begun).toEqual({ planted: 1, empty: 1, open: 2 });
  expect([tally(ROW), begun, tally(ROW, stood({}, "13", "14", "15", "16"))].map(isBegun)).toEqual([
    ...[false, true, false],
  ]);
  expect(sum([begun, tally(ROW)])).toEqual({ planted: 1, empty: 1, open: 6 });
});

describe("whose plant comes in", () => {
  const holes = holesOf(ROW, stood({ 13: "b-t6" }));
  const next = nextHole(holes, null);
  test.each<[string, string | null, typeof holes, string | null]>([
    ["the batch that was chosen", "b-t5", holes, "b-t5"],
    ["else the one before it in the row", null, holes, "b-t6"],
    ["else what it is meant for", null, holesOf(ROW), "b-t3"],
  ])("%s", (_, chosen, some, batch) => {
    const at = some === holes ? next : nextHole(some, null);
    expect(batchFor(chosen, some, at, LAYOUT)).toBe(batch);
  });

  test("that of the one batch that is out where nothing else is known", () => {
    const plain = { id: "x", rows: [ROW] };
    const first = nextHole(holesOf(ROW), null);
    expect(batchFor(null, holesOf(ROW), first, plain, ["b-g1"])).toBe("b-g1");
    expect(batchFor(null, holesOf(ROW), first, plain, ["b-g1", "b-g2"])).toBeNull();
  });

  test("that of the last plant where the row is told whole", () => {
    expect(batchFor(null, holes, null, LAYOUT)).toBe("b-t6");
    expect(batchFor(null, holesOf(ROW, stood({}, "13")), null, LAYOUT)).toBeNull();
  });

  test("is nobody's where no batch is told or meant", () => {
    expect(batchFor(null, holesOf(ROW), null, { id: "x", rows: [] })).toBeNull();
  });

  test("follows the layout position by position", () => {
    expect(["14", "15", "17", "S1"].map((name) => meantFor(LAYOUT, name))).toEqual([
      ...["b-t3", "b-t2", null, null],
    ]);
    expect([...meantOf(LAYOUT)]).toEqual([
      ["b-t3", 14],
      ["b-t2", 2],
    ]);
    expect(meantFor({ id: "x", rows: [] }, "1")).toBeNull();
  });
});

test("a batch is short of what was planted of it, until its records say so", () => {
  const before = { out: 2, alive: 40, ledger: { alive: 40, planted: 5, died: 1 }, label: "T2" };
  const after = withPlanted(before, 1);
  expect(after).toEqual({
    ...{ out: 1, alive: 39, ledger: { alive: 39, planted: 6, died: 1 }, label: "T2" },
  });
  expect(withPlanted(after, -1)).toEqual(before);
  expect(withPlanted({ ...before, out: 0, alive: null }, 1)).toMatchObject({ out: 0, alive: null });
});

test("one tap is one record about the batch and its row", () => {
  const body = { block: "terrace-4", row: "2", positions: ["14"] };
  expect(recordOf("terrace-4", ROW, { name: "14", batch: "b-t2" })).toEqual({
    kind: "planted",
    about: ["terrace-4.2", "b-t2"],
    body,
  });
  expect(recordOf("terrace-4", ROW, { name: "14", batch: null })).toEqual({
    kind: "left_empty",
    about: ["terrace-4.2"],
    body,
  });
});

test("a row of reference is the layout of the block whose id it bears", () => {
  const { id, ...body } = LAYOUT;
  expect(layoutOf({ id, body: body })).toEqual(LAYOUT);
});
