import { expect, test } from "vitest";
import { entry, idOf, instant, type Raw } from "../testing/entries";
import { batchJson } from "./batch";
import type { Entry } from "./entry";
import * as fold from "./fold";
import { provisional } from "./holds";
import { lately } from "./lately";
import { placeJson } from "./place";
import { Seats } from "./seats";

const place = (id: string, kind: string, parent: string | null) => ({ id, body: { kind, parent } });
const SEATS = new Seats([
  place("n", "nursery", null),
  place("q", "room", "n"),
  place("bench-1", "bench", "q"),
  place("bench-2", "bench", "q"),
  place("open", "block", "n"),
]);
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
].map(([id = "", place = ""]) => batchJson(fold.batch(id, [entry(stands(id, place))])));
const NOWHERE = batchJson(fold.batch("b-4", []));
const PLACES = ["q", "open"].map((id) =>
  placeJson(
    fold.place(id, [
      entry({ id: 1, kind: "entered", body: { person: `at-${id}` }, about: [id] }),
      entry({ id: 2, kind: "entered", body: { person: "p-1" }, about: [id] }),
    ]),
  ),
);
const find = (about: string[], suspicion = true): Entry =>
  entry({ id: 5, kind: "found", body: { suspicion }, about, author: "p-2" });

function held(...entries: Entry[]) {
  return provisional(lately(entries).suspicions, [...BATCHES, NOWHERE], PLACES, SEATS);
}

test("a suspicion holds every batch of its room, and lists who was inside", () => {
  expect(held(find(["b-1"]))).toEqual([
    {
      find: idOf(5),
      since: instant(5),
      by: "p-2",
      room: "q",
      batches: ["b-1", "b-2"],
      people: ["at-q", "p-1"],
    },
  ]);
});

test.each([
  ["bench-2", ["b-1", "b-2"]],
  ["open", ["b-3"]],
])("a suspicion about the place %s holds what stands in its room", (about, batches) => {
  expect(held(find([about]))[0]?.batches).toEqual(batches);
});

test("a batch that stands nowhere is held alone", () => {
  expect(held(find(["b-4"]))[0]).toMatchObject({ room: null, batches: ["b-4"], people: [] });
});

test("plants in a place that nobody described share it", () => {
  expect(held(find(["b-5"]))[0]).toMatchObject({ room: "nowhere", batches: ["b-5"] });
});

test("what is no suspicion holds nothing", () => {
  expect(held(find(["b-1"], false), entry(stands("b-1", "q")))).toEqual([]);
});
