import { expect, test } from "vitest";
import { momentOf, NOW, stamped, type When } from "./when";

const when = (more: Partial<When>): When => ({ ...NOW, ...more });

test.each([
  [when({}), "now"],
  [when({ day: "today", hour: "1020" }), "2031-05-16T00:20:00.000Z"],
  [when({ day: "yesterday", hour: "730" }), "2031-05-14T21:30:00.000Z"],
  [when({ day: "other", on: "2031-05-04", hour: "0720" }), "2031-05-03T21:20:00.000Z"],
  [when({ day: "other", hour: "0720" }), null],
  [when({ day: "today", hour: "2460" }), null],
])("%j is %s", (said, moment) => {
  expect(momentOf(said, "2031-05-16", "Etc/GMT-10")).toBe(moment);
});

test("only a moment that a person typed stands in the record", () => {
  const at = momentOf(when({ day: "today", hour: "1020" }), "2031-05-16", "Etc/GMT-10");
  expect([stamped("now"), stamped(null), stamped(at)]).toEqual([{}, {}, { occurredAt: at }]);
});
