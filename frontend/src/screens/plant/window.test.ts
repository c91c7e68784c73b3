import { expect, test } from "vitest";
import { inView } from "./window";

test.each([
  ["the beginning", 0, 390, 48, 200, { first: 0, end: 19 }],
  ["the middle, with a screen to each side", 4800, 390, 48, 200, { first: 91, end: 119 }],
  ["the end", 9210, 390, 48, 200, { first: 182, end: 200 }],
  ["all of what fits", 0, 390, 48, 5, { first: 0, end: 5 }],
  ["nothing of nothing", 0, 390, 48, 0, { first: 0, end: 0 }],
  ["the beginning where a finger drew it beyond", -80, 390, 48, 200, { first: 0, end: 19 }],
  ["the end where it grew shorter meanwhile", 9210, 390, 48, 20, { first: 11, end: 20 }],
])("%s is drawn", (_, scrolled, seen, size, count, wanted) => {
  expect(inView(scrolled, seen, size, count)).toEqual(wanted);
});
