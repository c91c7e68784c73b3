import { describe, expect, test } from "vitest";
import { entry } from "../testing/entries";
import { courseOf, lastOf, measurings, nextTag, tagsOf } from "./growth";

const on = (id: number, ...plants: object[]) => entry({ kind: "measured", body: { plants }, id });
const BOOK = [
  on(1, { tag: "1", height_cm: 20, collar_mm: 4 }, { tag: "2", height_cm: 22 }),
  on(2, { tag: "1" }, { tag: "2", height_cm: 26 }, { tag: "3", height_cm: 30 }),
  entry({ kind: "counted", body: { alive: 3, method: "full" }, id: 3 }),
  entry({ kind: "measured", body: { plants: [{ tag: "9" }] }, id: 4, about: ["b-2"] }),
  entry({ kind: "measured", body: { plants: [{ tag: "8" }] }, id: 5, v: 9 }),
];
const before = measurings("b-1", BOOK);

describe("the same plants are asked for again", () => {
  test("but for one that was missing at last", () => {
    expect(before).toHaveLength(2);
    expect(tagsOf(before)).toEqual(["2", "3"]);
  });

  test("with one that was there after all, and one that was left for later", () => {
    const later = on(6, { tag: "1", height_cm: 25 }, { tag: "3", height_cm: null });
    expect(tagsOf(measurings("b-1", [...BOOK, later]))).toEqual(["1", "2"]);
  });

  test("with one of which something is typed, whatever another phone sends", () => {
    expect(tagsOf(before, ["1", "2"])).toEqual(["1", "2", "3"]);
  });
});

test.each([
  [before, tagsOf(before), "4"],
  [before, ["2", "3", "4"], "5"],
  [measurings("b-1", [on(7, { tag: "T1-9" })]), [], "1"],
  [measurings("b-1", [on(8, { tag: "9" }, { tag: "10" })]), [], "11"],
] as const)("a further plant gets a number that no plant ever had: %#", (known, tags, next) => {
  expect(nextTag(known, tags)).toBe(next);
});

test.each([
  ["1", "height_cm", 20],
  ["1", "collar_mm", 4],
  ["2", "height_cm", 26],
  ["2", "collar_mm", null],
  ["4", "height_cm", null],
] as const)("plant %s measured %s %j when it was last measured", (tag, measure, figure) => {
  expect(lastOf(before, tag, measure)).toBe(figure);
});

test("a mean is of those that were measured, and no figure stands for a missing plant", () => {
  expect(courseOf(before, "height_cm").map(({ mean, each }) => [mean, each])).toEqual([
    [21, [20, 22]],
    [28, [26, 30]],
  ]);
  expect(courseOf(before, "collar_mm").map(({ mean }) => mean)).toEqual([4]);
  expect(courseOf(before, "flushes")).toEqual([]);
});
