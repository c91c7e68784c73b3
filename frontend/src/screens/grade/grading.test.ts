import { describe, expect, test } from "vitest";
import { entry } from "../../testing/entries";
import { BLANK, draftsOf, gradedBy, gradesOf, leastOf, sumOf, total } from "./grading";

test("nothing is meant until somebody typed how many are A", () => {
  expect(gradesOf(BLANK)).toBeNull();
  expect(gradesOf({ ...BLANK, grades: { a: "43", c: "2" } })).toEqual({ a: 43, b: 0, c: 2 });
});

describe("the records", () => {
  test("culled plants leave by their own loss", () => {
    expect(draftsOf("b-1", { a: 43, b: 5, c: 2 }, "j_root", true)).toEqual([
      { kind: "graded", about: ["b-1"], body: { a: 43, b: 5, c: 2 } },
      {
        kind: "lost",
        about: ["b-1"],
        body: { count: 2, fate: "culled", cause: "j_root", kept: true, by_auditor: false },
      },
    ]);
  });

  test("without culled plants nothing is lost", () => {
    expect(draftsOf("b-1", { a: 45, b: 0, c: 0 }, "j_root", true)).toHaveLength(1);
  });
});

test("the last grading that stands counts", () => {
  const graded = (id: number, a: number) => entry({ id, kind: "graded", body: { a, b: 1, c: 0 } });
  expect(gradedBy([graded(1, 40), graded(2, 43)])).toEqual({ a: 43, b: 1, c: 0 });
  expect(gradedBy([entry({ id: 1, kind: "wilted", body: { wilted: 0, of: 20 } })])).toBeNull();
});

test("trays add up", () => {
  const trays = [
    ...[
      { a: 43, b: 5, c: 2 },
      { a: 50, b: 2, c: 0 },
      { a: 45, b: 0, c: 0 },
    ],
    ...[
      { a: 41, b: 2, c: 0 },
      { a: 27, b: 6, c: 5 },
      { a: 8, b: 0, c: 0 },
    ],
  ];
  expect(total(trays)).toEqual({ a: 214, b: 15, c: 7 });
  expect(sumOf(total(trays))).toBe(236);
});

test("an A plant is as large as the crop's row asks", () => {
  const body = { profile: { least: { height_cm: { low: 45 }, flushes: { low: 2 } } } };
  expect(leastOf({ body })).toEqual([
    { measure: "height_cm", low: 45 },
    { measure: "flushes", low: 2 },
  ]);
  expect(leastOf({ body: {} })).toEqual([]);
  expect(leastOf(null)).toEqual([]);
});
