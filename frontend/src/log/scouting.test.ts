import { describe, expect, test } from "vitest";
import { instant } from "../testing/entries";
import type { EntryId, Instant } from "./entry";
import type { Occupant } from "./positions";
import {
  BLANK,
  foundDraft,
  isIn,
  mostOf,
  nextRow,
  pickable,
  ready,
  scoutDrafts,
  subjectsOf,
  toggled,
  withTyped,
  type About,
  type ScoutForm,
} from "./scouting";

const at = (minute: number) => instant(minute) as Instant;
const ROW = { number: 5, first: 61, holes: 4 } as const;
const plant = (batch: string, state: Occupant["state"] = "alive"): Occupant => ({
  ...{ batch, at: at(0), entry: "e-1" as EntryId, state },
  ...{ cause: null, first: true, look: null },
});
const KEPT = {
  positions: { "61": plant("t6"), "62": plant("t1"), "63": plant("t6", "dead") },
  left_empty: ["64"],
};
const TR5: About = { block: "tr5", row: ROW, kept: KEPT, now: at(6), grave: false };
const form = (more: Partial<ScoutForm>): ScoutForm => ({ ...BLANK, since: at(0), ...more });

test("no more plants are looked at than live in the row", () => {
  expect(mostOf(ROW, KEPT)).toBe(2);
  expect(pickable(ROW, KEPT)).toEqual(["61", "62"]);
});

test.each([
  ["no record of the row", null],
  ["nobody planted", { positions: {}, left_empty: [] }],
])("where this phone knows of no plant every position may have one: %s", (_, kept) => {
  expect(mostOf(ROW, kept)).toBe(4);
  expect(pickable(ROW, kept)).toEqual(["61", "62", "63", "64"]);
});

test("a position is taken in and out by a tap, and stands in walking order", () => {
  const two = toggled(toggled([], "101"), "61");
  expect(two).toEqual(["61", "101"]);
  expect(toggled(two, "101")).toEqual(["61"]);
});

test.each([
  ["64", true, ["62", "64"]],
  ["064", true, ["62", "64"]],
  ["62", true, ["62"]],
  ["60", false, ["62"]],
  ["65", false, ["62"]],
  ["", false, ["62"]],
])("typed figures are taken in where the row has them: %s", (typed, has, positions) => {
  expect(isIn(ROW, typed)).toBe(has);
  expect(withTyped(form({ typed: { at: typed }, positions: ["62"] }), ROW)).toEqual(positions);
});

describe("an answer can be saved", () => {
  test.each([
    [{}, false],
    [{ plants: 3 }, false],
    [{ answer: "nothing", plants: 0 }, false],
    [{ answer: "nothing", plants: 3 }, true],
    [{ answer: "found", plants: 0 }, false],
    [{ answer: "found", plants: 1 }, true],
    [{ answer: "not_looked" }, false],
    [{ answer: "not_looked", why: "wet" }, true],
  ] as const)("%o: %s", (more, can) => {
    expect(ready(form(more))).toBe(can);
  });
});

describe("a look at a row writes", () => {
  test("how many plants were seen, and in how many minutes", () => {
    expect(scoutDrafts(form({ answer: "nothing", plants: 12 }), TR5)).toEqual([
      {
        ...{ kind: "looked", about: ["tr5.5"] },
        body: { answer: "nothing", plants: 12, minutes: 6 },
      },
    ]);
  });

  test("no minutes where nobody can say them", () => {
    const [looked] = scoutDrafts({ ...BLANK, answer: "nothing", plants: 2 }, TR5);
    expect(looked?.body).toEqual({ answer: "nothing", plants: 2 });
  });

  test("why nobody looked, and no plants", () => {
    const some = form({ answer: "not_looked", plants: 9, why: "wet" });
    expect(scoutDrafts(some, TR5)).toEqual([
      { kind: "looked", about: ["tr5.5"], body: { answer: "not_looked", why: "wet" } },
    ]);
  });

  test("a find about the row and the batches of the plants that have it", () => {
    const some = form({
      ...{ answer: "found", plants: 12, pest: "blackfly", symptom: "curled", part: "bud" },
      ...{ positions: ["61", "62", "63"] },
    });
    const [looked, found] = scoutDrafts(some, TR5);
    expect(looked?.body).toMatchObject({ answer: "found", plants: 12 });
    expect(found).toEqual({
      kind: "found",
      about: ["tr5.5", "t6", "t1"],
      body: {
        ...{ suspicion: false, pest: "blackfly", symptom: "curled", part: "bud" },
        ...{ positions: ["61", "62", "63"], plants: 3 },
      },
    });
  });

  test("a find of which nobody says anything yet", () => {
    const [, found] = scoutDrafts(form({ answer: "found", plants: 1 }), TR5);
    expect(found).toEqual({ kind: "found", about: ["tr5.5"], body: { suspicion: false } });
  });

  test("a suspicion where the pest is on a list", () => {
    const grave = foundDraft(form({ pest: "psyllid" }), { ...TR5, grave: true });
    expect(grave.body).toEqual({ suspicion: true, pest: "psyllid" });
  });

  test("the row alone where this phone knows of no plant", () => {
    expect(subjectsOf(["61"], { ...TR5, kept: null })).toEqual(["tr5.5"]);
  });
});

describe("the row that comes next", () => {
  const rows = [1, 2, 3].map((number) => ({ number, first: number, holes: 1 }));
  const layout = { id: "tr5", rows: [...rows, { ...ROW, number: 4, stands: "shelter" as const }] };
  test.each([
    ["the first", [], 1],
    ["the one after the last", [2], 3],
    ["one that was passed over", [2, 3], 1],
    ["none", [1, 2, 3], undefined],
  ])("is %s", (_, done, next) => {
    expect(nextRow(layout, new Set(done))?.number).toBe(next);
  });
});
