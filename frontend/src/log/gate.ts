/**
 * May this act be done now? The worst of what the office shipped and what this phone knows.
 *
 * A block that is not shown is never shown as safe: a missing or expired row is "cannot tell".
 * Twin of `nursery/domain/gate.py`; `tests/vectors/gates.json` keeps the two alike.
 */
import type { Instant } from "./entry";

export type Answer = "yes" | "wait" | "no" | "cannot_tell";

export interface Why {
  readonly code: string;
  readonly params: Readonly<Record<string, unknown>>;
}

/** A row worked out by the office. `params` go into the sentence of its reason. */
export interface GateRow {
  readonly answer: Answer;
  readonly reason: string;
  readonly params: Readonly<Record<string, unknown>>;
  readonly opens: Why | null;
  /** When a wait is over by itself. */
  readonly opens_at: string | null;
  readonly valid_until: string;
}

export interface Verdict {
  readonly answer: Answer;
  readonly reason: string;
  readonly params: Readonly<Record<string, unknown>>;
  readonly opens: Why | null;
  readonly opensAt: Instant | null;
}

/** What the phone itself knows. `now` is corrected by the office's clock; null: unknown or jumped. */
export interface Here {
  readonly now: Instant | null;
  readonly heldBy: readonly string[];
  readonly reentryUntil: Instant | null;
  /** Somebody treated and wrote no re-entry hour. */
  readonly reentryUnknown: boolean;
}

/** How the office's own words for a hold begin. */
const HOLDS = "held_";

// Worst last. "Cannot tell" is below "no": a known block is told before an unknown one.
const ORDER: readonly Answer[] = ["yes", "wait", "cannot_tell", "no"];

/**
 * Of several that are as bad the first is told: a hold of this phone's own before what the office
 * said, unless that names a hold itself. Of waits the one that ends last, or never by itself.
 */
export function gate(row: GateRow | undefined, here: Here): Verdict {
  const told = shipped(row, here);
  const first = told.reason.startsWith(HOLDS) ? [told, held(here)] : [held(here), told];
  const parts = [...first, unknown(here), reentry(here)].filter((verdict) => verdict !== null);
  const worst = parts.reduce((one, other) => (worse(other, one) ? other : one));
  const waits = parts.filter(({ answer }) => answer === "wait").map(({ opensAt }) => opensAt);
  const ends = worst.answer === "wait" && waits.every((at) => at !== null);
  return { ...worst, opensAt: ends ? worst.opensAt : null };
}

function worse(one: Verdict, other: Verdict): boolean {
  const by = ORDER.indexOf(one.answer) - ORDER.indexOf(other.answer);
  if (by !== 0) return by > 0;
  if (one.answer !== "wait" || other.opensAt === null) return false;
  return one.opensAt === null || one.opensAt > other.opensAt;
}

const WHEN_HEARD: Why = { code: "when_heard", params: {} };

function shipped(row: GateRow | undefined, { now }: Here): Verdict {
  if (!row) return verdict("cannot_tell", "not_told", {}, WHEN_HEARD);
  const { answer, reason, params, opens, valid_until: until } = row;
  const opensAt = row.opens_at as Instant | null;
  if ((now === null || now > until) && answer !== "no") {
    return verdict("cannot_tell", "too_old", { at: until }, WHEN_HEARD);
  }
  if (answer === "wait" && opensAt !== null && now !== null && now >= opensAt) {
    return verdict("yes", "wait_over", { at: opensAt });
  }
  return verdict(answer, reason, params, opens, opensAt);
}

function held({ heldBy }: Here): Verdict | null {
  if (heldBy.length === 0) return null;
  return verdict("no", "held_here", { by: heldBy }, { code: "when_lifted_here", params: {} });
}

function unknown({ reentryUnknown }: Here): Verdict | null {
  if (!reentryUnknown) return null;
  return verdict("wait", "reentry_unknown", {}, { code: "when_reentry_told", params: {} });
}

/** An unknown or jumped clock means wait, whatever the hour seems to be. */
function reentry({ now, reentryUntil: until }: Here): Verdict | null {
  if (until === null || (now !== null && now >= until)) return null;
  return verdict(
    "wait",
    "reentry",
    { until },
    { code: "when_reentry_over", params: { until } },
    until,
  );
}

export function verdict(
  answer: Answer,
  reason: string,
  params: Verdict["params"] = {},
  opens: Why | null = null,
  opensAt: Instant | null = null,
): Verdict {
  return { answer, reason, params, opens, opensAt };
}
