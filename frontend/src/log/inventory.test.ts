import { expect, test } from "vitest";
import { byLabel, groups, type Item, withTheirParents } from "./inventory";

const item = (label: string | null, more: Partial<Item> = {}): Item => ({
  ...{ id: `b-${label ?? "x"}`, label, place: "bench-1", consignment: "c-1", crop: "lime" },
  ...{ alive: 10, ...more },
});
const WALK = {
  roomOf: (place: string) => (place.startsWith("bench") ? "q" : place),
  turnOf: (place: string) => ["bench-1", "bench-2", "shade"].indexOf(place),
};
const labels = (some: readonly Item[]): (string | null)[] => some.map(({ label }) => label);

test("what came together stands together, in the order of the benches", () => {
  const stock = [
    item("T10"),
    item("T3", { place: "bench-2" }),
    item("T2"),
    item("U", { place: null, crop: "other" }),
    item("R1", { consignment: null, crop: "rootstock", place: "shade", alive: null }),
    item("X1", { consignment: null, crop: null }),
  ];
  const found = groups(stock, WALK);
  expect(
    found.map(({ consignment, crop, alive, count }) => [consignment, crop, alive, count]),
  ).toEqual([
    ["c-1", null, 40, 4],
    [null, null, 10, 1],
    [null, "rootstock", 0, 1],
  ]);
  expect(found[0]?.rooms.map(({ room, items }) => [room, ...labels(items)])).toEqual([
    ["q", "T2", "T10", "T3"],
    [null, "U"],
  ]);
});

test("what was split or lost its label stands with what it came from, where that is one", () => {
  const child = (label: string, parents: string[], more: Partial<Item> = {}) => ({
    ...item(label, { consignment: null, ...more }),
    parents,
  });
  const found = withTheirParents([
    { ...item("T1"), parents: [] },
    { ...item("T2", { consignment: "c-2" }), parents: [] },
    child("T7", ["b-T1"]),
    child("T8", ["b-T7", "b-gone"]),
    child("U", ["b-T1", "b-T2"]),
    child("A", ["b-B"]),
    child("B", ["b-A"]),
    child("R", []),
  ]);
  expect(found.map(({ consignment }) => consignment)).toEqual([
    "c-1",
    "c-2",
    "c-1",
    "c-1",
    null,
    null,
    null,
    null,
  ]);
});

test("nothing has no groups", () => {
  expect(groups([], WALK)).toEqual([]);
});

test.each([
  ["T3", "T21"],
  ["T3", "T3b"],
  ["A9", "B1"],
  ["T3", "TX"],
])("%s comes before %s", (first, second) => {
  expect(byLabel(item(first), item(second))).toBeLessThan(0);
  expect(byLabel(item(second), item(first))).toBeGreaterThan(0);
});

test("of two alike the id decides, and stands for a label that is not there", () => {
  expect(byLabel(item("T1", { id: "a" }), item("T1", { id: "b" }))).toBeLessThan(0);
  expect(byLabel(item(null, { id: "T2" }), item("T3"))).toBeLessThan(0);
  expect(byLabel(item("T3"), item(null, { id: "T2" }))).toBeGreaterThan(0);
});
