import { expect, it } from "vitest";
import { BLANK, practiceOf, wrongOf } from "./drawing";

it.each([
  [{ count_days: "0" }, "count_days"],
  [{ count_days: "367" }, "count_days"],
  [{ count_days: "10.5" }, "count_days"],
  [{ count_days: "soon" }, "count_days"],
  [{ most: "0" }, "most"],
  [{ most: "101" }, "most"],
  [{ most: "half" }, "most"],
  [{ most: "33.3", count_days: "366" }, null],
  [{ most: " ", count_days: "" }, null],
])("of how a block is counted and thinned %j is wrong in %s", (more, field) => {
  expect(wrongOf({ ...BLANK, rows: "3 x 2", ...more })).toBe(field);
});

it("keeps what was typed of counts and thinning, and nothing where the usual holds", () => {
  expect(practiceOf(BLANK)).toEqual({});
  const typed = { ...BLANK, count_days: " 14", most: "40" };
  expect(practiceOf(typed)).toEqual({ count_days: 14, most_percent: 40 });
  expect(practiceOf({ ...BLANK, count_days: "soon", most: "0" })).toEqual({});
});
