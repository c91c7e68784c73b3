import { describe, expect, test } from "vitest";
import { entry, idOf, instant, type Raw } from "../testing/entries";
import { lately } from "./lately";

const told = (...raws: Raw[]) => lately(raws.map(entry));
const look = (id: number, answer: string, more: object = {}): Raw => ({
  id,
  kind: "looked",
  body: { answer, ...more },
});

describe("the last look", () => {
  test("is the last that stands, with who, when, how long and why", () => {
    const body = { plants: 53, minutes: 9, checklist: "weekly" };
    const { look: last } = told(look(1, "found"), look(2, "nothing", body));
    expect(last).toEqual({ at: instant(2), by: "p-1", answer: "nothing", why: null, ...body });
  });

  test("that was none leaves the last real one in its place", () => {
    const found = told(look(1, "nothing"), look(2, "not_looked", { why: "dark" }));
    expect(found.look).toMatchObject({ answer: "not_looked", why: "dark", plants: null });
    expect(found.lookedAt).toBe(instant(1));
  });

  test("is none once it is taken back", () => {
    const back: Raw = { id: 3, kind: "withdrawn", body: {}, corrects: 1 };
    expect(told(look(1, "nothing"), back)).toMatchObject({ look: null, lookedAt: null });
  });
});

describe("the last trap", () => {
  const trap = (id: number, body: Record<string, unknown>): Raw => ({ id, kind: "trapped", body });

  test("tells what was caught, and a wet one is no reading", () => {
    const catches = [{ pest: "thrips", count: 3 }];
    const found = told(
      trap(1, { answer: "read", catches }),
      trap(2, { answer: "not_readable", why: "wet" }),
    );
    expect(found.trap).toMatchObject({ answer: "not_readable", why: "wet", catches: [] });
    expect([found.readAt, found.replacedAt]).toEqual([instant(1), null]);
  });

  test("tells when it was changed", () => {
    expect(told(trap(4, { answer: "read", replaced: true })).replacedAt).toBe(instant(4));
  });
});

test("a check that is not done stays so with its reason", () => {
  const skipped: Raw = { kind: "skipped", body: { check: "look_over-1", reason: "screen" } };
  expect(told(skipped).skipped).toEqual(["look_over-1"]);
});

describe("a suspicion", () => {
  const find: Raw = { id: 2, kind: "found", body: { suspicion: true }, about: ["b-1", "q"] };
  const one = { find: idOf(2), at: instant(2), by: "p-1", about: ["b-1", "q"] };
  const after: [string, Raw[]][] = [
    ["nothing", []],
    ["its withdrawal", [{ id: 3, kind: "withdrawn", body: {}, corrects: 2 }]],
    [
      "a correction that says it is none",
      [{ ...find, id: 3, body: { suspicion: false }, corrects: 2 }],
    ],
    ["a correction that tells more", [{ ...find, id: 3, corrects: 2 }]],
    [
      "a correction of the correction",
      [
        { ...find, id: 3, corrects: 2 },
        { ...find, id: 4, corrects: 3 },
      ],
    ],
  ];

  test.each(after)("stays one after %s", (_, more) => {
    expect(told(find, ...more).suspicions).toEqual([one]);
  });

  test("began when it was first seen, though a correction came before it", () => {
    const earlier = { ...find, id: 3, at: 1, corrects: 2 };
    expect(told(find, earlier).suspicions).toEqual([{ ...one, at: instant(1) }]);
  });

  test("is none where nobody said so", () => {
    expect(told({ ...find, body: { suspicion: false } }).suspicions).toEqual([]);
  });
});

describe("a treatment", () => {
  const treated = (id: number, until: string | null): Raw => ({
    id,
    kind: "treated",
    body: {
      product: "oil",
      started_at: instant(10),
      ended_at: instant(30),
      ...(until === null ? {} : { reentry_until: until }),
    },
  });

  test("bars until its hour, or until somebody writes the hour", () => {
    expect(told(treated(1, instant(90)), treated(2, null)).treatments).toEqual([
      { endedAt: instant(30), until: instant(90) },
      { endedAt: instant(30), until: null },
    ]);
  });

  test("without an hour bars nobody once that is settled", () => {
    const settled: Raw = {
      id: 3,
      kind: "settled",
      body: { doubt: `reentry_missing:${idOf(2)}`, reason: "aired" },
    };
    expect(told(treated(2, null), settled).treatments).toEqual([]);
  });
});

test("what else is written changes nothing of it", () => {
  expect(told({ kind: "counted", body: { method: "full", alive: 3 } })).toEqual(told());
});
