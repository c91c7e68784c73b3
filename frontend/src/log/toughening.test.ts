import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { read, type Entry } from "./entry";
import { entry, instant } from "../testing/entries";
import {
  advise,
  CLEAR,
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

interface Scene {
  readonly name: string;
  readonly told: Omit<Told, "program">;
  readonly entries: readonly unknown[];
  readonly office: Partial<Told>;
}

const { program: SLOW, scenes: SCENES } = JSON.parse(
  readFileSync("../tests/vectors/toughened.json", "utf8"),
) as { program: Program; scenes: Scene[] };
const HOURS_EAST = 10;
const dayOf = (at: string): string =>
  new Date(Date.parse(at) + HOURS_EAST * 3_600_000).toISOString().slice(0, 10);

describe("what the office will say of a batch, this phone says at once", () => {
  test.each(SCENES)("$name", ({ told, entries: raws, office }) => {
    const entries = raws.map(read).filter((one): one is Entry => one !== null);
    const typed = { batch: "t1", entries, after: "", dayOf };
    const { seen = NOTHING_SEEN, ...now } = onward({ ...told, program: "slow" }, SLOW, typed);
    const checks = [...seen.checks].sort();
    expect({ sky: CLEAR, ...now, seen: { ...seen, checks } }).toMatchObject(office);
  });
});

test("what was written before the office spoke is in what it told", () => {
  const told = { program: "p", at: 1, since: "2032-02-03" };
  const back = { step: "back", shade_percent: 70 };
  const entries = [entry({ kind: "stepped", body: back, at: 20 })];
  const typed = { batch: "b-1", entries, after: instant(30), dayOf };
  expect(onward(told, SLOW, typed)).toEqual(told);
  expect(onward(told, SLOW, { ...typed, after: instant(10) }).at).toBe(0);
});

test("records that say nothing of toughening change nothing", () => {
  const told = { program: "p", at: 1, since: "2032-02-03" };
  const entries = [
    entry({ id: 1, kind: "graded", body: { a: 1, b: 0, c: 0 } }),
    entry({ id: 2, kind: "counted", body: { method: "full", alive: 5 } }),
  ];
  expect(onward(told, SLOW, { batch: "b-1", entries, after: "", dayOf })).toEqual(told);
});

test("of no plants looked at nothing is counted", () => {
  const told = { program: "p", at: 1, since: "2032-02-03" };
  const body = { step: "stay", shade_percent: 50, scorched: 2, of: 0 };
  const entries = [entry({ kind: "stepped", body })];
  expect(onward(told, SLOW, { batch: "b-1", entries, after: "", dayOf })).toEqual(told);
});
