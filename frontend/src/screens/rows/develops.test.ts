import { expect, test } from "vitest";
import { lookingBody, lookingTyping, wrongLooking } from "./develops";
import type { PestBody } from "./shapes";

const MOTH: PestBody = {
  name: "Fictive moth",
  noticed: 0.005,
  seen: 0.8,
  develops: {
    ...{ lower_c: -0.5, upper_c: 33.25, generation_dd: 310.5, source: "From memory" },
    biofix: "2032-09-01",
  },
};
const BLANK = lookingTyping(null, ".");
const WARM = { ...BLANK, lower: "10", perGeneration: "300", developsSource: "A guide" };

test.each([".", ","])("what is typed with %s is the row that it was filled from", (mark) => {
  const typed = lookingTyping(MOTH, mark);
  expect(wrongLooking(typed)).toBeNull();
  const { noticed, seen, develops } = MOTH;
  expect(lookingBody(typed, MOTH)).toEqual({ noticed, seen, develops });
});

test("shares stand in percent, and an empty one is the usual one", () => {
  const typed = lookingTyping(MOTH, ".");
  expect([typed.noticed, typed.seen]).toEqual(["0.5", "80"]);
  const left = lookingBody({ ...typed, noticed: " ", seen: "" }, MOTH);
  expect([left.noticed, left.seen]).toEqual([undefined, undefined]);
});

test("a pest of whose warmth nothing is typed says nothing of it, and one that said so no more", () => {
  expect([wrongLooking(BLANK), lookingBody(BLANK, null).develops]).toEqual([null, undefined]);
  expect(lookingBody(BLANK, MOTH).develops).toBeNull();
});

test.each([
  [{ noticed: "0" }, { field: "noticed", value: "0", says: "rows.odd_noticed" }],
  [{ noticed: "101" }, { field: "noticed", value: "101", says: "rows.odd_noticed" }],
  [{ noticed: "few" }, { field: "noticed", value: "few", says: "rows.odd_noticed" }],
  [{ seen: "0.5" }, { field: "seen", value: "0.5", says: "rows.odd_seen" }],
  [{ seen: "1.234" }, { field: "seen", value: "1.234", says: "rows.odd_seen" }],
  [{ lower: "" }, { field: "develops.lower_c", value: null, says: "rows.develops_lacks" }],
  [{ lower: "cold" }, { field: "develops.lower_c", value: "cold", says: "rows.odd_lower" }],
  [{ lower: "-21" }, { field: "develops.lower_c", value: "-21", says: "rows.odd_lower" }],
  [{ upper: "10" }, { field: "develops.upper_c", value: "10", says: "rows.odd_upper" }],
  [{ upper: "61" }, { field: "develops.upper_c", value: "61", says: "rows.odd_upper" }],
  [
    { perGeneration: " " },
    { field: "develops.generation_dd", value: null, says: "rows.develops_lacks" },
  ],
  [
    { perGeneration: "0" },
    { field: "develops.generation_dd", value: "0", says: "rows.odd_generation" },
  ],
  [
    { perGeneration: "10001" },
    { field: "develops.generation_dd", value: "10001", says: "rows.odd_generation" },
  ],
  [{ developsSource: "" }, { field: "develops.source", value: null, says: "rows.develops_lacks" }],
  [{ upper: "33,5", noticed: "0,01", seen: "1", lower: "-20" }, null],
])("%j: %j", (change, wrong) => {
  expect(wrongLooking({ ...WARM, ...change })).toEqual(wrong);
});

test("a first day alone asks for the figures that it is counted with", () => {
  expect(wrongLooking({ ...BLANK, biofix: "2032-09-01" })?.field).toBe("develops.lower_c");
});
