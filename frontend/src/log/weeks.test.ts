import { expect, test } from "vitest";
import { missedWeeks, nextWeeks } from "./weeks";

const STORY = [
  { first: "10-01", last: "11-15" },
  { first: "03-01", last: "03-31" },
];
const TURN = [{ first: "12-15", last: "01-15" }];

test.each([
  ["after a release in November", STORY, "2031-11-23", { first: "2032-03-01", last: "2032-03-31" }],
  ["before the first of October", STORY, "2031-08-30", { first: "2031-10-01", last: "2031-11-15" }],
  ["on the last day", STORY, "2031-11-15", { first: "2031-10-01", last: "2031-11-15" }],
  ["over the turn of the year", TURN, "2032-01-10", { first: "2031-12-15", last: "2032-01-15" }],
  ["where none were set", [], "2032-01-10", null],
])("the next planting weeks %s", (_, planting, from, weeks) => {
  expect(nextWeeks(planting, from)).toEqual(weeks);
});

test.each([
  ["those that the delay costs", "2031-05-17", "2031-11-23", ["2031-10-01"]],
  ["none that are open already", "2031-03-24", "2031-08-30", []],
  ["none in which the day lies", "2031-05-17", "2031-11-15", []],
])("missed are %s", (_, today, until, firsts) => {
  expect(missedWeeks(STORY, today, until).map(({ first }) => first)).toEqual(firsts);
});
