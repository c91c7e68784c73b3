import { describe, expect, test } from "vitest";
import {
  decimal,
  emergedOf,
  fedOf,
  prickedOf,
  prickingOf,
  rootedOf,
  seedsOf,
  sowingOf,
  sownOf,
  stuckOf,
  tookOf,
  unread,
  workedOf,
  type Sowing,
} from "./raising";

const BORN = { id: "b-1", label: "S1", place: "bench-1", container: "" };

test.each([
  [{ seeds_per_kg: 3000, grams: 250 }, 750],
  [{ seeds_per_kg: 3333, grams: 0.5 }, 2],
  [{ seeds_per_kg: null, grams: 250 }, null],
  [{ seeds_per_kg: 3000 }, null],
])("%j is %j seeds by weight", (lot, seeds) => {
  expect(seedsOf(lot)).toBe(seeds);
});

test.each([
  [{ cells: "72", per_cell: "2" }, 144],
  [{ cells: "72" }, 72],
  [{ per_cell: "2" }, null],
])("%j: %j seeds sown", (figures, seeds) => {
  expect(sownOf({ figures })).toBe(seeds);
});

describe("figures", () => {
  test.each([
    ["2,5", 2.5],
    ["", null],
    ["1.234", null],
  ])("%j reads %j", (text, value) => {
    expect(decimal({ mm: text }, "mm")).toBe(value);
  });

  test("what can be read in two ways is asked about", () => {
    expect(unread({ mm: "1.234", plants: "3" }, ["plants", "mm"])).toBe("1.234");
    expect(unread({ mm: "7.5" }, ["plants", "mm"])).toBeNull();
  });
});

describe("sowing", () => {
  const form: Sowing = {
    ...BORN,
    ...{ lot: "mango-1", words: " ", crop: "mango", before: [], lasted: {} },
    figures: { cells: "72", per_cell: "2", depth: "12,5" },
  };

  test("writes cells, seeds, depth and the row that the seed is of", () => {
    expect(sowingOf(form, "soaked 24 h")).toEqual({
      kind: "sown",
      about: ["b-1"],
      body: {
        batch: { id: "b-1", label: "S1", place: "bench-1", crop: "mango", cells: 72 },
        ...{ seeds: 144, seed_lot: "mango-1", pretreatment: "soaked 24 h" },
        ...{ per_cell: 2, depth_mm: 12.5 },
      },
    });
  });

  test("seed that no row describes stands in words, and what is not known is left out", () => {
    const bare = { ...form, lot: "", words: " own fruit ", figures: { cells: "5" }, place: "" };
    expect(sowingOf(bare, "").body).toEqual({
      batch: { id: "b-1", label: "S1", crop: "mango", cells: 5 },
      ...{ seeds: 5, seed_lot: "own fruit" },
    });
  });
});

test("running totals are written as they stand, nought too", () => {
  expect(emergedOf("b-1", { total: "40", abnormal: "0" }).body).toEqual({ total: 40, abnormal: 0 });
  expect(emergedOf("b-1", { total: "0" }).body).toEqual({ total: 0 });
  expect(rootedOf("b-1", { total: "40", callused: "5" }).body).toEqual({ total: 40, callused: 5 });
  expect(rootedOf("b-1", { total: "40" }).body).toEqual({ total: 40 });
});

describe("pricking out", () => {
  const child = { id: "b-2", label: "P1", count: 0, place: null, stage: "seedlings" };
  const from = { id: "b-1", cause: "j_root", kept: false };

  test("moved and discarded are what came up: the loss first, then the new batch", () => {
    const sum = prickingOf({ moved: "36", discarded: "4" }, 40);
    expect(sum).toEqual({ moved: 36, discarded: 4, left: 0 });
    expect(prickedOf(sum, from, child)).toEqual([
      {
        ...{ kind: "lost", about: ["b-1"] },
        body: { count: 4, fate: "culled", cause: "j_root", kept: false },
      },
      {
        ...{ kind: "pricked", about: ["b-1", "b-2"] },
        body: {
          parents: [{ id: "b-1", left: 0 }],
          children: [{ id: "b-2", label: "P1", count: 36, stage: "seedlings" }],
        },
      },
    ]);
  });

  test("none discarded is no loss, and none moved is no batch", () => {
    expect(prickedOf(prickingOf({ moved: "3" }, 40), from, child).map(({ kind }) => kind)).toEqual([
      "pricked",
    ]);
    expect(
      prickedOf(prickingOf({ discarded: "3" }, 40), from, child).map(({ kind }) => kind),
    ).toEqual(["lost"]);
  });

  test("more than there were leave none, and no figure below nought", () => {
    const sum = prickingOf({ moved: "41" }, 40);
    expect(sum.left).toBe(-1);
    expect(prickedOf(sum, from, child)[0]?.body).toMatchObject({ parents: [{ left: 0 }] });
  });
});

test("cuttings are written of the new batch and of those that gave them", () => {
  const form = { ...BORN, crop: "", figures: { cuttings: "60" } };
  expect(stuckOf(form, ["b-9"])).toEqual({
    ...{ kind: "stuck", about: ["b-1", "b-9"] },
    body: {
      batch: { id: "b-1", label: "S1", place: "bench-1" },
      ...{ cuttings: 60, parents: ["b-9"] },
    },
  });
  expect(stuckOf({ ...form, figures: {} }, []).body).toMatchObject({ cuttings: 0 });
});

describe("grafting", () => {
  const form = { method: "grafted", scion: "b-9", operator: null } as const;

  test("names the hand, the scion and the diameter", () => {
    expect(workedOf({ ...form, figures: { plants: "40", mm: "7.5" } }, "b-1", "w2")).toEqual({
      ...{ kind: "worked", about: ["b-1", "b-9"] },
      body: { method: "grafted", plants: 40, scion: "b-9", operator: "w2", rootstock_mm: 7.5 },
    });
  });

  test("scions from elsewhere are of no batch", () => {
    const bare = { ...form, scion: "", figures: {} };
    expect(workedOf(bare, "b-1", "")).toEqual({
      ...{ kind: "worked", about: ["b-1"], body: { method: "grafted", plants: 0 } },
    });
  });

  const graft = { id: "b-1", graft: "e-1", kept: false };

  test("what took names its grafting", () => {
    expect(tookOf(graft, { took: "32" }, false)[0]?.body).toEqual({
      ...{ took: 32, failed: 0, graft: "e-1" },
    });
    const [counted] = tookOf(graft, { failed: "8" }, false);
    expect(counted?.body).toMatchObject({ took: 0, failed: 8 });
  });

  test.each([
    ["those that did not take leave as culled", { took: "32", failed: "8" }, true, 2],
    ["unless nobody throws them away", { took: "32", failed: "8" }, false, 1],
    ["and none leaves where all took", { took: "40", failed: "0" }, true, 1],
  ])("%s", (_, figures, thrownAway, drafts) => {
    const made = tookOf({ ...graft, kept: true }, figures, thrownAway);
    expect(made).toHaveLength(drafts);
    const lost = { count: 8, fate: "culled", cause: "weak", kept: true };
    expect(made.slice(1).map(({ body }) => body)).toEqual(drafts === 2 ? [lost] : []);
  });
});

test("feeding is one record of all that were fed", () => {
  const form = { about: null, product: " N-P-K ", figures: { litres: "20", ec: "1,2" } };
  expect(fedOf(form, ["b-1", "b-2"])).toEqual({
    ...{ kind: "fed", about: ["b-1", "b-2"] },
    body: { product: "N-P-K", litres: 20, ec_ms_cm: 1.2 },
  });
});
