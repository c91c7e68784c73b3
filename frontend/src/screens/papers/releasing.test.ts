import { describe, expect, test } from "vitest";
import { countOf, differing, draftOf, NO_NOTICE, shownOf, type Releasing } from "./releasing";

const alive = { T1: 50, T2: 52, T3: 47, T5: 43, T6: 41, U: 8 };
const TRAYS = Object.entries(alive).map(([label, n]) => ({ id: `b-${label}`, label, alive: n }));
const NOTHING = { earliest: null, rule: null };
const notice = (more: Partial<Releasing>): Releasing => ({
  ...NO_NOTICE,
  ...{ notice: "RN-204", photos: ["p-1"] },
  ...more,
});

describe("a release notice", () => {
  test("of the story is for all that live", () => {
    const shown = { earliest: "2031-11-23", rule: "Permit CQ-118, condition 2" };
    const form = notice({ conditions: "look again at six months" });
    expect(differing(form, TRAYS)).toEqual([]);
    expect(draftOf(form, TRAYS, shown, {})).toEqual({
      ...{ kind: "released", about: TRAYS.map(({ id }) => id) },
      body: {
        ...{ notice: "RN-204", count: 241, conditions: "look again at six months", photo: "p-1" },
        plants: TRAYS.map(({ id, alive: count }) => ({ id, count })),
        ...{ shown_earliest: "2031-11-23", shown_rule: "Permit CQ-118, condition 2" },
      },
    });
  });

  test("with the figure of before says by how much it differs, and is kept", () => {
    expect(differing(notice({ total: "243" }), TRAYS)).toEqual([
      { label: null, said: 243, alive: 241 },
    ]);
    const old = notice({ counts: { "b-T1": "51", "b-T3": "48" } });
    expect(countOf(old, TRAYS)).toBe(243);
    expect(differing(old, TRAYS)).toEqual([
      { label: null, said: 243, alive: 241 },
      { label: "T1", said: 51, alive: 50 },
      { label: "T3", said: 48, alive: 47 },
    ]);
    expect(draftOf(old, TRAYS, NOTHING, {}).body).toMatchObject({ count: 243 });
  });

  test("of what nobody counted names the batch by its id", () => {
    const bare = [{ id: "b-x", label: null, alive: null }];
    const form = notice({ counts: { "b-x": "3" }, photos: [] });
    expect(differing(form, bare)[1]).toEqual({ label: "b-x", said: 3, alive: 0 });
    const at = { occurredAt: "2031-11-23T22:30:00.000Z" as never };
    expect(draftOf(form, bare, NOTHING, at)).toEqual({
      ...{ kind: "released", about: ["b-x"], ...at },
      body: { notice: "RN-204", count: 3, plants: [{ id: "b-x", count: 3 }] },
    });
    expect(countOf(NO_NOTICE, bare)).toBe(0);
  });
});

test("the day that was shown is the latest of all batches, with the text that gave it", () => {
  const clock = (earliest: string | null, ...sources: unknown[]) => ({
    earliest,
    reasons: sources.map((source) => ({ params: { source } })),
  });
  expect(
    shownOf([clock("2031-08-30", "A"), null, clock("2031-11-23", undefined, "B"), clock(null)]),
  ).toEqual({ earliest: "2031-11-23", rule: "B" });
  expect(shownOf([clock("2031-08-30"), clock("2031-08-30", "late")])).toMatchObject({ rule: null });
  expect(shownOf([])).toEqual(NOTHING);
});
