import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { COMMON, grid, same, sheets, sizeOf, USUAL, type LabelSize } from "./size";

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
  expect(COMMON.some((one) => same(one, USUAL))).toBe(true);
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
