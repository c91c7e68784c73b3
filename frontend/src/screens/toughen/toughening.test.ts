import { describe, expect, test } from "vitest";
import type { Advice, Program, Step, Told } from "../../log/toughening";
import {
  adviceOf,
  BLANK,
  draftsOf,
  mostOf,
  seenWith,
  stepTo,
  together,
  wayOf,
  waysAt,
  type Toughen,
} from "./toughening";

const step = (id: string, shade: number, more: Partial<Step> = {}): Step => ({
  ...{ id, shade_percent: shade, days: 5, sun_hours: null, water_every_days: null },
  ...{ wind: "still", feed: null, checks: [], ...more },
});
const PROGRAM: Program = {
  steps: [step("a", 70), step("b", 30, { sun_hours: 5, checks: ["scorch"] }), step("c", 0)],
  limits: {
    ...{ scorch_share: 0.05, wilt_share: 0.05, heat_c: 35, heat_above_mean_c: 7 },
    ...{ wind_kmh: 40, cold_c: 8, tropical: true },
  },
};
const TOLD: Told = { program: "p", at: 1, since: "2032-02-03" };
const form = (change: Partial<Toughen>): Toughen => ({ ...BLANK, ...change });
const advised = (doing: Advice["doing"]): Advice => ({ doing, step: 1, reasons: [], on: null });

describe("what the bar does", () => {
  test.each([
    [null, "forward"],
    [advised("forward"), "forward"],
    [advised("back"), "back"],
    [advised("stay"), "stay"],
    [advised("freeze"), "stay"],
    [advised("done"), "stay"],
  ] as const)("after %o it is to go %s", (advice, way) => {
    expect(wayOf(BLANK, advice)).toBe(way);
    expect(wayOf(form({ way: "back" }), advice)).toBe("back");
  });

  test("nobody goes on from the last step, and only forward before the first", () => {
    expect(waysAt(null, PROGRAM)).toEqual(["forward"]);
    expect(waysAt(1, PROGRAM)).toEqual(["forward", "stay", "back"]);
    expect(waysAt(2, PROGRAM)).toEqual(["stay", "back"]);
  });

  test("a step leads to the next one or the one before, and never out of the program", () => {
    expect([0, 1, 2].map((at) => stepTo(at, "forward", PROGRAM))).toEqual([1, 2, 2]);
    expect([0, 1, 2].map((at) => stepTo(at, "back", PROGRAM))).toEqual([0, 0, 1]);
    expect([stepTo(1, "stay", PROGRAM), stepTo(null, "forward", PROGRAM)]).toEqual([1, 0]);
  });
});

describe("what stands in the form counts at once", () => {
  const counted = form({ counted: true, scorched: 14, tested: true, wilted: 0 });

  test("with what was seen before, and without a count it stays as it was", () => {
    const told = { ...TOLD, seen: seenWith(TOLD, counted) };
    expect(told.seen).toEqual({
      ...{ scorched: 14, scorched_of: 60, wilted: 0, wilted_of: 20, checks: ["scorch", "wilt"] },
    });
    expect(seenWith(told, BLANK)).toEqual(told.seen);
  });

  test("14 of 60 lead one step back", () => {
    expect(adviceOf(TOLD, PROGRAM, BLANK, "2032-02-12")?.doing).toBe("stay");
    const advice = adviceOf(TOLD, PROGRAM, counted, "2032-02-12");
    expect([advice?.doing, advice?.step]).toEqual(["back", 0]);
    expect(adviceOf({ program: "p", at: null }, PROGRAM, counted, "2032-02-12")).toBeNull();
  });

  test("the wilt test is a record of its own, before the step with its count", () => {
    const about = ["t1", "t2"];
    const body = { step: "back", shade_percent: 70, program: "p", scorched: 14, of: 60 };
    expect(draftsOf(counted, TOLD, PROGRAM, "back", about)).toEqual([
      { kind: "wilted", about, body: { wilted: 0, of: 20 } },
      { kind: "stepped", about, body },
    ]);
    expect(draftsOf(BLANK, TOLD, PROGRAM, "stay", about)).toEqual([
      {
        ...{ kind: "stepped", about },
        body: { step: "stay", shade_percent: 30, sun_hours: 5, program: "p" },
      },
    ]);
  });
});

test("a sample has no more plants than live, where anybody counted them", () => {
  expect([mostOf([20, null, 23]), mostOf([null]), mostOf([])]).toEqual([43, Infinity, Infinity]);
});

test("a cloth covers first those on one step of one program", () => {
  const at: Record<string, Pick<Told, "program" | "at"> | null> = {
    ...{ a: null, b: { program: "p", at: 1 }, c: { program: "p", at: 0 } },
    ...{ d: { program: "q", at: 1 }, e: { program: "p", at: 1 } },
  };
  expect(together(Object.keys(at), (id) => at[id] ?? null)).toEqual(["b", "e"]);
  expect(together(["a"], (id) => at[id] ?? null)).toEqual([]);
});
