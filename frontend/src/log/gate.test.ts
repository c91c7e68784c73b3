import { describe, expect, test } from "vitest";
import { instant } from "../testing/entries";
import type { Instant } from "./entry";
import { gate, type Answer, type GateRow, type Here } from "./gate";

const at = (minute: number) => instant(minute) as Instant;
const row = (answer: Answer, opensAt: Instant | null = null): GateRow => ({
  answer,
  reason: "released",
  params: { notice: "RN-204" },
  opens: null,
  opens_at: opensAt,
  valid_until: at(60),
});
const HERE: Here = { now: at(10), heldBy: [], reentryUntil: null, reentryUnknown: false };
const LATE: Here = { ...HERE, now: at(61) };
const HELD: Here = { ...HERE, heldBy: ["find"] };
const WET: Here = { ...HERE, reentryUntil: at(30) };
const UNSAID: Here = { ...HERE, reentryUnknown: true };

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
  [
    "tells a hold of its own before what the office said earlier",
    row("no"),
    HELD,
    "no",
    "held_here",
  ],
  [
    "tells a hold as the office knows it",
    { ...row("no"), reason: "held_by_order" },
    HELD,
    "no",
    "held_by_order",
  ],
  ["waits for re-entry", row("yes"), WET, "wait", "reentry"],
  ["waits for an hour that nobody wrote", row("yes"), UNSAID, "wait", "reentry_unknown"],
  ["lets in at the minute", row("yes"), { ...WET, now: at(30) }, "yes", "released"],
  ["says yes once a wait is over", row("wait", at(5)), HERE, "yes", "wait_over"],
  ["waits until a wait is over", row("wait", at(11)), HERE, "wait", "released"],
  [
    "cannot tell without a clock whether a wait is over",
    row("wait", at(5)),
    { ...HERE, now: null },
    "cannot_tell",
    "too_old",
  ],
  ["cannot tell of an old wait that is over", row("wait", at(5)), LATE, "cannot_tell", "too_old"],
  ["waits here though the office's wait is over", row("wait", at(5)), WET, "wait", "reentry"],
  ["a no is worse than re-entry", row("no"), WET, "no", "released"],
  ["not knowing is worse than re-entry", undefined, WET, "cannot_tell", "not_told"],
];

test.each(CASES)("a gate %s", (_, shipped, here, answer, reason) => {
  expect(gate(shipped, here)).toMatchObject({ answer, reason });
});

test("without a clock nobody goes in", () => {
  expect(gate(row("no"), { ...WET, now: null }).answer).toBe("no");
  const late = { ...row("yes"), valid_until: at(90) };
  expect(gate(late, { ...WET, now: null }).answer).toBe("cannot_tell");
});

describe("a wait", () => {
  const ENDS: [string, GateRow, Here, string, Instant | null][] = [
    ["that ends by itself says when", row("wait", at(40)), HERE, "released", at(40)],
    ["that does not says no hour", row("wait"), HERE, "released", null],
    ["of re-entry ends with it", row("yes"), WET, "reentry", at(30)],
    ["is told by the one that ends last", row("wait", at(40)), WET, "released", at(40)],
    ["ends with the later one, be it here", row("wait", at(20)), WET, "reentry", at(30)],
    ["that ends never is told before one that does", row("wait"), WET, "released", null],
    [
      "for an hour that nobody wrote never ends",
      row("wait", at(40)),
      UNSAID,
      "reentry_unknown",
      null,
    ],
    [
      "never ends beside one that does not",
      row("yes"),
      { ...WET, reentryUnknown: true },
      "reentry_unknown",
      null,
    ],
  ];

  test.each(ENDS)("%s", (_, shipped, here, reason, opensAt) => {
    expect(gate(shipped, here)).toMatchObject({ answer: "wait", reason, opensAt });
  });

  test("behind a no tells no hour", () => {
    expect(gate(row("no"), WET).opensAt).toBeNull();
  });
});

test("what would open it stands with the answer", () => {
  const lift = { code: "when_lifted", params: { reference: "EM-77" } };
  expect(gate({ ...row("no"), opens: lift }, HERE).opens).toEqual(lift);
  expect(gate(undefined, HERE).opens?.code).toBe("when_heard");
  expect(gate(row("yes"), HELD).opens?.code).toBe("when_lifted_here");
  expect(gate(row("yes"), WET).opens).toEqual({
    code: "when_reentry_over",
    params: { until: at(30) },
  });
});
