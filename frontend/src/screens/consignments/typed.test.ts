import { expect, test } from "vitest";
import { andLine, isOdd, linesOf, rowOf, typedLines } from "./typed";

const LINES = [{ id: "line-2", crop: "lime", cultivar: "Ember", stated: 324 }];

test("lines come out as they went in", () => {
  expect(linesOf(typedLines(LINES))).toEqual(LINES);
  expect(linesOf(typedLines([{ id: "a", crop: "lime" }]))).toEqual([{ id: "a", crop: "lime" }]);
});

test("one more line has an id of its own", () => {
  expect(andLine(typedLines(LINES), "fig").map(({ id, crop }) => [id, crop])).toEqual([
    ["line-2", "lime"],
    ["line-3", "fig"],
  ]);
});

test.each([
  ["", false],
  ["324", false],
  ["many", true],
  ["3.5", true],
  ["1.234", true],
])("%j is an odd number of plants: %s", (stated, odd) => {
  expect(isOdd({ id: "a", crop: "lime", cultivar: "", stated })).toBe(odd);
});

test("what is empty is left out of the row, and what says no stays", () => {
  const row = { name: "May", permit: null, origin: "", without_conditions: false, lines: [] };
  expect(rowOf(row)).toEqual({ name: "May", without_conditions: false, lines: [] });
});
