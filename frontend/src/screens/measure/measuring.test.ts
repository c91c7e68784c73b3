import { expect, test } from "vitest";
import { MEASURES, type Measuring } from "../../log/growth";
import * as it from "./measuring";

const BOTH = ["height_cm", "collar_mm"] as const;
const FORM: it.Form = {
  ...it.UNMEASURED,
  tags: ["1", "2", "3", "4"],
  figures: { "1": { height_cm: "41,5", collar_mm: "7" }, "2": { height_cm: "30" }, "4": {} },
  missing: ["3"],
};
const BEFORE: readonly Measuring[] = [
  { at: "2032-01-01", plants: [{ tag: "1", height_cm: 44, collar_mm: 7 }, { tag: "2" }] },
];

test("what is measured is what the smallest size asks, else height and collar", () => {
  expect(it.measuresOf([{ measure: "flushes" }, { measure: "height_cm" }])).toEqual([
    "height_cm",
    "flushes",
  ]);
  expect(it.measuresOf([{ measure: "nodes" }, { measure: "height_cm" }])).toEqual([
    "height_cm",
    "nodes",
  ]);
  expect(it.measuresOf([{ measure: "leaf_pairs" }])).toEqual(["leaf_pairs"]);
  expect(it.measuresOf([])).toEqual(BOTH);
});

test.each([
  [null, 10, 30],
  [50, 10, 30],
  [12, 10, 12],
  [8, 8, 8],
  [0, 1, 1],
])("of %j that live between %i and %i are tagged", (alive, least, most) => {
  expect(it.bounds(alive)).toEqual({ least, most });
});

test("plants are numbered from one on", () => {
  expect(it.numbered(3)).toEqual(["1", "2", "3"]);
});

test("what is counted is whole, and what is measured is not", () => {
  const counted = MEASURES.filter((one) => it.isCounted(one));
  expect(counted).toEqual(["flushes", "leaves", "leaf_pairs", "nodes"]);
});

test.each([
  [undefined, null],
  ["", null],
  ["41,", 41],
  ["41,5", 41.5],
  ["4.125", 4.125],
])("%j typed is %j", (text, figure) => {
  expect(it.figureOf(text)).toBe(figure);
});

test("a plant that is smaller than last time is asked about; one never measured is not", () => {
  expect(it.shrunkOf(FORM, "1", BEFORE, BOTH)).toEqual([
    { measure: "height_cm", now: 41.5, last: 44 },
  ]);
  expect(it.shrunkOf(FORM, "2", BEFORE, BOTH)).toEqual([]);
  expect(it.shrunkOf(FORM, "4", BEFORE, BOTH)).toEqual([]);
});

test("a missing plant is kept as such, and a blank one is left out", () => {
  expect(it.plantsOf(FORM, BOTH)).toEqual([
    { tag: "1", height_cm: 41.5, collar_mm: 7 },
    { tag: "2", height_cm: 30 },
    { tag: "3" },
  ]);
  expect(it.plantsOf(it.UNMEASURED, BOTH)).toEqual([]);
});

test("one record holds all plants; a note says which were cut", () => {
  const note = (tags: readonly string[]) => `cut: ${tags.join()}`;
  expect(it.draftsOf(FORM, "t1", BOTH, note)).toHaveLength(1);
  expect(it.draftsOf({ ...FORM, cut: ["1", "4"] }, "t1", BOTH, note)[1]).toEqual({
    ...{ kind: "noted", about: ["t1"], body: { text: "cut: 1" } },
  });
});
