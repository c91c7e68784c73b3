import { describe, expect, test } from "vitest";
import { verdict } from "../../log/gate";
import { Seats } from "../../log/seats";
import type { KeptBatch } from "../../shelf/folding";
import { actOf, siblings, standsOf, worst } from "./moving";

const seat = (id: string, kind: string, parent: string | null, walk = 1) => ({
  id,
  body: { name: id, kind, parent, walk },
});
const SEATS = new Seats([
  seat("site", "nursery", null),
  seat("q", "room", "site", 1),
  seat("ante", "anteroom", "q"),
  seat("bench-2", "bench", "q", 2),
  seat("bench-1", "bench", "q", 1),
  seat("trap", "trap", "q"),
  seat("sh", "house", "site", 2),
]);

test("plants stand on benches and in rooms, not in traps, in walking order", () => {
  expect(standsOf(SEATS, null)).toEqual([
    { id: "q", depth: 0 },
    { id: "bench-1", depth: 1 },
    { id: "bench-2", depth: 1 },
    { id: "sh", depth: 0 },
  ]);
});

test("the places of its own room come first", () => {
  expect(standsOf(SEATS, "sh").map(({ id }) => id)).toEqual(["sh", "q", "bench-1", "bench-2"]);
});

test.each([
  ["bench-1", "bench-2", "moving_inside"],
  ["bench-1", "q", "moving_inside"],
  ["bench-1", "sh", "moving"],
  [null, "bench-1", "moving"],
])("from %s to %s is %s", (from, to, act) => {
  expect(actOf(from, to, SEATS)).toBe(act);
});

describe("with a tray", () => {
  const batch = (id: string, more: Partial<KeptBatch> = {}): KeptBatch =>
    ({ id, consignment: "c", place: "bench-1", closed: false, ...more }) as KeptBatch;
  const all = [
    batch("t1"),
    batch("t2"),
    batch("t3", { place: "bench-2" }),
    batch("t4", { closed: true }),
    batch("oc", { consignment: "d" }),
  ];
  test("go those of its consignment that live and stand where it does", () => {
    expect(siblings(batch("t1"), all).map(({ id }) => id)).toEqual(["t2"]);
  });
  test("of no consignment, or that stands nowhere, go none", () => {
    expect(siblings(batch("x", { consignment: null }), all)).toEqual([]);
    expect(siblings(batch("x", { place: null }), all)).toEqual([]);
  });
});

test("the worst answer counts for all", () => {
  const [yes, wait, no] = [verdict("yes", "a"), verdict("wait", "b"), verdict("no", "c")];
  expect(worst([wait, no, yes])).toBe(no);
  expect(worst([])).toBeNull();
});
