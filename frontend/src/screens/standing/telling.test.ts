import { expect, test } from "vitest";
import type { Block, Curve, Grouped, Traps } from "./shapes";
import {
  bandOf,
  catchesOf,
  comparison,
  isSampled,
  lastDay,
  linesOf,
  MOST_DRAWN,
  percent,
  shareOf,
  spans,
  stepsOf,
  undone,
} from "./telling";

const NOBODY: Curve = { looked_at: 0, until: null, points: [] };
const TWICE: Curve = {
  looked_at: 214,
  until: 365,
  points: [
    [185, 0.916, 0.87, 0.945],
    [365, 0.85, 0.79, 0.9],
  ],
};
const COUNTED = { planted: 214, alive: 196, dead: 12, missing: 4, rootstock_only: 2, causes: {} };

function grouped(p: number | null, groups = 2, curve = TWICE): Grouped {
  const items = Array.from({ length: groups }, (_, i) => ({ ...COUNTED, key: `g${i}`, curve }));
  return { items, test: p === null ? null : { chi_square: 1, p } };
}

test("shares are told in percent with one decimal, and none of nobody", () => {
  expect([percent(196 / 214), shareOf(COUNTED)]).toEqual([91.6, 91.6]);
  expect(shareOf({ ...COUNTED, planted: 0, alive: 0 })).toBeNull();
});

test("a curve begins whole and goes as far as plants were looked at", () => {
  expect(stepsOf(NOBODY)).toEqual([]);
  const all = { ...TWICE, until: 400 };
  expect(stepsOf(all)).toEqual([
    { x: 0, y: 100 },
    { x: 185, y: 91.6 },
    { x: 365, y: 85 },
    { x: 400, y: 85 },
  ]);
  expect(stepsOf(TWICE).at(-1)).toEqual({ x: 365, y: 85 });
  expect(stepsOf({ looked_at: 5, until: 30, points: [] })).toEqual([
    { x: 0, y: 100 },
    { x: 30, y: 100 },
  ]);
});

test("its interval holds from death to death, and ends where nobody is left", () => {
  expect(bandOf(NOBODY)).toEqual([]);
  expect(bandOf({ looked_at: 5, until: 30, points: [] })).toEqual([]);
  expect(bandOf({ ...TWICE, until: 400 })).toEqual([
    { x: 0, low: 100, high: 100 },
    { x: 185, low: 100, high: 100 },
    { x: 185, low: 87, high: 94.5 },
    { x: 365, low: 87, high: 94.5 },
    { x: 365, low: 79, high: 90 },
    { x: 400, low: 79, high: 90 },
  ]);
  const gone: Curve = { looked_at: 1, until: 50, points: [[40, 0, null, null]] };
  expect(bandOf(gone)).toEqual([{ x: 0, low: 100, high: 100 }]);
});

test("an axis ends a little after the last look", () => {
  expect([lastDay(NOBODY), lastDay({ ...TWICE, until: 185 })]).toEqual([30, 200]);
});

test("so many groups are drawn as can be told apart, each with its own stroke", () => {
  const lines = linesOf(grouped(0.5, MOST_DRAWN + 2), (key) => key.toUpperCase());
  expect(lines.map(({ name }) => name)).toEqual(["G0", "G1", "G2", "G3", "G4"]);
  const strokes = lines.map((one) => (one.draw === "band" ? null : one.stroke));
  expect(new Set(strokes).size).toBe(MOST_DRAWN);
});

test.each([
  ["one group alone", grouped(null, 1), null],
  ["two of which one was looked at", grouped(null), { key: "cannot", n: 0 }],
  ["two that differ", grouped(0.049), { key: "differ", n: 5 }],
  ["two that differ beyond doubt", grouped(1e-9), { key: "differ", n: 1 }],
  ["two that chance would tell apart", grouped(0.31), { key: "alike", n: 31 }],
])("what a comparison says: %s", (_, told, said) => {
  expect(comparison(told)).toEqual(said);
});

test("of a block it is told which rows are to be counted, and whether its figure is an estimate", () => {
  const row = { number: 1, chosen: true, planted: 10, alive: 9, open: 0 };
  const rows = [row, { ...row, number: 2, open: 3 }, { ...row, number: 3, chosen: false, open: 9 }];
  const block = { rows } as unknown as Block;
  expect([undone(block), isSampled(block)]).toEqual([[2], true]);
  const whole = { rows: [row, { ...row, planted: 0 }] } as unknown as Block;
  expect([undone(whole), isSampled(whole)]).toEqual([[], false]);
});

test("positions that follow each other are told together", () => {
  expect(spans(["61", "62", "64", "70", "71", "72"])).toEqual([
    ["61", "62"],
    ["64", "64"],
    ["70", "72"],
  ]);
  expect(spans([])).toEqual([]);
});

test("a day without a catch is a zero, one on which no trap could be read is a gap", () => {
  const day = { read: 1, not_read: 0, trap_days: 12 };
  const days = [
    { ...day, on: "2032-09-05", index: { fly: 0.123 } },
    { ...day, on: "2032-09-08", index: {} },
    { on: "2032-09-10", read: 0, not_read: 2, trap_days: 0, index: {} },
  ];
  expect(catchesOf({ days } as unknown as Traps, "fly")).toEqual([
    { x: "2032-09-05", y: 0.12 },
    { x: "2032-09-08", y: 0 },
    { x: "2032-09-10", y: null },
  ]);
});
