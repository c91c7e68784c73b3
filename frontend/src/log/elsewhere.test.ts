import { expect, test } from "vitest";
import { isClosedThere, upTo, type Living } from "./elsewhere";

const TOLD: Living = { as_of_seq: 40, batches: { "b-1": {} } };

test.each([
  ["one that the office tells among the living", "b-1", 12, TOLD, false],
  ["one that the office does not tell", "b-4", 12, TOLD, true],
  ["one whose last record the office had not heard of", "b-4", 41, TOLD, false],
  ["one of which this phone wrote and has not sent", "b-4", null, TOLD, false],
  ["any, where the office told nothing yet", "b-4", 12, null, false],
])("%s", (_, id, last, told, closed) => {
  expect(isClosedThere(id, last, told)).toBe(closed);
});

test("what was not sent yet is beyond every line of the feed", () => {
  expect(upTo([{ seq: 3 }, { seq: 9 }, { seq: 4 }])).toBe(9);
  expect(upTo([{ seq: 3 }, { seq: null }])).toBeNull();
  expect(upTo([])).toBeNull();
});
