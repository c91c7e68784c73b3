/**
 * May this act be done now? The worst of what the office shipped and what this phone knows.
 *
 * A block that is not shown is never shown as safe: a missing or expired row is "cannot tell".
 */
import type { Instant } from "./entry";

export type Answer = "yes" | "wait" | "no" | "cannot_tell";

/** A row worked out by the office. `params` go into the sentence of its reason. */
export interface GateRow {
  readonly act: string;
  readonly batch: string;
  readonly answer: Answer;
  readonly reason: string;
  readonly params: Readonly<Record<string, unknown>>;
  readonly valid_until: Instant;
}

export interface Verdict {
  readonly answer: Answer;
  readonly reason: string;
  readonly params: Readonly<Record<string, unknown>>;
}

/** What the phone itself knows. `now` is corrected by the office's clock; null: unknown or jumped. */
export interface Here {
  readonly now: Instant | null;
  readonly heldBy: readonly string[];
  readonly reentryUntil: Instant | null;
}

// Worst last. "Cannot tell" is below "no": a known block is told before an unknown one.
const ORDER: readonly Answer[] = ["yes", "wait", "cannot_tell", "no"];

export function gate(row: GateRow | undefined, here: Here): Verdict {
  return [shipped(row, here), held(here), reentry(here)]
    .filter((verdict) => verdict !== null)
    .reduce((worst, verdict) =>
      ORDER.indexOf(verdict.answer) > ORDER.indexOf(worst.answer) ? verdict : worst,
    );
}

function shipped(row: GateRow | undefined, { now }: Here): Verdict {
  if (!row) return { answer: "cannot_tell", reason: "not_told", params: {} };
  const expired = now === null || now > row.valid_until;
  if (expired && row.answer !== "no") {
    return { answer: "cannot_tell", reason: "too_old", params: { at: row.valid_until } };
  }
  return { answer: row.answer, reason: row.reason, params: row.params };
}

function held({ heldBy }: Here): Verdict | null {
  return heldBy.length === 0 ? null : { answer: "no", reason: "held_here", params: { by: heldBy } };
}

/** An unknown or jumped clock means wait, whatever the hour seems to be. */
function reentry({ now, reentryUntil }: Here): Verdict | null {
  if (reentryUntil === null || (now !== null && now >= reentryUntil)) return null;
  return { answer: "wait", reason: "reentry", params: { until: reentryUntil } };
}
