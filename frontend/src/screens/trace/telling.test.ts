import { describe, expect, test } from "vitest";
import type { Plant, Trace } from "./shapes";
import {
  asked,
  byBatch,
  everyBatch,
  figures,
  holdsOf,
  spent,
  startsOf,
  stretches,
  unheld,
  written,
} from "./telling";

function plant(position: string, batch: string, state = "alive"): Plant {
  return { position, batch, state, on: "2032-03-12", first: true, cause: null, seen: [] };
}

const HOLD = {
  ...{ by: "order", reference: "CALL-13", since: "2032-09-13T04:00:00.000Z", paper: false },
  ...{ place: null, orders: [] },
};
const FIND = { ...HOLD, by: "find", reference: "0190a0a0-0000-7000-8000-000000000001" };
const TRACE: Trace = {
  of: ["batch:t2"],
  at: "",
  as_of_seq: 9,
  asked: ["t2"],
  made: ["u", "v"],
  back: [],
  consignments: [],
  sums: { positions: 3, alive: 2, gone: 1, reserve: 4, sent: 0, receivers: 0, replaced: 0 },
  field: [
    {
      block: "tr4",
      plants: [plant("1", "t2"), plant("2", "t2", "rootstock_only"), plant("3", "u")],
    },
  ],
  before: [],
  reserve: { t2: 4 },
  ended: {},
  sent: [],
  people: [],
  rooms: [],
  things: [],
  held: { t2: [HOLD] },
  calls: [{ at: "", by: "g", asked_by: "P", reason: "budwood", reference: "CALL-13" }],
  told: [],
  names: {},
};

test.each([
  [[], []],
  [["7"], ["7"]],
  [
    ["1", "2", "3", "7"],
    ["1–3", "7"],
  ],
  [
    ["9", "10", "S1", "S2"],
    ["9–10", "S1", "S2"],
  ],
])("positions %j are told as %j", (positions, told) => {
  expect(stretches(positions)).toEqual(told);
});

test("what a trace began with goes through an address and back, commas and strokes too", () => {
  const starts = ["supplier:Sarrow, Budworks", "position:tr4/31"];
  expect(startsOf(written(starts))).toEqual(starts);
  expect(startsOf("")).toEqual([]);
  expect(asked(["batch:b t"])).toBe("of=batch%3Ab%20t");
});

test("a graft whose scion died is not alive, and a batch without plants in a block is left out", () => {
  const [stood] = TRACE.field;
  if (!stood) throw new Error("no block");
  expect(byBatch(stood, everyBatch(TRACE))).toMatchObject([
    { batch: "t2", positions: ["1", "2"], alive: 1, gone: [{ position: "2" }] },
    { batch: "u", positions: ["3"], alive: 1, gone: [] },
  ]);
});

test("sums come first, in the order in which they are asked for", () => {
  expect(figures(TRACE).map(([, figure]) => figure)).toEqual([3, 2, 1, 4, 0]);
});

describe("holds", () => {
  test("what lives or was planted and no order holds is still to be held", () => {
    expect(unheld(TRACE)).toEqual(["u"]);
  });

  test("an order is told once, with its batches, its positions and who asked for it", () => {
    expect(holdsOf(TRACE)).toMatchObject([
      {
        reference: "CALL-13",
        batches: ["t2"],
        positions: 2,
        paper: false,
        call: { asked_by: "P" },
      },
    ]);
    expect(holdsOf({ ...TRACE, calls: [] })[0]?.call).toBeNull();
  });

  test("a find that no order took up is told by itself, and orders may still be given", () => {
    const trace = { ...TRACE, held: { t2: [FIND], u: [FIND] } };
    expect(unheld(trace)).toEqual(["t2", "u"]);
    expect(holdsOf(trace)).toMatchObject([
      { by: "find", ordered: false, batches: ["t2", "u"], positions: 3 },
    ]);
  });

  test("a find that an order took up is told as the order, once with what it holds by itself", () => {
    const taken = { ...FIND, orders: ["CALL-13"], paper: true };
    const trace = { ...TRACE, held: { t2: [taken, HOLD], u: [taken] } };
    expect(unheld(trace)).toEqual([]);
    expect(holdsOf(trace)).toMatchObject([
      { by: "order", reference: "CALL-13", ordered: true, paper: false, batches: ["t2", "u"] },
    ]);
  });
});

test("the time of a drill is told in minutes and seconds", () => {
  expect(spent(65)).toEqual({ minutes: 1, rest: "05" });
  expect(spent(600)).toEqual({ minutes: 10, rest: "00" });
});
