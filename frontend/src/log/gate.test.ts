import { expect, test } from "vitest";
import { instant } from "../testing/entries";
import type { Instant } from "./entry";
import { gate, type Answer, type GateRow, type Here } from "./gate";

const at = (minute: number) => instant(minute) as Instant;
const row = (answer: Answer): GateRow => ({
  act: "move",
  batch: "b-1",
  answer,
  reason: "released",
  params: { notice: "RN-204" },
  valid_until: at(60),
});
const HERE: Here = { now: at(10), heldBy: [], reentryUntil: null };
const LATE: Here = { ...HERE, now: at(61) };
const HELD: Here = { ...HERE, heldBy: ["find"] };
const WET: Here = { ...HERE, reentryUntil: at(30) };

const CASES: [string, GateRow | undefined, Here, Answer, string][] = [
  ["says what the office said", row("yes"), HERE, "yes", "released"],
  ["says wait where the office did", row("wait"), HERE, "wait", "released"],
  ["cannot tell what the office never said", undefined, HERE, "cannot_tell", "not_told"],
  ["cannot tell from what is too old", row("yes"), LATE, "cannot_tell", "too_old"],
  ["cannot tell from a wait that is too old", row("wait"), LATE, "cannot_tell", "too_old"],
  ["keeps a no that is too old", row("no"), LATE, "no", "released"],
  ["cannot tell without a clock", row("yes"), { ...HERE, now: null }, "cannot_tell", "too_old"],
  ["says no to what this phone holds", row("yes"), HELD, "no", "held_here"],
  ["says no to what it holds and was not told of", undefined, HELD, "no", "held_here"],
  ["waits for re-entry", row("yes"), WET, "wait", "reentry"],
  ["lets in at the minute", row("yes"), { ...WET, now: at(30) }, "yes", "released"],
  ["a no is worse than re-entry", row("no"), WET, "no", "released"],
  ["not knowing is worse than re-entry", undefined, WET, "cannot_tell", "not_told"],
];

test.each(CASES)("a gate %s", (_, shipped, here, answer, reason) => {
  expect(gate(shipped, here)).toMatchObject({ answer, reason });
});

test("without a clock nobody goes in", () => {
  const verdict = gate(row("no"), { ...WET, now: null });
  expect(verdict.answer).toBe("no");
  expect(gate({ ...row("wait"), valid_until: at(90) }, { ...WET, now: at(10) }).answer).toBe(
    "wait",
  );
});
