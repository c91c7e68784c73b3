import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { grid, misfit, READY, same, sheets, sizeOf, use, USUAL, type LabelSize } from "./size";

interface Case {
  name: string;
  label: Partial<LabelSize>;
  across: number;
  down: number;
}

const CASES = JSON.parse(readFileSync("../tests/vectors/label-sizes.json", "utf8")) as Case[];

test.each(CASES)("$name", ({ label, across, down }) => {
  expect(grid(sizeOf({ label }))).toEqual({ across, down });
});

test("a nursery that names no size has the usual one", () => {
  expect(sizeOf({ name: "Veshmere" })).toEqual(USUAL);
  expect(READY.some((one) => same(one, USUAL))).toBe(true);
});

test.each([
  [12, 0, 24, 1],
  [24, 0, 24, 1],
  [24, 1, 24, 2],
  [3, 23, 24, 2],
  [5, 0, 1, 5],
])("%i labels after %i used ones, %i on a sheet, take %i sheets", (labels, skip, on, wanted) => {
  expect(sheets(labels, skip, on)).toBe(wanted);
});

test("the ready sizes are those that are printed and read in tests, and lie on their sheets", () => {
  expect(READY).toEqual(JSON.parse(readFileSync("../tests/vectors/label-ready.json", "utf8")));
  expect(READY.map(misfit)).toEqual(READY.map(() => null));
  for (const one of READY) expect(READY.filter((other) => same(one, other))).toEqual([one]);
});

test("a label without its margins is another one", () => {
  const [, , , begun] = READY as [LabelSize, LabelSize, LabelSize, LabelSize];
  expect(same(begun, { ...begun, top_mm: 5 })).toBe(false);
  expect(same(begun, { ...begun, rows: 6 })).toBe(false);
  expect(same(begun, { ...begun, columns: 2 })).toBe(false);
  expect(same(begun, { ...begun, height_mm: 38 })).toBe(false);
  expect(same(USUAL, { ...USUAL, stock: "letter" })).toBe(false);
});

test.each([
  [{ width_mm: 25, height_mm: 90, stock: "roll" }, "tag"],
  [{ width_mm: 60, height_mm: 40, stock: "roll" }, "roll"],
  [USUAL, null],
] as const)("%j is for %s", (size, wanted) => {
  expect(use(size)).toBe(wanted);
});

test.each([
  [{ columns: 4 }, { way: "across", n: 4, side: 70, length: 280, room: 210 }],
  [{ width_mm: 220 }, { way: "across", n: 1, side: 220, length: 220, room: 210 }],
  [{ left_mm: 150 }, { way: "across", n: 1, side: 70, length: 220, room: 210 }],
  [
    { rows: 8, top_mm: 10 },
    { way: "down", n: 8, side: 37, length: 306, room: 297 },
  ],
  [
    { rows: 7, gap_down_mm: 10 },
    { way: "down", n: 7, side: 37, length: 319, room: 297 },
  ],
  [{ rows: 8, top_mm: 1.4 }, null],
  [{ stock: "roll", width_mm: 400 }, null],
] as const)("%j: %j", (label, wanted) => {
  expect(misfit({ ...USUAL, ...label })).toEqual(wanted);
});
