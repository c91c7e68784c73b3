import { describe, expect, test } from "vitest";
import type { Entry } from "../../log/entry";
import { draftsOf, outTo, plantsOf, tooMany } from "./carrying";

const USUAL = new Map([
  ["b-t1", 43],
  ["b-t5", 29],
]);

describe("how many go out", () => {
  test.each<[string, Record<string, string>, [string, number][]]>([
    [
      "as many as are meant where nobody typed",
      {},
      [
        ["b-t1", 43],
        ["b-t5", 29],
      ],
    ],
    [
      "what was typed",
      { "b-t1": "40" },
      [
        ["b-t1", 40],
        ["b-t5", 29],
      ],
    ],
    ["none where none was typed", { "b-t1": "0" }, [["b-t5", 29]]],
    [
      "of another batch only what was typed",
      { "b-u": "2" },
      [
        ["b-t1", 43],
        ["b-t5", 29],
        ["b-u", 2],
      ],
    ],
  ])("is %s", (_, figures, wanted) => {
    const told = plantsOf({ figures }, ["b-t1", "b-t5", "b-u"], USUAL);
    expect(told.map(({ batch, plants }) => [batch, plants])).toEqual(wanted);
  });
});

test("what is carried is told about the batch and the block, what broke about the batch", () => {
  const some = [{ batch: "b-t3", plants: 2 }];
  expect(draftsOf("back", "terrace-4", some)).toEqual([
    {
      kind: "carried",
      about: ["b-t3", "terrace-4"],
      body: { way: "back", plants: 2, block: "terrace-4" },
    },
  ]);
  expect(draftsOf("broken", "terrace-4", some)).toEqual([
    {
      kind: "lost",
      about: ["b-t3"],
      body: { count: 2, fate: "culled", cause: "broken_in_transit", carried: true },
    },
  ]);
});

test("more can be neither back nor broken than are out; of what goes out nobody knows that", () => {
  const some = [{ batch: "b-t3", plants: 2 }];
  expect(tooMany("back", some, () => 1)).toEqual(["b-t3"]);
  expect(tooMany("broken", some, () => 2)).toEqual([]);
  expect(tooMany("out", some, () => 0)).toEqual([]);
});

test("what went out to a block is counted by its own records", () => {
  const carried = (batch: string, way: string, plants: number, block: string): Entry =>
    ({ kind: "carried", about: [batch, block], body: { way, plants, block } }) as unknown as Entry;
  const entries = [
    carried("b-t5", "out", 6, "terrace-4"),
    carried("b-t5", "out", 2, "terrace-4"),
    carried("b-t5", "back", 2, "terrace-4"),
    carried("b-t5", "out", 29, "terrace-3"),
    { kind: "noted", about: ["terrace-4"], body: {} } as unknown as Entry,
  ];
  expect([...outTo("terrace-4", entries)]).toEqual([["b-t5", 8]]);
});
