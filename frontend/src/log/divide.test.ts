import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { batchJson } from "./batch";
import { common, divided, leftOver, type Giver, type Taker } from "./divide";
import { read, type Instant } from "./entry";
import * as fold from "./fold";
import { raw } from "../testing/entries";
import { written } from "./write";

const IDS = ["b-1", "b-2", "b-3"];

/** Trays that were counted, and then give plants to others by one record. */
const acts = fc
  .record({
    kind: fc.constantFrom("split" as const, "mixed" as const, "joined" as const),
    alive: fc.array(fc.nat({ max: 60 }), { minLength: 1, maxLength: 3 }),
    left: fc.array(fc.nat({ max: 60 }), { minLength: 3, maxLength: 3 }),
    counts: fc.array(fc.nat({ max: 60 }), { minLength: 1, maxLength: 2 }),
  })
  .map(({ kind, alive, left, counts }) => {
    const givers = alive.map((n, i): Giver => ({ id: IDS[i] ?? "", alive: n, left: left[i] ?? 0 }));
    const takers = counts.map((count, i): Taker => ({ id: `u-${i}`, label: `U${i}`, count }));
    return { kind, givers, takers };
  });

function after(kind: "split" | "mixed" | "joined", givers: Giver[], takers: Taker[]) {
  const arrivals = givers.flatMap(({ id, alive }, i) => [
    raw({
      id: 2 * i + 1,
      kind: "received",
      about: [id],
      body: { consignment: "c-1", batches: [{ id, label: `T${i}` }] },
    }),
    raw({
      id: 2 * i + 2,
      kind: "counted",
      about: [id],
      body: { method: "full", alive },
    }),
  ]);
  const draft = divided(kind, givers, takers);
  const entries = [
    ...arrivals,
    raw({ id: 99, kind: draft.kind, about: draft.about, body: { ...draft.body } }),
  ]
    .map(read)
    .filter((one) => one !== null);
  return [...givers, ...takers].map(({ id }) => batchJson(fold.batch(id, entries)));
}

describe("after a split, a join or lost labels", () => {
  test("the group has what it had, less what the figures leave over", () => {
    fc.assert(
      fc.property(acts, ({ kind, givers, takers }) => {
        const states = after(kind, givers, takers);
        const before = givers.reduce((sum, { alive }) => sum + (alive ?? 0), 0);
        const alive = states.reduce((sum, state) => sum + (state.alive ?? 0), 0);
        expect(before - alive).toBe(leftOver(givers, takers));
      }),
    );
  });

  test("the account of every batch balances", () => {
    fc.assert(
      fc.property(acts, ({ kind, givers, takers }) => {
        for (const { ledger } of after(kind, givers, takers)) {
          const between = ledger.split + ledger.mixed + ledger.joined;
          expect(ledger.in).toBe(ledger.alive + between + ledger.difference);
        }
      }),
    );
  });

  test("nothing is left over where the figures add up: what went is what came", () => {
    fc.assert(
      fc.property(acts, fc.integer({ min: 0, max: 60 }), ({ kind, givers, takers }, more) => {
        const taken = takers.reduce((sum, { count }) => sum + count, 0);
        const one = { id: "b-1", left: more, alive: more + taken };
        const still = givers.slice(1).map((giver) => ({ ...giver, left: giver.alive ?? 0 }));
        expect(leftOver([one, ...still], takers)).toBe(0);
        const states = after(kind, [one, ...still], takers);
        expect(states.reduce((sum, { ledger }) => sum + ledger[kind], 0)).toBe(0);
      }),
    );
  });

  test("a batch keeps what it is called and how many it has", () => {
    fc.assert(
      fc.property(acts, ({ kind, givers, takers }) => {
        const states = after(kind, givers, takers);
        for (const { id, left } of givers) {
          expect(states.find((state) => state.id === id)?.alive).toBe(left);
        }
        for (const { id, label, count } of takers) {
          expect(states.find((state) => state.id === id)).toMatchObject({ label, alive: count });
        }
      }),
    );
  });
});

test("the story's eight pots of T3 or T5", () => {
  const givers = [
    { id: "b-1", left: 48, alive: 53 },
    { id: "b-2", left: 43, alive: 46 },
  ];
  const takers = [{ id: "b-3", label: "U", count: 8 }];
  expect(leftOver(givers, takers)).toBe(0);
  expect(after("mixed", givers, takers).map(({ alive, ledger }) => [alive, ledger.mixed])).toEqual([
    [48, 5],
    [43, 3],
    [8, -8],
  ]);
});

test("where a batch was never counted nothing can be left over", () => {
  expect(leftOver([{ id: "b-1", left: 5, alive: null }], [])).toBeNull();
});

test("what is not known of a new batch is left out of its record", () => {
  const taker = { id: "b-9", label: "U", count: 8, place: "r-1", crop: null, cells: null };
  const draft = divided("mixed", [{ id: "b-1", left: 1, alive: 9 }], [taker]);
  expect(draft).toEqual({
    kind: "mixed",
    about: ["b-1", "b-9"],
    body: {
      parents: [{ id: "b-1", left: 1 }],
      children: [{ id: "b-9", label: "U", count: 8, place: "r-1" }],
    },
  });
  const pen = { author: "p", confirmed: true, device: "d", install: "i", offsetMin: 0 };
  const now = "2031-03-03T00:00:00.000Z" as Instant;
  const text = written(draft, { ...pen, now, skewMs: null, basedOn: null }, STAMP);
  expect(read(JSON.parse(text))).toMatchObject({ kind: "mixed" });
});
const STAMP = { id: "00000000-0000-7000-8000-000000000001", n: 1, salt: "6f0c" };

test.each([
  [["q", "q"], "q"],
  [["q", "r"], null],
  [["q", null], null],
  [[], null],
])("of %j the common thing is %j", (values, one) => {
  expect(common(values)).toBe(one);
});
