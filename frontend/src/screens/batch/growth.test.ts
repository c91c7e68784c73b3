import { expect, test } from "vitest";
import { growthOf, isEnough } from "./growth";

const BEFORE = [
  {
    at: "2032-01-01T01:00",
    plants: [
      { tag: "1", height_cm: 20 },
      { tag: "2", height_cm: 21.33 },
    ],
  },
  { at: "2032-01-15T01:00", plants: [{ tag: "1" }, { tag: "2", height_cm: 26 }] },
];
const drawn = (some: Parameters<typeof growthOf>[0]) =>
  growthOf(some, (at) => at.slice(0, 10), { plants: "each plant", mean: "mean" });

test("every plant has its point, and the means have a line", () => {
  const [height, ...others] = drawn(BEFORE);
  expect(others).toEqual([]);
  expect(height?.days).toEqual([
    { on: "2032-01-01", n: 2, mean: 20.7 },
    { on: "2032-01-15", n: 1, mean: 26 },
  ]);
  expect(height?.series.map(({ name, points }) => [name, points.length])).toEqual([
    ["each plant", 3],
    ["mean", 2],
  ]);
});

test("one day says nothing of growth, two do", () => {
  expect(isEnough(drawn([]))).toBe(false);
  expect(isEnough(drawn(BEFORE.slice(0, 1)))).toBe(false);
  expect(isEnough(drawn(BEFORE))).toBe(true);
});
