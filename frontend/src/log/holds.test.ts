import { expect, test } from "vitest";
import { entry, idOf, type Raw } from "../testing/entries";
import type { Entry } from "./entry";
import * as fold from "./fold";
import { provisional, roomOf, type Site } from "./holds";

const SITES = new Map<string, Site>(
  [
    { id: "n", parent: null, room: false },
    { id: "q", parent: "n", room: true },
    { id: "bench-1", parent: "q", room: false },
    { id: "bench-2", parent: "q", room: false },
    { id: "open", parent: "n", room: false },
    { id: "ring-1", parent: "ring-2", room: false },
    { id: "ring-2", parent: "ring-1", room: false },
    { id: "lost", parent: "gone", room: false },
  ].map((site) => [site.id, site]),
);
const stands = (batch: string, place: string): Raw => ({
  kind: "received",
  body: { consignment: "c", batches: [{ id: batch, label: batch }], place },
  about: [batch],
});
const BATCHES = [
  ["b-1", "bench-1"],
  ["b-2", "bench-2"],
  ["b-3", "open"],
  ["b-5", "nowhere"],
].map(([id = "", place = ""]) => fold.batch(id, [entry(stands(id, place))]));
const NOWHERE = fold.batch("b-4", []);
const PLACES = ["q", "open"].map((id) =>
  fold.place(id, [
    entry({ id: 1, kind: "entered", body: { person: `at-${id}` }, about: [id] }),
    entry({ id: 2, kind: "entered", body: { person: "p-1" }, about: [id] }),
  ]),
);
const find = (about: string[], suspicion = true): Entry =>
  entry({ id: 5, kind: "found", body: { suspicion }, about });

function held(...entries: Entry[]) {
  return provisional(entries, [...BATCHES, NOWHERE], PLACES, SITES);
}

test("a suspicion holds every batch of its room, and lists who was inside", () => {
  expect(held(find(["b-1"]))).toEqual([
    { find: idOf(5), room: "q", batches: ["b-1", "b-2"], people: ["at-q", "p-1"] },
  ]);
});

test("a suspicion about a place holds what stands there", () => {
  expect(held(find(["bench-2"]))[0]?.batches).toEqual(["b-1", "b-2"]);
});

test("a batch that stands nowhere is held alone", () => {
  expect(held(find(["b-4"]))).toEqual([
    { find: idOf(5), room: null, batches: ["b-4"], people: [] },
  ]);
});

test("what is no suspicion holds nothing", () => {
  expect(held(find(["b-1"], false), entry(stands("b-1", "q")))).toEqual([]);
});

test.each([
  ["bench-1", "q"],
  ["q", "q"],
  ["open", "n"],
  ["lost", "lost"],
  ["nowhere", null],
])("the room of %s is %s", (place, room) => {
  expect(roomOf(place, SITES)).toBe(room);
});

test("places that lie in each other have a room all the same", () => {
  expect(roomOf("ring-1", SITES)).not.toBeNull();
});
