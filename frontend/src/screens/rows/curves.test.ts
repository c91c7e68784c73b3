import { expect, test } from "vitest";
import { curveOf, curveText } from "./curves";

const CURVE = { ages_days: [0, 210], mean: [3, 38.5], spread: [1, 8], error: 0.5, source: "own" };

test.each([".", ","])("a curve that is left as it was keeps its source, with %s", (mark) => {
  const typed = curveText(CURVE, mark);
  expect(typed).toBe(`0: 3 / 1; 210: 38${mark}5 / 8`);
  expect(curveOf(typed, "height_cm", CURVE)).toBe(CURVE);
});

test.each([
  ["height_cm", 0.7],
  ["collar_mm", 0.2],
  ["nodes", 0.3],
])("a curve of %s that is typed is as sure as one measurement is", (measure, error) => {
  expect(curveOf("0: 3 / 1; 210: 38,5 / 8", measure)).toEqual({ ...CURVE, error, source: null });
});

test("one that was changed keeps how far a measurement is off, and loses its source", () => {
  const changed = curveOf("0: 3 / 1; 200: 40 / 8", "height_cm", CURVE);
  expect(changed).toMatchObject({ ages_days: [0, 200], error: 0.5, source: null });
});

test("nothing typed is no curve", () => {
  expect(curveOf("  ", "height_cm", CURVE)).toBeNull();
});

test.each([
  ["one day alone", "0: 3 / 1"],
  ["days that do not rise", "200: 3 / 1; 100: 40 / 8"],
  ["plants that shrink", "0: 40 / 8; 200: 3 / 1"],
  ["no spread", "0: 3; 200: 40"],
  ["a spread of nothing", "0: 3 / 0; 200: 40 / 8"],
  ["a word", "soon: 3 / 1; 200: 40 / 8"],
])("%s cannot be", (_, typed) => {
  expect(curveOf(typed, "height_cm")).toBeUndefined();
});
