import { expect, test } from "vitest";
import vectors from "../../../tests/vectors/survey.json";
import type { EntryId, Instant } from "./entry";
import type { Occupant } from "./positions";
import { cropRows } from "./planting-row";
import {
  countDue,
  checkOf,
  COUNT_DAYS,
  daysOf,
  everyOf,
  holesOf,
  monthsOf,
  nextOf,
  openOf,
  progress,
  sampled,
  skipped,
  surveyed,
  tallied,
  writtenAt,
} from "./survey";

const NOW = Date.parse("2032-09-13T07:00:00.000Z");
const ROW = { number: 5, first: 61, holes: 5, stands: "crop" } as const;

/** The id of a record that was written so many days ago. */
function written(days: number): EntryId {
  const ms = (NOW - days * 86_400_000).toString(16).padStart(12, "0");
  return `${ms.slice(0, 8)}-${ms.slice(8)}-7000-8000-000000000001` as EntryId;
}

function plant(more: Partial<Occupant> = {}): Occupant {
  return {
    ...{ batch: "t6", at: "2032-03-12T06:00:00.000Z" as Instant, entry: written(185) },
    ...{ state: "alive", cause: null, first: true, look: null, ...more },
  };
}

const KEPT = {
  positions: {
    "61": plant({ look: written(0) }),
    "62": plant({ look: written(1), state: "dead", cause: "drought" }),
    "63": plant({ look: written(100), state: "missing", cause: "unknown" }),
    "64": plant({ look: written(COUNT_DAYS + 1) }),
  },
  left_empty: ["65"],
};

test.each(Object.entries(vectors.sampled))("rows of a count: %s", (_, { rows, every, chosen }) => {
  const some = Array.from({ length: rows }, (_, i) => ({ number: i + 1, first: 1, holes: 2 }));
  const shelter = { number: rows + 1, first: 1, holes: 9, stands: "shelter" as const };
  const layout = { id: "tr5", rows: [...some, shelter], count_every: every };
  expect(cropRows(layout)).toHaveLength(rows);
  expect(sampled(layout)).toEqual(chosen);
});

test.each(Object.entries(vectors.turns))("when to count: %s", (_, { turn, ...told }) => {
  const days = "days" in told ? told.days : undefined;
  expect(countDue(told.planted, told.months, told.counted, told.today, days)).toEqual(turn);
});

test("a layout that says nothing of it has every row counted, at the usual months", () => {
  const layout = { id: "tr5", rows: [] };
  expect([everyOf(layout), monthsOf(layout)]).toEqual([1, [1, 3, 6, 12]]);
  expect(monthsOf({ ...layout, count_months: [2] })).toEqual([2]);
  expect([daysOf(layout), daysOf({ ...layout, count_days: 8 })]).toEqual([21, 8]);
});

test("a position is asked once in a count, and not once it is gone or nobody stood there", () => {
  const holes = holesOf(ROW, KEPT, NOW);
  expect(holes.map(({ name }) => name)).toEqual(["61", "62", "63", "64", "65"]);
  expect(holes.map(({ counted }) => counted)).toEqual([true, true, false, false, false]);
  expect(openOf(holes).map(({ name }) => name)).toEqual(["64"]);
  expect(holes[4]).toMatchObject({ plant: null, leftEmpty: true });
  expect(progress(holes)).toEqual({ done: 2, all: 3 });
  expect(tallied(holes)).toEqual({
    of: { alive: 2, dead: 1, missing: 1, rootstock_only: 0 },
    planted: 4,
  });
});

test("a look counts from its tap on; one at nobody stays to be kept and shows nobody", () => {
  const waiting = [
    { position: "64", state: "alive" },
    { position: "64", state: "dead", cause: "theft" },
    { position: "65", state: "dead" },
  ] as const;
  const holes = holesOf(ROW, KEPT, NOW, waiting);
  expect(holes[3]).toMatchObject({ counted: true, open: false });
  expect(holes[3]?.plant).toMatchObject({ state: "dead", cause: "theft", batch: "t6" });
  expect(holes[4]).toMatchObject({ plant: null, counted: false, open: false });
  const [alive] = holesOf({ ...ROW, first: 64 }, KEPT, NOW, waiting.slice(0, 1));
  expect(alive?.plant).toMatchObject({ state: "alive", cause: null });
});

test("a look of before the days that belong to one count asks anew", () => {
  expect(openOf(holesOf(ROW, KEPT, NOW, [], 30))).toEqual([]);
  const seen = { positions: { "61": plant({ look: written(5) }) }, left_empty: [] };
  expect(openOf(holesOf(ROW, seen, NOW, [], 4)).map(({ name }) => name)).toEqual(["61"]);
});

test("a count is skipped by its check, with its reason (rule F-30)", () => {
  const check = {
    ...{ id: "survival-1", kind: "survival", subject: "tr5", skipped_by: null },
    params: { months: 6, on: "2032-09-12" },
  };
  const turn = { months: 6, on: "2032-09-12" };
  expect(checkOf([check], "tr5", turn)).toBe(check);
  expect(checkOf([check], "tr4", turn)).toBeNull();
  expect(checkOf([{ ...check, kind: "trap" }], "tr5", turn)).toBeNull();
  expect(checkOf([check], "tr5", { ...turn, months: 1 })).toBeNull();
  expect(checkOf([check], "tr5", { ...turn, on: "2032-09-13" })).toBeNull();
  expect(skipped("tr5", "survival-1", "flood")).toEqual({
    ...{ kind: "skipped", about: ["tr5"], body: { check: "survival-1", reason: "flood" } },
  });
});

test("of a row that this phone knows nothing of nothing is asked", () => {
  expect(progress(holesOf(ROW, null, NOW))).toEqual({ done: 0, all: 0 });
});

test("the walk goes on, and comes back to what was passed over", () => {
  const kept = { positions: { "61": plant(), "62": plant(), "63": plant() }, left_empty: [] };
  const after = (...names: string[]) =>
    holesOf(
      ROW,
      kept,
      NOW,
      names.map((position) => ({ position, state: "alive" })),
    );
  expect(nextOf(after(), null)?.name).toBe("61");
  expect(nextOf(after("61"), "61")?.name).toBe("62");
  expect(nextOf(after("63"), "63")?.name).toBe("61");
  expect(nextOf(after("61"), "62")?.name).toBe("62");
  expect(nextOf(holesOf(ROW, null, NOW), "63")).toBeNull();
});

test("a look is about its row, which keeps it", () => {
  const seen = [{ position: "61", state: "dead", cause: "drought" }] as const;
  expect(surveyed("tr5", ROW, seen)).toEqual({
    kind: "surveyed",
    about: ["tr5.5"],
    body: { block: "tr5", row: "5", seen },
  });
});

test("a record's id tells when it was written", () => {
  expect(writtenAt(written(3))).toBe(NOW - 3 * 86_400_000);
});
