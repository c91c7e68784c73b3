import { expect, test } from "vitest";
import type { BatchView, RowView } from "../../net/views";
import { groupsOf, roomOf, toggled } from "./groups";

const place = (id: string, kind: string, parent: string | null): RowView => ({
  id,
  body: { name: id, kind, parent },
});
const PLACES = [
  place("site", "nursery", null),
  place("room", "room", "site"),
  place("bench", "bench", "room"),
  place("bed", "bed", "site"),
  place("ring-a", "bed", "ring-b"),
  place("ring-b", "bed", "ring-a"),
];
const ROWS = new Map(PLACES.map((row) => [row.id, row]));

function batch(id: string, consignment: string | null, where: string | null): BatchView {
  return { id, consignment, place: where } as BatchView;
}

test.each([
  ["bench", "room"],
  ["room", "room"],
  ["bed", "bed"],
  ["nowhere", "nowhere"],
  ["site", "site"],
  [null, null],
])("the room of %s is %s", (id, room) => {
  expect(roomOf(id, ROWS)).toBe(room);
});

test("places that go round in a ring end", () => {
  expect(["ring-a", "ring-b"]).toContain(roomOf("ring-a", ROWS));
});

test("what came together and what stands together is chosen by one tap", () => {
  const batches = [
    batch("t1", "con-1", "bench"),
    batch("t2", "con-1", "room"),
    batch("oc1", null, "bench"),
    batch("pa1", "con-2", "bed"),
    batch("lost", null, null),
  ];
  expect(groupsOf(batches, PLACES)).toEqual([
    { key: "consignment con-1", what: "consignment", id: "con-1", batches: ["t1", "t2"] },
    { key: "place room", what: "place", id: "room", batches: ["t1", "t2", "oc1"] },
  ]);
});

test.each([
  [[], ["a", "b"], ["a", "b"]],
  [["a"], ["a", "b"], ["a", "b"]],
  [["a", "b", "c"], ["a", "b"], ["c"]],
])("of %j a tap on %j leaves %j", (before, some, after) => {
  expect([...toggled(new Set(before), some)].sort()).toEqual(after);
});
