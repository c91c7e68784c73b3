import { expect, test } from "vitest";
import { isReckoned, lookLines, sentenceOf, share, surely } from "./looks";
import type { FindTold, LookTold, PestLooked } from "./shapes";

const LOOK: LookTold = {
  ...{ entry: "l1", on: "2032-09-14", by: "w1", block: "tr5", row: 2, answer: "found" },
  ...{ plants: 10, of: 14, minutes: 5, why: null },
};
const FIND: FindTold = {
  ...{ entry: "f1", on: "2032-09-14", by: "w1", block: "tr5", row: 2, positions: ["31"] },
  ...{ pest: "mite", symptom: null, plants: 1, suspicion: false },
};
const PEST: PestLooked = {
  ...{ pest: "mite", noticed: 0.02, seen: 1, usual: true, infested: 4, confidence: 0.7 },
  ...{ found_on: null, named: false },
};
const SEEN = { lot: 214, seen: 60, untold: 0 };

test("a find stands with the look that found it, and one that no look found stands alone", () => {
  const elsewhere = { ...FIND, entry: "f2", row: 3 };
  const earlier = { ...LOOK, entry: "l0", on: "2032-09-10", answer: "nothing" as const };
  const later = { ...FIND, entry: "f3", on: "2032-09-15" };
  const lines = lookLines({ looks: [LOOK, earlier], finds: [FIND, elsewhere, later] });
  expect(lines.map(({ key, finds }) => [key, finds.map(({ entry }) => entry)])).toEqual([
    ["f3", ["f3"]],
    ["l1", ["f1"]],
    ["f2", ["f2"]],
    ["l0", []],
  ]);
});

test("a look that found nothing takes no find of the same day as its own; each is told once", () => {
  const nothing = { ...LOOK, answer: "nothing" as const };
  const [first, second] = lookLines({ looks: [nothing], finds: [FIND] });
  expect([first?.finds, second?.look]).toEqual([[], null]);
  const twice = lookLines({ looks: [LOOK, { ...LOOK, entry: "l2" }], finds: [FIND] });
  expect(twice.map(({ finds }) => finds.length)).toEqual([1, 0]);
});

test.each([
  [0.9999, 99],
  [0.57, 57],
  [0.004, 0],
  [1, 100],
])("a confidence of %d is told as %d %%, rounded down", (confidence, told) => {
  expect(surely(confidence)).toBe(told);
});

test("shares are told down to one plant in ten thousand", () => {
  expect([0.02, 0.005, 0.0001, 1].map(share)).toEqual([2, 0.5, 0.01, 100]);
});

const PART = { name: "Mite", share: 2 };
test.each([
  [
    "how surely it would have been found",
    ...([{}, {}, "scout.sure", { ...PART, lot: 214, n: 60, sure: 70 }] as const),
  ],
  ["that nobody looked", { confidence: null }, { seen: 0 }, "scout.nobody", { name: "Mite" }],
  [
    "that nobody said how many",
    ...([
      { confidence: null },
      { seen: 0, untold: 2 },
      "scout.nobody_told",
      { name: "Mite" },
    ] as const),
  ],
  [
    "that the share is less than one plant",
    ...([
      { infested: 0, confidence: 1 },
      { lot: 40 },
      "scout.too_few",
      { ...PART, n: 40 },
    ] as const),
  ],
  [
    "that it was found, and nothing of its absence",
    ...([
      { found_on: "2032-09-14", named: true, confidence: null },
      {},
      "scout.was_found",
      { name: "Mite", on: "2032-09-14" },
    ] as const),
  ],
  [
    "that a find without a name may be it",
    ...([
      { found_on: "2032-09-14", confidence: null },
      {},
      "scout.may_be",
      { name: "Mite", on: "2032-09-14" },
    ] as const),
  ],
])("of a pest it is said %s", (_, change, seen, key, params) => {
  expect(sentenceOf({ ...PEST, ...change }, { ...SEEN, ...seen }, "Mite")).toEqual({ key, params });
});

test.each([
  [{}, true],
  [{ infested: 0 }, false],
  [{ confidence: null }, false],
  [{ found_on: "2032-09-14" }, false],
])("%j: its assumptions are told beside it: %s", (change, told) => {
  expect(isReckoned({ ...PEST, ...change })).toBe(told);
});
