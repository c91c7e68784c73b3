import { describe, expect, test } from "vitest";
import { signOf } from "../batch/signs";
import { COUNTED, lost, RECEIVED } from "../../testing/batches";
import { idOf, instant, raw, type Raw } from "../../testing/entries";
import { figuresOf, withFigure } from "./figures";
import { writtenBy } from "./today";

describe("my records of today", () => {
  const by = (author: string, given: Raw): Raw => ({ ...given, author });
  const mine = by("p-2", lost(3, 2));
  const fixed: Raw = { ...by("p-3", lost(9, 4)), at: 3, corrects: 3 };
  const lines = (person: string, from: number, until: number, ...given: Raw[]) =>
    writtenBy(person, given.map(raw), instant(from), instant(until)).map(({ line }) => line);
  const all = [by("p-1", RECEIVED), by("p-1", COUNTED), mine, fixed];

  test("are what I wrote, whoever put it right later", () => {
    expect(lines("p-2", 0, 60, ...all)).toEqual([idOf(3)]);
  });
  test("and what I put right myself", () => {
    expect(lines("p-3", 0, 60, ...all)).toEqual([idOf(3)]);
  });
  test("the newest first, and none of another time", () => {
    expect(lines("p-1", 0, 60, ...all)).toEqual([idOf(2), idOf(1)]);
    expect(lines("p-1", 2, 60, ...all)).toEqual([idOf(2)]);
    expect(lines("p-1", 0, 1, ...all)).toEqual([idOf(1)]);
  });
});

describe("the figures of a record", () => {
  const read = {
    readings: [
      { what: "ph", value: 6.1 },
      { what: "ec_ms_cm", value: 0.9 },
    ],
    pots: 5,
    version: 2,
    names: ["a"],
    instrument: "hand meter",
  };
  test("are told with what they are of", () => {
    expect(figuresOf(read)).toEqual([
      { path: ["readings", 0, "value"], field: "value", of: "ph", value: 6.1 },
      { path: ["readings", 1, "value"], field: "value", of: "ec_ms_cm", value: 0.9 },
      { path: ["pots"], field: "pots", of: null, value: 5 },
    ]);
    expect(figuresOf({ some: [{ left: 3 }] })[0]?.of).toBeNull();
  });
  test("are put right one by one; all else stays", () => {
    expect(withFigure(read, ["readings", 1, "value"], 1.2)).toEqual({
      ...read,
      readings: [read.readings[0], { what: "ec_ms_cm", value: 1.2 }],
    });
    expect(withFigure(read, ["pots"], 6)).toEqual({ ...read, pots: 6 });
  });
});

test.each([
  ["counted", {}, "count"],
  ["looked", { answer: "nothing" }, "nothing-found"],
  ["looked", { answer: "new" }, "look-over"],
  ["looked", {}, "look-over"],
  ["trapped", { answer: "not_readable" }, "wet-trap"],
  ["trapped", { answer: "read" }, "trap"],
  ["unheard_of", {}, "paper"],
])("beside a record of %s %j stands %s", (kind, body, sign) => {
  expect(signOf({ kind, body })).toBe(sign);
});
