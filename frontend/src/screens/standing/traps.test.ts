import { expect, test } from "vitest";
import { drawing } from "../block/drawn";
import type { TrapTold } from "./shapes";
import { blocksOf, hasPosition, hungIn, MARK, stateOf, tallied } from "./traps";

const TRAP: TrapTold = {
  ...{ trap: "t1", state: "zero", silent: 2, block: "tr5", hangs_at: "3", known: true },
  ...{ on: "2032-09-08", read: true, days: 7, caught: {}, why: null },
};
const LAYOUT = {
  id: "tr5",
  in_row_m: 2,
  between_m: 3,
  rows: [
    { number: 1, first: 1, holes: 2 },
    { number: 2, first: 3, holes: 2 },
    { number: 3, first: 1, holes: 2, stands: "shelter" as const },
  ],
};

test("a trap lies where its position is drawn, and those of one position beside each other", () => {
  const drawn = drawing(LAYOUT);
  const traps = [
    TRAP,
    { ...TRAP, trap: "t2", hangs_at: "4" },
    { ...TRAP, trap: "t3" },
    { ...TRAP, trap: "t4", hangs_at: "S2" },
  ];
  const found = hungIn(drawn, traps, "tr5");
  expect(found.map(({ number, spot }) => [number, ...spot])).toEqual([
    [1, 0, 3],
    [2, 2, 3],
    [3, 2 * MARK * drawn.unit, 3],
    [4, 2, 6],
  ]);
});

test.each([
  ["of another block", { block: "tr4" }],
  ["of no block", { block: null }],
  ["at no position", { hangs_at: null }],
  ["at a position that the layout lacks", { hangs_at: "99", known: false }],
])("a trap %s is not drawn, and keeps its number in the table", (_, change) => {
  const traps = [
    { ...TRAP, ...change },
    { ...TRAP, trap: "t2" },
  ];
  expect(hungIn(drawing(LAYOUT), traps, "tr5").map(({ number }) => number)).toEqual([2]);
});

test("blocks are drawn in which a trap hangs at a position, each once", () => {
  const nowhere = { ...TRAP, block: "tr3", known: false };
  const loose = { ...TRAP, block: null };
  expect(blocksOf([nowhere, TRAP, loose, TRAP, { ...TRAP, block: "tr4" }])).toEqual(["tr5", "tr4"]);
});

test("one that never could be read counts as never read, not as read long ago", () => {
  const late = { ...TRAP, state: "late" as const };
  expect([stateOf(late), stateOf({ ...late, silent: null })]).toEqual(["late", "never"]);
  expect(tallied([late, { ...late, silent: null }, TRAP, { ...TRAP, state: "act" }, TRAP])).toEqual(
    [
      { state: "act", n: 1 },
      { state: "zero", n: 2 },
      { state: "late", n: 1 },
      { state: "never", n: 1 },
    ],
  );
});

test("a layout has the positions of its rows, shelter too, and no others", () => {
  const found = ["1", "4", "S2", "5", "S3", "", "01"].filter((name) => hasPosition(LAYOUT, name));
  expect(found).toEqual(["1", "4", "S2"]);
});
