import { expect, test } from "vitest";
import vectors from "../../../tests/vectors/filling.json";
import type { EntryId, Instant } from "./entry";
import { gaps, refilled, type FilledLayout, type Rule } from "./filling";
import { nameAt, type RowOf, type Stood } from "./planting-row";
import type { Occupant } from "./positions";

const FIRST: Occupant = {
  ...{ batch: "t1", at: "2032-03-12T06:00:00.000Z" as Instant, entry: "e-1" as EntryId },
  ...{ state: "alive", cause: null, first: true, look: null },
};
const LOOK = "e-9" as EntryId;

interface Case {
  readonly rows: readonly (readonly number[])[];
  readonly rule: string;
  readonly gone: readonly string[];
  readonly filled: readonly string[];
}

function plant(name: string, { gone, filled }: Case, look: EntryId | null): Occupant {
  if (gone.includes(name)) return { ...FIRST, state: "dead", look: LOOK };
  return filled.includes(name) ? { ...FIRST, batch: "t6", first: false, look } : FIRST;
}

function told(one: Case, look: EntryId | null = null) {
  const rows = one.rows.map(([first = 1, holes = 0], i) => ({ number: i + 1, first, holes }));
  const layout: FilledLayout = { id: "tr5", rows, fill: one.rule as Rule };
  const stood = (row: RowOf): Stood => ({
    positions: Object.fromEntries(
      Array.from({ length: row.holes }, (_, i) => nameAt(row, i)).map((name) => [
        name,
        plant(name, one, look),
      ]),
    ),
    left_empty: [],
  });
  const { holes, left } = gaps(layout, stood);
  return { holes: holes.map(({ name }) => name), left: left.map(({ name }) => name) };
}

test.each(Object.entries(vectors))("gaps that are filled: %s", (_, { holes, left, ...one }) => {
  expect(told(one)).toEqual({ holes, left });
});

test("a gap that was filled and counted since leaves the rest of its group", () => {
  const { holes, left, ...one } = vectors["a group half filled goes on being filled"];
  expect(told(one, LOOK)).toEqual({ holes, left });
});

test("a row that this phone knows nothing of, and a hole that nobody planted, are no gaps", () => {
  const rows = [{ number: 1, first: 1, holes: 2 }];
  expect(gaps({ id: "tr5", rows }, () => undefined)).toEqual({ holes: [], left: [] });
  const one = { ...FIRST, state: "missing", look: LOOK } as const;
  const found = gaps({ id: "tr5", rows }, () => ({ positions: { "2": one }, left_empty: [] }));
  expect(found.holes.map(({ name }) => name)).toEqual(["2"]);
});

test("a new plant is told of its batch and of the row that keeps it", () => {
  const row = { number: 5, first: 61, holes: 10 };
  expect(refilled("tr5", { name: "61", row, gone: FIRST }, "t6")).toEqual({
    kind: "refilled",
    about: ["t6", "tr5.5"],
    body: { block: "tr5", row: "5", positions: ["61"] },
  });
});
