import { describe, expect, test } from "vitest";
import {
  noStep,
  programBody,
  programTyping,
  stepField,
  wrongProgram,
  type ProgramBody,
  type ProgramTyping,
} from "./programs";

const BODY: ProgramBody = {
  name: "Six weeks",
  source: "House rules, 7",
  crops: ["lime"],
  steps: [
    { id: "s70", shade_percent: 70, days: 5, wind: "still", feed: "as before", checks: ["scorch"] },
    { id: "am", shade_percent: 30, days: 6, sun_hours: 5, water_every_days: 2, checks: [] },
    { id: "s0", shade_percent: 0 },
  ],
  limits: { scorch_share: 0.05, heat_c: 34, tropical: false },
  since: "2031-02-28",
};

const typed = (more: Partial<ProgramTyping> = {}): ProgramTyping => ({
  ...programTyping(BODY, "2031-07-30"),
  ...more,
});

test("a row that was typed before says the same again", () => {
  expect(programBody(typed(), BODY)).toEqual({
    ...BODY,
    steps: [
      BODY.steps[0],
      { ...BODY.steps[1], wind: "still" },
      { id: "s0", shade_percent: 0, days: 5, wind: "still", checks: [] },
    ],
    until: null,
  });
});

test("a new one begins today, with one step and the usual limits", () => {
  const blank = programTyping(null, "2031-07-30");
  expect([blank.since, blank.steps, blank.tropical]).toEqual(["2031-07-30", [noStep()], true]);
  const made = programBody({ ...blank, name: "New", steps: [{ ...noStep(), shade: "50" }] }, null);
  expect(made.limits).toEqual({ tropical: true });
  expect(made.steps[0]).toEqual({
    ...{ id: "shade_50", shade_percent: 50, days: 5, wind: "still", checks: ["scorch"] },
  });
});

describe("what cannot be is told at its field", () => {
  const [first, second, last] = typed().steps as [never, never, never];
  const steps = (shade: string): ProgramTyping["steps"] => [
    first,
    { ...(second as object), shade } as never,
    last,
  ];
  test.each([
    ["no name", { name: " " }, "name"],
    ["no source", { source: "" }, "source"],
    ["no step", { steps: [] }, "steps"],
    ["a shade that is no figure", { steps: steps("half") }, stepField(1, "shade")],
    ["more than all", { steps: steps("130") }, stepField(1, "shade")],
    ["more shade than before", { steps: steps("80") }, stepField(1, "shade")],
    [
      "part of a day",
      { steps: [{ ...(first as object), days: "2.5" } as never] },
      stepField(0, "days"),
    ],
    [
      "more hours than a day",
      { steps: [{ ...(first as object), hours: "30" } as never] },
      stepField(0, "hours"),
    ],
    ["a limit that is none", { limits: { ...typed().limits, heat_c: "hot" } }, "heat_c"],
  ])("%s", (_, more, field) => {
    expect(wrongProgram(typed(more), [])?.field).toBe(field);
  });

  test("what is sound is not told", () => {
    expect(wrongProgram(typed(), [])).toBeNull();
  });
});
