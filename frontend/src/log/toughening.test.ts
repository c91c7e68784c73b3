import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type { Entry } from "./entry";
import { entry, instant } from "../testing/entries";
import {
  advise,
  NOTHING_SEEN,
  onward,
  percent,
  type Advice,
  type Program,
  type Seen,
  type Sky,
  type Told,
} from "./toughening";

interface Case {
  readonly name: string;
  readonly program: Program;
  readonly at: number;
  readonly since: string;
  readonly today: string;
  readonly seen: Seen;
  readonly sky: Sky;
  readonly advice: Advice;
}

const CASES = JSON.parse(readFileSync("../tests/vectors/toughening.json", "utf8")) as Case[];

describe("the same advice as at the office", () => {
  test.each(CASES)("$name", ({ program, at, since, today, seen, sky, advice }) => {
    expect(advise(program, { at, since }, today, seen, sky)).toEqual(advice);
  });
});

test("a step that the program does not have is nobody's", () => {
  const [{ program, since, today, seen, sky }] = CASES as [Case];
  expect(() => advise(program, { at: 9, since }, today, seen, sky)).toThrow("no step 9");
});

test("halves go up", () => {
  expect([percent(14, 60), percent(1, 200), percent(1, 201)]).toEqual([23, 1, 0]);
});

describe("what was written since the office spoke", () => {
  const [{ program }] = CASES as [Case];
  const told = { program: "p", at: 1, since: "2032-02-03" };
  const dayOf = (instant: string): string => instant.slice(0, 10);
  const on = (id: number, kind: string, body: Record<string, unknown>, at = 40): Entry =>
    entry({ id, kind, body, at: at + id });
  const now = (...entries: Entry[]): Told => onward(told, program, entries, instant(30), dayOf);

  test("older records are in what it told", () => {
    const old = on(1, "stepped", { step: "back", shade_percent: 70 }, 20);
    expect(now(old)).toEqual(told);
  });

  test("a step begins anew, and so does a step back to the same shade", () => {
    const back = on(1, "stepped", { step: "back", shade_percent: 70, scorched: 14, of: 60 });
    expect(now(back)).toEqual({ ...told, at: 0, since: "2031-03-03", seen: NOTHING_SEEN });
    const same = on(1, "stepped", { step: "back", shade_percent: 50 });
    expect(now(same).since).toBe("2031-03-03");
  });

  test("who stays tells what is seen, and only with a count", () => {
    const stay = on(1, "stepped", { step: "stay", shade_percent: 50, scorched: 2, of: 60 });
    const { seen } = now(stay);
    expect([seen?.scorched, seen?.scorched_of, seen?.checks]).toEqual([2, 60, ["scorch"]]);
    const blank = on(1, "stepped", { step: "stay", shade_percent: 50 });
    const ofNone = on(2, "stepped", { step: "stay", shade_percent: 50, scorched: 2, of: 0 });
    const forward = on(3, "stepped", { step: "forward", shade_percent: 50, scorched: 9, of: 9 });
    expect(now(blank, ofNone, forward)).toEqual(told);
  });

  test("a wilt test and a root check are checks; other records are none", () => {
    const { seen } = now(
      on(1, "wilted", { wilted: 1, of: 20 }),
      on(2, "plugged", { none: 5, few: 0, many: 0, cull: 0 }),
      on(3, "graded", { a: 1, b: 0, c: 0 }),
      on(4, "counted", { method: "full", alive: 5 }),
    );
    expect([seen?.wilted, seen?.wilted_of, seen?.checks]).toEqual([1, 20, ["wilt", "roots"]]);
  });

  test("water that did not come stops the next step, until it came", () => {
    const failed = on(1, "watered", { failed: true });
    expect(now(failed).sky?.water_failed).toBe(true);
    expect(now(failed, on(2, "watered", { minutes: 9 })).sky?.water_failed).toBe(false);
  });

  test.each([
    [{ shade_percent: 0 }, 2],
    [{ shade_percent: 60 }, 0],
    [{ shade_percent: 90 }, 0],
    [{}, 0],
    [{ shade_percent: 50, sun_hours: 4 }, 1],
  ])("%o leads to step %i", (body, at) => {
    expect(now(on(1, "stepped", { step: "back", ...body })).at).toBe(at);
  });
});
