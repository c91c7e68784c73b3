import { describe, expect, test } from "vitest";
import { entry, instant } from "../testing/entries";
import type { Entry, Instant } from "./entry";
import { lately } from "./lately";
import type { Due, Seen, Walk } from "./round";
import { Seats } from "./seats";
import { trapsOf } from "./traps";

const at = (minute: number) => instant(minute) as Instant;
const place = (id: string, kind: string, parent: string | null, walk: number, more = {}) => ({
  id,
  body: { kind, parent, walk, ...more },
});
const SEATS = new Seats([
  place("q", "room", null, 1),
  place("trap-b", "trap", "q", 12),
  place("trap-a", "trap", "q", 11),
  place("trap-old", "trap", "q", 10, { until: "2031-03-03" }),
]);
const due = (more: Partial<Due>): Due => ({
  id: "read-a",
  kind: "trap",
  subject: "trap-a",
  opens_at: at(0),
  due_by: at(600),
  answered_by: null,
  skipped_by: null,
  ...more,
});
const walk = (checks: Due[]): Walk => ({
  now: at(100),
  from: at(60),
  until: at(1000),
  seats: SEATS,
  checks,
  isHeld: () => false,
});
const seen = (...entries: Entry[]) => ({ lately: lately(entries) });
const NO_PLACES = new Map<string, Seen>();
const ids = (turns: readonly { id: string }[]) => turns.map(({ id }) => id);

describe("the traps", () => {
  const trapped = (minute: number, body: Record<string, unknown>): Entry =>
    entry({ id: minute, kind: "trapped", body, about: ["trap-a"] });
  const WET = { answer: "not_readable", why: "wet" };
  const check = due({});
  const change = due({
    kind: "replace_trap",
    id: "change-a",
    opens_at: at(70),
    due_by: at(90),
  });
  const turnOf = (checks: Due[], ...entries: Entry[]) => {
    const places = new Map([["trap-a", { id: "trap-a", ...seen(...entries) }]]);
    return trapsOf(places, "2031-03-03", walk(checks))[0];
  };

  test("stand in walking order, without those that were taken down", () => {
    expect(ids(trapsOf(NO_PLACES, "2031-03-03", walk([])))).toEqual(["trap-a", "trap-b"]);
    expect(ids(trapsOf(NO_PLACES, "2031-03-02", walk([])))).toHaveLength(3);
  });

  test("are read once in a period", () => {
    expect(turnOf([check])).toMatchObject({
      room: "q",
      check,
      open: true,
      last: null,
      today: null,
    });
    const read = turnOf([check], trapped(70, { answer: "read" }));
    expect(read).toMatchObject({ check: null, open: false, today: { answer: "read" } });
  });

  test("that could not be read stay to be read, and are asked for no more today", () => {
    expect(turnOf([check], trapped(70, WET))).toMatchObject({ check, open: false, today: WET });
    expect(turnOf([check], trapped(50, WET))).toMatchObject({
      check,
      open: true,
      last: WET,
      today: null,
    });
  });

  test("are changed after that, however late", () => {
    expect(turnOf([change], trapped(70, WET))).toMatchObject({ change, open: true });
    const changed = trapped(95, { ...WET, replaced: true });
    expect(turnOf([change], trapped(70, WET), changed)).toMatchObject({
      change: null,
      open: false,
    });
    const read = trapped(95, { answer: "read" });
    expect(turnOf([change], trapped(70, WET), read)).toMatchObject({ change: null, open: false });
  });
});
