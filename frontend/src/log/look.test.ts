import { describe, expect, test } from "vitest";
import { instant, raw } from "../testing/entries";
import { read, type Instant } from "./entry";
import {
  BLANK,
  listed,
  lookDrafts,
  minutesOf,
  plantsOf,
  planOf,
  type About,
  type LookForm,
} from "./look";

const at = (minute: number) => instant(minute) as Instant;
const WEEKLY = {
  id: "weekly",
  version: 2,
  items: [
    { id: "top", plants: null },
    { id: "under", plants: 4 },
  ],
};
const T5: About = {
  ...{ id: "b-1", alive: 50, check: "look_over-1", through: WEEKLY, now: at(13) },
  ...{ keeps: true, grave: false },
};
const form = (more: Partial<LookForm>): LookForm => ({ ...BLANK, since: at(0), ...more });
const bodies = (more: Partial<LookForm>, about: Partial<About> = {}) =>
  lookDrafts(form(more), { ...T5, ...about }).map(({ kind, body }) => [kind, body]);

describe("what is looked at", () => {
  test.each([
    ["all for what asks for all, so many for what asks for some", 50, [50, 4]],
    ["never more than live", 3, [3, 3]],
    ["as asked where nobody counted", null, [null, 4]],
  ])("is %s", (_, alive, plants) => {
    expect(planOf(WEEKLY, alive).map((one) => one.plants)).toEqual(plants);
  });

  test("is what a person says otherwise", () => {
    const said = { under: { answer: "not_looked" as const, plants: null } };
    expect(planOf(WEEKLY, 50, said)[1]).toEqual({
      item: "under",
      answer: "not_looked",
      plants: null,
    });
  });

  test("adds up to the most that one item was looked at on", () => {
    const plan = planOf(WEEKLY, 50);
    expect(plantsOf(plan, 50)).toBe(50);
    const over = { top: { answer: "not_looked" as const, plants: 50 } };
    expect(plantsOf(planOf(WEEKLY, 50, over), 50)).toBe(4);
    expect(plantsOf([], 50)).toBe(50);
    const none = planOf({ items: [{ id: "top", plants: null }] }, null);
    expect(plantsOf(none, null)).toBeNull();
  });
});

test.each([
  [at(0), at(13), 13],
  [at(0), "2031-03-03T00:00:20.000Z", 0.3],
  [at(0), "2031-03-03T00:12:31.000Z", 13],
  [at(0), at(180), 180],
  [at(0), at(181), null],
  [at(5), at(4), null],
  ["", at(4), null],
])("a look from %s to %s took %s min", (since, now, minutes) => {
  expect(minutesOf(since, now as Instant)).toBe(minutes);
});

describe("a look makes", () => {
  test("one record of a clean tray, with plants, minutes, items and the check that it answers", () => {
    expect(bodies({ answer: "nothing" })).toEqual([
      [
        "looked",
        {
          answer: "nothing",
          plants: 50,
          minutes: 13,
          checklist: "weekly",
          version: 2,
          items: [
            { item: "top", answer: "nothing", plants: 50 },
            { item: "under", answer: "nothing", plants: 4 },
          ],
          check: "look_over-1",
        },
      ],
    ]);
  });

  test("no figure of what was not looked at", () => {
    const seen = { under: { answer: "not_looked" as const, plants: 4 } };
    const [[, body] = []] = bodies({ answer: "nothing", seen });
    expect(body).toMatchObject({
      items: [{ item: "top" }, { item: "under", answer: "not_looked" }],
    });
    expect((body as { items: object[] }).items[1]).not.toHaveProperty("plants");
  });

  test("no more than it knows: without checklist, check, count and opening", () => {
    const bare = { through: null, check: null, alive: null };
    expect(bodies({ answer: "nothing", since: "" }, bare)).toEqual([
      ["looked", { answer: "nothing" }],
    ]);
  });

  test("a blank with its reason, and nothing that looks like a look", () => {
    const blank = { answer: "not_looked" as const, why: "dark" };
    expect(bodies(blank)).toEqual([
      ["looked", { answer: "not_looked", why: "dark", check: "look_over-1" }],
    ]);
    expect(bodies({ answer: "not_looked" }, { check: null })).toEqual([
      ["looked", { answer: "not_looked" }],
    ]);
  });

  test("three records of a find with dead plants", () => {
    const told = { symptom: "stem_rot", part: "stem", sick: 3, dead: 2 };
    const [looked, ...more] = bodies({ answer: "found", ...told });
    expect(looked).toMatchObject(["looked", { answer: "found", plants: 50, minutes: 13 }]);
    expect(looked?.[1]).not.toHaveProperty("items");
    expect(more).toEqual([
      ["found", { suspicion: false, symptom: "stem_rot", part: "stem", plants: 3 }],
      ["lost", { count: 2, fate: "died", cause: "stem_rot", kept: true, by_auditor: false }],
    ]);
  });

  test("items of a find where a person said in which of them it was", () => {
    const seen = { under: { answer: "found" as const, plants: 4 } };
    const [[, body] = []] = bodies({ answer: "found", seen });
    expect(body).toMatchObject({ items: [{ answer: "nothing" }, { answer: "found" }] });
  });

  test("dead plants as the person says: not kept, of no known cause", () => {
    expect(bodies({ answer: "found", symptom: "spots", dead: 1, kept: false })[2]).toEqual([
      "lost",
      { count: 1, fate: "died", kept: false, by_auditor: false },
    ]);
  });

  test("a suspicion of a pest that is on the list", () => {
    expect(bodies({ answer: "found", pest: "blackfly" }, { grave: true })[1]).toEqual([
      "found",
      { suspicion: true, pest: "blackfly" },
    ]);
  });

  test.each([
    form({ answer: "nothing" }),
    form({ answer: "not_looked", why: "dark" }),
    form({ answer: "found", symptom: "spots", part: "leaf", pest: "thrips", sick: 1, dead: 1 }),
  ])("records that can be read: %o", (one) => {
    for (const { kind, body } of lookDrafts(one, T5)) {
      expect(read(raw({ kind, body }))).toMatchObject({ kind });
    }
  });
});

test("a pest is listed from the day of its listing on", () => {
  const term = (since: string, pests: unknown, rule = "listed") => ({
    ...{ id: since, rule, since, says: { pests } },
  });
  const terms = [
    term("2031-03-01", ["blackfly"]),
    term("2031-03-09", ["canker"]),
    term("2031-03-01", ["thrips"], "other"),
    term("2031-03-01", "x"),
  ];
  expect([...listed(terms, "2031-03-03")]).toEqual(["blackfly"]);
});
