import { describe, expect, test } from "vitest";
import type { KeptBatch } from "../../shelf/folding";
import { aliveOf, begun, draftOf, over, rest, sumOf } from "./dividing";

const batch = (id: string, more: Partial<KeptBatch> = {}): KeptBatch =>
  ({
    ...{ id, label: id, alive: 50, place: "bench-1", stage: "quarantine", crop: "lime" },
    ...{ container: "pot", ...more },
  }) as KeptBatch;
const part = (count: string) => ({ id: "u", label: "U", count });

describe("what stays in a batch", () => {
  test.each([
    [50, ["20"], "30"],
    [50, ["20", "10"], "20"],
    [50, ["20", ""], ""],
    [null, ["20"], ""],
    [50, ["60"], "0"],
  ])("of %s that gives %j is %j", (alive, counts, left) => {
    expect(rest(alive, counts.map(part))).toBe(left);
  });
});

test("a sum waits for every figure", () => {
  expect([sumOf(["48", "43", "8"]), sumOf(["48", ""])]).toEqual([99, null]);
  expect([aliveOf([batch("a"), batch("b")]), aliveOf([batch("a", { alive: null })])]).toEqual([
    100,
    null,
  ]);
});

describe("a new batch begins", () => {
  test("with what all have in common", () => {
    expect(begun([batch("a"), batch("b", { place: "bench-2" })], part("8"), null)).toEqual({
      ...{ id: "u", label: "U", count: 8, place: "bench-1", stage: "quarantine", crop: "lime" },
      ...{ container: "pot", cells: null },
    });
  });

  test("without what differs, but where the first stood", () => {
    const other = batch("b", { crop: "papaya", container: "tray", stage: "seedlings" });
    expect(begun([batch("a"), other], part("8"), null)).toMatchObject({
      ...{ crop: null, container: null, stage: "quarantine", place: "bench-1" },
    });
  });

  test("in a tray like the one it came from, if it fits", () => {
    expect(begun([batch("a")], part("54"), 54).cells).toBe(54);
    expect(begun([batch("a")], part("55"), 54).cells).toBeNull();
  });

  test("nowhere, where nobody knows where the others stand", () => {
    expect(begun([batch("a", { place: null, stage: null })], part("1"), null)).toMatchObject({
      ...{ place: null, stage: null },
    });
    expect(begun([], part("1"), null)).toMatchObject({ place: null, stage: null });
  });
});

test("one record names all, and says what nobody can find", () => {
  const lefts = [
    { batch: batch("b-3", { alive: 53 }), left: 48 },
    { batch: batch("b-5", { alive: 46 }), left: 42 },
  ];
  const takers = [begun([batch("b-3"), batch("b-5")], part("8"), null)];
  expect(draftOf("mixed", lefts, takers).about).toEqual(["b-3", "b-5", "u"]);
  expect(over(lefts, takers)).toBe(1);
});
