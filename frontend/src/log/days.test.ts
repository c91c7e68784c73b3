import { expect, test } from "vitest";
import { apart, later } from "./days";

test.each([
  ["2031-05-17", 10, "2031-05-27"],
  ["2031-05-27", 180, "2031-11-23"],
  ["2032-02-28", 1, "2032-02-29"],
  ["2031-12-31", 1, "2032-01-01"],
  ["2031-03-01", -1, "2031-02-28"],
])("%s and %i days is %s", (from, days, to) => {
  expect([later(from, days), apart(from, to)]).toEqual([to, days]);
});
