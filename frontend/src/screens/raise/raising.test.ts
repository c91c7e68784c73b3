import { describe, expect, test } from "vitest";
import { entry } from "../../testing/entries";
import {
  feedDraft,
  figureOf,
  graftDraft,
  graftings,
  lastTotal,
  leachateDraft,
  NO_GRAFT,
  oddTotal,
  tookDrafts,
  totalDraft,
  unusual,
} from "./raising";

test("what nobody typed is no figure", () => {
  expect([figureOf(undefined), figureOf(""), figureOf("x"), figureOf("0.9")]).toEqual([
    null,
    null,
    null,
    0.9,
  ]);
});

describe("running totals", () => {
  const entries = [
    entry({ id: 1, kind: "emerged", body: { total: 30 } }),
    entry({ id: 2, kind: "emerged", body: { total: 41 } }),
    entry({ id: 3, kind: "rooted", body: { total: 9 } }),
    entry({ id: 4, kind: "fed", body: { product: "x" } }),
  ];

  test("the last one of its kind counts", () => {
    expect([lastTotal(entries, "emerged"), lastTotal(entries, "rooted")]).toEqual([41, 9]);
    expect(lastTotal([], "rooted")).toBeNull();
  });

  test("abnormal seedlings and callused cuttings stand beside them", () => {
    expect(totalDraft("emerged", "b-1", { total: "45", beside: "2" }).body).toEqual({
      ...{ total: 45, abnormal: 2 },
    });
    expect(totalDraft("rooted", "b-1", { total: "9" }).body).toEqual({ total: 9 });
  });

  test.each([
    [40, 41, 60, "back"],
    [61, 41, 60, "more"],
    [41, 41, 60, null],
    [5, null, null, null],
    [null, 41, 60, null],
  ] as const)("%s after %s of %s is %s", (total, last, most, odd) => {
    expect(oddTotal(total, last, most)).toBe(odd);
  });
});

describe("grafting", () => {
  const graft = {
    ...NO_GRAFT,
    ...{ operator: "p-1", figures: { plants: "40", rootstock: "7.5" } },
  };

  test("hand and thickness are told, and the buds' batch with it", () => {
    expect(graftDraft("b-1", { ...graft, scion: "b-2" })).toEqual({
      kind: "worked",
      about: ["b-1", "b-2"],
      body: { method: "grafted", plants: 40, scion: "b-2", operator: "p-1", rootstock_mm: 7.5 },
    });
    expect(graftDraft("b-1", NO_GRAFT)).toEqual({
      ...{ kind: "worked", about: ["b-1"], body: { method: "grafted" } },
    });
  });

  test("a take is of the grafting it names", () => {
    const first = entry({ id: 1, kind: "worked", body: { method: "grafted", plants: 40 } });
    const second = entry({ id: 2, kind: "worked", body: { method: "budded", plants: 10 } });
    const took = { took: 36, failed: 4, graft: first.id };
    const told = graftings([first, second, entry({ id: 3, kind: "took", body: took })]);
    expect(told.map(({ plants, counted }) => [plants, counted])).toEqual([
      [40, true],
      [10, false],
    ]);
    expect(graftings([entry({ id: 3, kind: "took", body: { took: 1, failed: 0 } })])).toEqual([]);
  });

  test("what failed leaves only where it is thrown away", () => {
    const typed = { took: "36", failed: "4" };
    expect(tookDrafts("b-1", "e-1", typed, true, false)).toEqual([
      { kind: "took", about: ["b-1"], body: { took: 36, failed: 4, graft: "e-1" } },
      {
        kind: "lost",
        about: ["b-1"],
        body: { count: 4, fate: "culled", cause: "weak", kept: false, by_auditor: false },
      },
    ]);
    expect(tookDrafts("b-1", null, typed, false, false)).toHaveLength(1);
    expect(tookDrafts("b-1", null, {}, true, false)).toEqual([
      { kind: "took", about: ["b-1"], body: { took: 0, failed: 0 } },
    ]);
  });
});

describe("feed and what runs out of the pots", () => {
  test("figures that were typed are told", () => {
    expect(feedDraft(["b-1"], " Calcium nitrate ", { litres: "20", ppm: "80" }).body).toEqual({
      ...{ product: "Calcium nitrate", litres: 20, nitrogen_ppm: 80 },
    });
    expect(leachateDraft(["b-1"], { ec: "0.9", ph: "6.1", pots: "5" }).body).toEqual({
      readings: [
        { what: "ec_ms_cm", value: 0.9 },
        { what: "ph", value: 6.1 },
      ],
      pots: 5,
    });
  });

  test("figures out of the usual are told apart", () => {
    expect(unusual({ ec: "0.9", ph: "6.1" })).toEqual([]);
    expect(unusual({ ec: "2.4", ph: "4.9" })).toEqual(["ec", "ph"]);
    expect(unusual({})).toEqual([]);
  });
});
