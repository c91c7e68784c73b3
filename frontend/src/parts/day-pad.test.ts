import { expect, test } from "vitest";
import { dayOf, yearsOf } from "./day-pad";

test.each([
  [2031, 3, "3", "2031-03-03"],
  [2031, 2, "29", null],
  [2032, 2, "29", "2032-02-29"],
  [2031, null, "3", null],
  [2031, 3, "", null],
  [2031, 3, "0", null],
  [2031, 3, "99", null],
])("year %i, month %o, date %o is the day %o", (year, month, date, day) => {
  expect(dayOf(year, month, date)).toBe(day);
});

test.each([
  [false, [2031, 2030, 2029]],
  [true, [2031, 2032]],
])("of days to come (%s) the years are %j", (coming, years) => {
  expect(yearsOf("2031-03-24", 3, coming)).toEqual(years);
});

test("further days to come are among the years before", () => {
  expect(yearsOf("2031-03-24", 2, false, 1)).toEqual([2032, 2031, 2030]);
});
