import { expect, test } from "vitest";
import { entry, instant } from "../testing/entries";
import { isOdd, isTurned, MEASURES, runs, series } from "./air";

test.each([
  ["air_c", 31, false],
  ["air_c", -6, true],
  ["air_low_c", 7.5, false],
  ["air_high_c", 61, true],
  ["humidity_percent", 101, true],
  ["ph", 6.1, false],
  ["ec_ms_cm", 90, true],
])("%s of %d is asked for again: %o", (what, value, odd) => {
  const measure = MEASURES.find((one) => one.what === what);
  expect(measure && isOdd(measure, value)).toBe(odd);
});

test.each([
  [{ air_low_c: 12, air_high_c: 31 }, false],
  [{ air_low_c: 31, air_high_c: 12 }, true],
  [{ air_low_c: 20, air_high_c: 20 }, false],
  [{ air_low_c: 31, air_c: 12 }, false],
  [{ air_high_c: 12 }, false],
])("the ends of a day %j are the wrong way round: %s", (read, turned) => {
  expect(isTurned(new Map(Object.entries(read)))).toBe(turned);
});

const read = (id: number, at: number, value: number, what = "air_c") => ({
  ...{ id, at, kind: "read", about: ["r-1"] },
  body: { readings: [{ what, value }] },
});

test("figures of one kind are told in the order of their hours", () => {
  const entries = [
    read(1, 30, 22.5),
    read(2, 5, 19),
    read(3, 6, 60, "humidity_percent"),
    read(4, 5, 20),
    { id: 5, kind: "read", about: ["r-1"], body: { readings: "hot" } },
    { id: 6, kind: "watered", about: ["r-1"], body: { minutes: 3 } },
    { id: 7, kind: "counted", about: ["b-1"], body: { method: "full", alive: 3 } },
  ].map(entry);
  expect(series("air_c", entries)).toEqual([
    { at: instant(5), value: 20 },
    { at: instant(30), value: 22.5 },
  ]);
});

const at = (hour: number): { ms: number } => ({ ms: hour * 3_600_000 });

test("a pause much longer than the usual one is a gap", () => {
  const hours = [0, 1, 2, 3, 14, 15];
  expect(runs(hours.map(at)).map((run) => run.length)).toEqual([4, 2]);
});

test("figures a day apart, as they are read by hand, have no gap between them", () => {
  expect(runs([0, 24, 47, 72].map(at))).toHaveLength(1);
});

test("one figure, or none, has no gap", () => {
  expect(runs([])).toEqual([]);
  expect(runs([at(1)])).toHaveLength(1);
});
