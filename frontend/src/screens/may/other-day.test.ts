import { expect, test } from "vitest";
import { verdict, type Answer, type Verdict } from "../../log/gate";
import type { Instant } from "../../log/entry";
import { onDay } from "./other-day";

const told = (answer: Answer) => ({
  ...{ answer, reason: "as_told", params: {}, opens: null, opens_at: null },
});
const FREE = verdict("yes", "allowed");
const HELD = verdict("no", "held_here", { by: ["EM-77"] });
const UNKNOWN = verdict("wait", "reentry_unknown");
const wet = (until: string): Verdict =>
  verdict("wait", "reentry", { until }, null, until as Instant);
const dayOf = (at: string): string => at.slice(0, 10);

test.each<[string, Answer, Verdict, string]>([
  ["the office's word stands", "yes", FREE, "as_told"],
  ["a wait of the office stands", "wait", FREE, "as_told"],
  ["what this phone holds is held then too", "yes", HELD, "held_here"],
  ["also where the office waits", "wait", HELD, "held_here"],
  ["also where the office cannot tell", "cannot_tell", HELD, "held_here"],
  ["a no of the office is told first", "no", HELD, "as_told"],
  ["re-entry that nobody wrote has no end", "yes", UNKNOWN, "reentry_unknown"],
  ["and where the office cannot tell that is told", "cannot_tell", UNKNOWN, "as_told"],
  ["re-entry that ends on the day is over then", "yes", wet("2031-05-08T20:00:00.000Z"), "as_told"],
  ["re-entry that ends later is not", "yes", wet("2031-05-09T01:00:00.000Z"), "reentry"],
  ["a phone's old word of now says nothing", "yes", verdict("cannot_tell", "too_old"), "as_told"],
])("%s", (_, answer, here, reason) => {
  expect(onDay(told(answer), here, "2031-05-08", dayOf).reason).toBe(reason);
});
