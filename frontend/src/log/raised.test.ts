import { describe, expect, test } from "vitest";
import vectors from "../../../tests/vectors/propagation.json";
import { entry } from "../testing/entries";
import type { Entry } from "./entry";
import {
  cameUp,
  classOf,
  cuttingsOf,
  graftsOf,
  seedsIn,
  taken,
  takenBy,
  totalOf,
  type Share,
} from "./raised";

const BEGAN = Date.parse("2031-03-01T08:00:00.000Z");
const after = (days: number): string => new Date(BEGAN + days * 86_400_000).toISOString();
/** The nursery of the vectors lies ten hours before Greenwich. */
const dayOf = (at: string) => new Date(Date.parse(at) + 36e6).toISOString().slice(0, 10);
const on = (days: number, one: Entry): Entry => ({ ...one, occurredAt: after(days) }) as Entry;
const BATCH = { id: "b-1", label: "B1" };
const sown = (seeds: number) =>
  on(0, entry({ kind: "sown", body: { batch: BATCH, seeds }, id: 1 }));

describe("seed that comes up", () => {
  test.each(vectors.came)("$name", ({ sown: seeds, counts, told }) => {
    const came = counts.map(([day, total, abnormal], i) =>
      on(day ?? 0, entry({ kind: "emerged", body: { total, abnormal }, id: i + 2 })),
    );
    const found = cameUp("b-1", [sown(seeds), ...came], dayOf);
    expect(
      found && {
        curve: found.curve.map(({ day, total }) => [day, total]),
        ...{ abnormal: found.abnormal, percent: found.percent },
        ...{ first: found.firstDay, last: found.lastDay, half: found.halfDay },
      },
    ).toEqual(told);
  });

  test("of what was not sown, and in another batch, there is nothing", () => {
    const came = on(4, entry({ kind: "emerged", body: { total: 3 }, id: 2 }));
    expect(cameUp("b-1", [came], dayOf)).toBeNull();
    expect(cameUp("b-2", [sown(9), came], dayOf)).toBeNull();
  });

  test("counted before it was sown, by a clock that was wrong: on the first day", () => {
    const later = on(1, sown(9));
    const came = on(0, entry({ kind: "emerged", body: { total: 3 }, id: 2 }));
    expect(cameUp("b-1", [later, came], dayOf)?.curve).toEqual([{ day: 0, total: 3 }]);
  });
});

const FULL = vectors.take.map(({ grafts, ...told }) => ({
  ...told,
  entries: grafts.flatMap(([plants, operator, mm, took, failed], i) => {
    const body = {
      ...{ method: "grafted", plants },
      ...(operator === null ? {} : { operator }),
      ...(mm === null ? {} : { rootstock_mm: mm }),
    };
    const worked = on(i, entry({ kind: "worked", body, id: 10 + i }));
    const count = { took, failed, graft: worked.id };
    const counted = on(30 + i, entry({ kind: "took", body: count, id: 50 + i }));
    return took === null ? [worked] : [worked, counted];
  }),
}));
const short = (one: Share & { name: string }) => [one.name, one.took, one.of];

describe("grafts that take", () => {
  test.each(FULL)("$name", ({ entries, all, rootstock, operator }) => {
    const grafts = graftsOf("b-1", entries);
    const share = taken(grafts);
    expect(share && [share.took, share.of, share.percent, share.low, share.high]).toEqual(all);
    const classes = takenBy(grafts, ({ rootstockMm }) => classOf(rootstockMm));
    expect(classes.map(short)).toEqual(rootstock);
    expect(takenBy(grafts, (one) => one.operator).map(short)).toEqual(operator);
  });

  test("a count that names no grafting is of the last before it, and a later one stands", () => {
    const entries = [
      on(0, entry({ kind: "took", body: { took: 9, failed: 0 }, id: 2 })),
      on(1, entry({ kind: "worked", body: { method: "grafted", plants: 10 }, id: 3 })),
      on(2, entry({ kind: "worked", body: { method: "grafted", plants: 10, took: 4 }, id: 4 })),
      on(3, entry({ kind: "worked", body: { method: "grafted", plants: 10 }, id: 5 })),
      on(4, entry({ kind: "took", body: { took: 5, failed: 5 }, id: 6 })),
      on(5, entry({ kind: "took", body: { took: 6, failed: 4 }, id: 7 })),
    ];
    const found = graftsOf("b-1", entries);
    expect(found.map(({ took, failed }) => [took, failed])).toEqual([
      [null, null],
      [4, 6],
      [6, 4],
    ]);
  });

  test("a count of a grafting that was corrected stays with it", () => {
    const first = on(1, entry({ kind: "worked", body: { method: "grafted", plants: 40 }, id: 2 }));
    const body = { method: "grafted", plants: 42 };
    const right = on(1, entry({ kind: "worked", body, id: 3, corrects: 2 }));
    const count = { took: 30, failed: 10, graft: first.id };
    const found = graftsOf("b-1", [
      ...[first, right],
      on(20, entry({ kind: "took", body: count, id: 4 })),
    ]);
    expect(found.map(({ plants, took }) => [plants, took])).toEqual([[42, 30]]);
  });

  test("what was taken from a batch, and what a newer version wrote, is no graft of its own", () => {
    const body = { method: "budded", plants: 3, scion: "b-1" };
    const newer = entry({ kind: "took", body: { took: 1, failed: 1 }, id: 3, v: 9 });
    expect(graftsOf("b-1", [on(1, entry({ kind: "worked", body, id: 2 })), newer])).toEqual([]);
  });
});

describe("running totals", () => {
  const set = (id: string, n: number) => ({ batch: { id, label: id }, cuttings: n });
  const entries = [
    on(0, entry({ kind: "stuck", body: set("b-1", 60), id: 1 })),
    on(1, entry({ kind: "stuck", body: set("b-2", 9), id: 2, about: ["b-2", "b-1"] })),
    on(20, entry({ kind: "rooted", body: { total: 45 }, id: 3 })),
    on(21, entry({ kind: "rooted", body: { total: 40 }, id: 4 })),
  ];

  test("the highest is told, and none where nobody counted", () => {
    expect(totalOf("b-1", "rooted", entries)).toBe(45);
    expect(totalOf("b-1", "emerged", entries)).toBeNull();
  });

  test("seed is what was sown here", () => {
    expect([seedsIn("b-1", [sown(9)]), seedsIn("b-1", entries)]).toEqual([9, 0]);
  });

  test("cuttings are those of the batch that they were set in", () => {
    expect([cuttingsOf("b-1", entries), cuttingsOf("b-2", entries)]).toEqual([60, 9]);
  });
});
