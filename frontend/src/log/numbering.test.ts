import { expect, test } from "vitest";
import { following, heads, proposed, row } from "./numbering";

test.each([
  ["T6", "T7"],
  ["T9", "T10"],
  ["B09", "B10"],
  ["R2a", "R3a"],
  ["bench", "bench1"],
])("after %s comes %s", (label, next) => {
  expect(following(label)).toBe(next);
});

test("a row of labels passes over those that stand somewhere else", () => {
  expect(row("T5", 3, ["T 06", "t8"])).toEqual(["T5", "T7", "T9"]);
});

test("the letters most used come first", () => {
  expect(heads(["T1", "T2", "PA1", "A4", "U"])).toEqual(["T", "A", "PA"]);
});

test.each([
  ["after the highest of the letters most used", ["T6", "T2", "PA9"], undefined, "T7"],
  ["after the highest of the letters asked for", ["T6", "PA9"], "PA", "PA10"],
  ["with a first one where nothing has a name", [], undefined, "T1"],
  ["with a first one of new letters", ["T6"], "B", "B1"],
  ["with no number that is a word", ["T6", "TX"], undefined, "T7"],
])("a label is proposed %s", (_, labels, head, label) => {
  expect(proposed(labels, head)).toBe(label);
});
