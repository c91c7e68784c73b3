import { expect, test } from "vitest";
import { coming, type Ahead } from "./countdown";
import type { Instant } from "./entry";
import { NOTHING, type Due } from "./round";

const NOW = "2031-03-25T00:00:00.000Z" as Instant;
const SUNDAY = "2031-03-30T13:59:59.999Z";

function due(subject: string, more: Partial<Due> = {}): Due {
  return {
    ...{ id: `c-${subject}`, kind: "look_over", subject },
    ...{ opens_at: "2031-03-23T14:00:00.000Z", due_by: SUNDAY },
    ...{ answered_by: null, skipped_by: null, ...more },
  };
}

function told(checks: readonly Due[], more: Partial<Ahead> = {}) {
  return coming({
    now: NOW,
    checks,
    roomOf: (subject) => (subject.startsWith("t") ? "room" : subject),
    latelyOf: () => NOTHING,
    dates: [],
    ...more,
  });
}

test("checks of one kind, room and moment are one thing, and of each the next is told", () => {
  const later = due("t3", { due_by: "2031-04-06T13:59:59.999Z" });
  expect(told([later, due("t1"), due("t2"), due("yard"), due("t4", { kind: "trap" })])).toEqual([
    { kind: "look_over", about: "room", at: SUNDAY, n: 2 },
    { kind: "look_over", about: "yard", at: SUNDAY, n: 1 },
    { kind: "trap", about: "room", at: SUNDAY, n: 1 },
  ]);
});

test("what was done, explained, or written on this phone since is ahead no more", () => {
  const done = [due("t1", { answered_by: "e-1" }), due("t2", { skipped_by: "e-2" })];
  expect(told(done)).toEqual([]);
  const lately = { ...NOTHING, lookedAt: "2031-03-24T00:00:00.000Z" as Instant };
  expect(told([due("t1")], { latelyOf: () => lately })).toEqual([]);
});

test("a look of today answers this week's check and not the next one", () => {
  const lately = { ...NOTHING, lookedAt: NOW };
  const next = due("t1", {
    opens_at: "2031-03-30T14:00:00.000Z",
    due_by: "2031-04-06T13:59:59.999Z",
  });
  expect(told([due("t1"), next], { latelyOf: () => lately }).map(({ at }) => at)).toEqual([
    next.due_by,
  ]);
});

test("of an official visit only the office knows whether it was made", () => {
  const lately = { ...NOTHING, lookedAt: NOW };
  const visit = due("t1", { kind: "inspection" });
  expect(told([visit], { latelyOf: () => lately })).toHaveLength(1);
  expect(told([{ ...visit, answered_by: "e-1" }])).toEqual([]);
  expect(told([{ ...visit, skipped_by: "e-1" }])).toEqual([]);
});

test("what stays until it is done is told as overdue", () => {
  const trap = due("t1", { kind: "replace_trap", due_by: "2031-03-24T13:59:59.999Z" });
  expect(told([trap])).toHaveLength(1);
});

test("dates stand among the checks and end with their moment", () => {
  const dates = [
    { kind: "reentry", about: "room", at: "2031-03-25T05:00:00.000Z" as Instant },
    { kind: "reentry", about: "shade", at: NOW },
  ];
  expect(told([due("t1")], { dates }).map(({ kind, n }) => [kind, n])).toEqual([
    ["reentry", 0],
    ["look_over", 1],
  ]);
});
