import { describe, expect, test } from "vitest";
import { folded } from "../testing/batches";
import { doubtOf } from "./mistaps";
import { idOf, type Raw } from "../testing/entries";

describe("a suspicion", () => {
  const find: Raw = { id: 2, kind: "found", body: { suspicion: true } };
  const sample: Raw = {
    id: 4,
    kind: "sampled",
    body: { sample: "S-1", plants: 1, found: idOf(2) },
  };
  const result = (verdict: string, sampled = "S-1"): Raw => ({
    id: 5,
    kind: "resulted",
    body: { sample: sampled, verdict },
  });
  const lift = (lifts?: string): Raw => ({
    id: 5,
    kind: "ordered",
    body: { act: "lift", reference: "L-1", ...(lifts === undefined ? {} : { lifts }) },
  });
  const answered: [string, Raw[]][] = [
    ["a negative result", [sample, result("negative")]],
    ["the authority", [lift()]],
    ["the authority by its name", [lift(idOf(2))]],
    ["the grower", [{ id: 5, kind: "settled", body: { doubt: doubtOf(idOf(2)), reason: "soot" } }]],
  ];
  const open: [string, Raw[]][] = [
    ["nobody", []],
    ["a result that is not negative", [sample, result("confirmed")]],
    ["another sample's result", [sample, result("negative", "S-9")]],
    [
      "a sample that names no find",
      [{ ...sample, body: { sample: "S-1", plants: 1 } }, result("negative")],
    ],
    [
      "somebody who is no grower",
      [
        {
          id: 5,
          kind: "settled",
          body: { doubt: `suspicion:${idOf(2)}`, reason: "soot" },
          author: "p-2",
        },
      ],
    ],
    [
      "the grower without a reason",
      [{ id: 5, kind: "settled", body: { doubt: `suspicion:${idOf(2)}`, reason: " " } }],
    ],
    ["a lift of something else", [lift("Q-9")]],
    [
      "an order of another kind",
      [{ id: 5, kind: "ordered", body: { act: "treat", reference: "Q" } }],
    ],
  ];

  test.each(answered)("is answered by %s", (_, more) => {
    expect(folded("b-1", find, ...more).finds).toEqual([]);
  });

  test.each(open)("is not answered by %s", (_, more) => {
    expect(folded("b-1", find, ...more).finds).toEqual([idOf(2)]);
  });

  test("is known by its line, however often it was corrected", () => {
    const corrected = { ...find, id: 3, corrects: 2 };
    const later = { ...sample, body: { sample: "S-1", plants: 1, found: idOf(3) } };
    expect(folded("b-1", find, corrected).finds).toEqual([idOf(2)]);
    expect(folded("b-1", find, corrected, later, result("negative")).finds).toEqual([]);
  });

  test("a find that is none starts nothing", () => {
    expect(folded("b-1", { ...find, body: { suspicion: false } }).finds).toEqual([]);
  });
});
