import { expect, test } from "vitest";
import vectors from "../../../tests/vectors/trees.json";
import { entry } from "../testing/entries";
import type { RowOf, Stood } from "./planting-row";
import { cropHarmed, felledOf, lostOf, shelterRows, subjectsOf, together, treesOf } from "./trees";

const BEGAN = Date.UTC(2031, 2, 3);
const BLOCK = { id: "tr4", rows: vectors.rows as readonly RowOf[] };
type Told = readonly [on: string, kind: string, about: string, body: Record<string, unknown>];

function written(told: readonly Told[]) {
  return told.map(([on, kind, about, body], i) =>
    entry({
      ...{ id: i + 1, kind, about: [about], body },
      at: (Date.parse(`${on}T08:00:00Z`) - BEGAN) / 60_000,
    }),
  );
}

const dayOf = (at: string): string => at.slice(0, 10);

test.each(Object.entries(vectors.cases))(
  "of each row stand: %s (rule F-32)",
  (_, { told, rows }) => {
    expect(treesOf(BLOCK, written(told as unknown as Told[]), dayOf)).toEqual(rows);
  },
);

test("shelter rows are in the order of their numbers, and have records of their own", () => {
  expect(shelterRows(BLOCK).map(({ number }) => number)).toEqual([2, 3]);
  expect(subjectsOf(BLOCK)).toEqual(["tr4", "tr4.2", "tr4.3"]);
  const unnamed = { number: 1, first: 1, holes: 2, stands: "shelter" as const };
  expect(treesOf({ id: "tr6", rows: [unnamed] }, [], dayOf)).toMatchObject([{ species: null }]);
});

test("rows together are summed by cause", () => {
  const told = vectors.cases["lost by their causes, seen alive again, harmed"].told;
  const rows = treesOf(BLOCK, written(told as unknown as Told[]), dayOf);
  const both = together(rows);
  expect(both).toEqual({
    ...{ planted: 35, standing: 30, harmed: 1, felled: [] },
    causes: { drought: 1, livestock: 1, theft: 1, unknown: 2 },
  });
  expect([lostOf(both), felledOf(both)]).toEqual([5, 0]);
  expect(felledOf({ felled: [{ on: "2034-10-01", percent: 50, trees: 14 }] })).toBe(14);
});

test("felling harms plants of the crop, and takes some", () => {
  const plant = (state: string, cause: string | null) => ({ state, cause });
  const kept = {
    positions: {
      ...{ 1: plant("alive", "felling"), 2: plant("dead", "felling") },
      ...{ 3: plant("alive", null), 4: plant("dead", "drought"), 5: plant("alive", "felling") },
    },
    left_empty: [],
  } as unknown as Stood;
  const stood = (seat: string) => (seat === "tr4.1" ? kept : undefined);
  expect(cropHarmed(BLOCK, stood)).toEqual({ harmed: 2, lost: 1 });
  expect(cropHarmed(BLOCK, () => undefined)).toEqual({ harmed: 0, lost: 0 });
});
