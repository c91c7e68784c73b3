import { expect, test } from "vitest";
import { asMain, parts, yearDay } from "./year-days";

test.each([
  [10, "1", "10-01"],
  [2, "29", "02-29"],
  [2, "30", null],
  [4, "31", null],
  [12, "0", null],
  [null, "1", null],
  [3, "", null],
])("month %o, date %o is the day of the year %o", (month, date, day) => {
  expect(yearDay(month, date)).toBe(day);
});

test("a day of the year falls into its parts", () => {
  expect(parts("03-01")).toEqual({ month: 3, date: "1" });
});

test("those made the main ones stand first", () => {
  const [spring, autumn] = [
    { first: "03-01", last: "03-31" },
    { first: "10-01", last: "11-15" },
  ];
  expect(asMain([spring, autumn], 1)).toEqual([autumn, spring]);
  expect(asMain([spring, autumn], 7)).toEqual([spring, autumn]);
});
