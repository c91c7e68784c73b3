import { expect, test } from "vitest";
import { figuresOf, hourOf, shownHour } from "./hour";

test.each([
  ["1630", "16:30", "16:30"],
  ["730", "07:30", "07:30"],
  ["0015", "00:15", "00:15"],
  ["2400", null, "24:00"],
  ["1275", null, "12:75"],
  ["190", null, "19:0"],
  ["16", null, "16"],
  ["", null, "–"],
])("the figures %j are the hour %s, and stand there as %s", (figures, hour, shown) => {
  expect([hourOf(figures), shownHour(figures)]).toEqual([hour, shown]);
  if (hour !== null) expect(hourOf(figuresOf(hour))).toBe(hour);
});
