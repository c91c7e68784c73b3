import { expect, test } from "vitest";
import type { EntryId, Instant } from "../../log/entry";
import type { Breach } from "../../log/room";
import { draftOf, gapOf, isHalf, NO_REPORT } from "./report";

const ZONE = "Etc/GMT-10";
const TORN: Breach = {
  ...{ line: "tear" as EntryId, what: "screen", sizeCm: 35, mended: null },
  ...{ at: "2031-08-12T19:40:00.000Z" as Instant },
  ...{ lastGoodAt: "2031-08-12T06:30:00.000Z" as Instant },
};
const typed = (from: string, until: string) => ({ ...NO_REPORT, gap: { from, until } });

test.each([
  ["over midnight", "2210", "0545", "2031-08-12T12:10:00.000Z", "2031-08-12T19:45:00.000Z"],
  ["in one evening", "1700", "1830", "2031-08-12T07:00:00.000Z", "2031-08-12T08:30:00.000Z"],
  ["in the morning after", "0100", "0545", "2031-08-12T15:00:00.000Z", "2031-08-12T19:45:00.000Z"],
  ["for a whole day", "1630", "1629", "2031-08-12T06:30:00.000Z", "2031-08-13T06:29:00.000Z"],
])("a gap %s is found by its two hours", (_, from, until, since, to) => {
  expect(gapOf(typed(from, until), TORN, ZONE)).toEqual({ from: since, until: to });
});

test("where nobody knows when it was last whole, the day before the tear counts", () => {
  const gap = gapOf(typed("2210", "0545"), { ...TORN, lastGoodAt: null }, ZONE);
  expect(gap?.from).toBe("2031-08-12T12:10:00.000Z");
});

test.each([
  ["", "", false],
  ["2210", "0545", false],
  ["2210", "", true],
  ["2210", "05", true],
])("%s and %s: one hour is no gap", (from, until, half) => {
  expect(isHalf(typed(from, until))).toBe(half);
  expect(gapOf(typed(from, until), TORN, ZONE) === null).toBe(half || from === "");
});

test("what nobody wrote is not in the record", () => {
  const { body } = draftOf({ ...NO_REPORT, moved: " T6 to bench 2 " }, "q-room", TORN, null);
  expect(body).toEqual({ incident: "tear", moved: "T6 to bench 2" });
});
