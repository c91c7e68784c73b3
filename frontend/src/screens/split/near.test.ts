import { expect, test } from "vitest";
import { Seats } from "../../log/seats";
import type { KeptBatch } from "../../shelf/folding";
import { roomMates } from "./near";

const seat = (id: string, kind: string, parent: string | null) => ({
  id,
  body: { name: id, kind, parent },
});
const SEATS = new Seats([
  ...[seat("q", "room", null), seat("bench-1", "bench", "q"), seat("bench-2", "bench", "q")],
  ...[seat("sh", "house", null)],
]);
const batch = (label: string | null, place: string | null, closed = false): KeptBatch =>
  ({ id: label ?? "?", label, place, closed }) as KeptBatch;
const ALL = [
  ...[batch("T10", "bench-2"), batch("T2", "bench-1"), batch("T9", "bench-1", true)],
  ...[batch("S1", "sh"), batch("T3", null), batch(null, "bench-1")],
];
const labels = (found: KeptBatch[]) => found.map(({ label }) => label);

test("those of one room stand together, in order of their labels", () => {
  expect(labels(roomMates({ place: "bench-1" }, ALL, SEATS))).toEqual([null, "T2", "T10"]);
});

test("where nobody knows the room all that live stand there", () => {
  expect(labels(roomMates(null, ALL, SEATS))).toEqual([null, "S1", "T2", "T3", "T10"]);
});
