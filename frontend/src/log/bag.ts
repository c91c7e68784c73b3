/**
 * The officer's bag: which plants that left the living count go into it, and what of it lies where.
 *
 * What the conditions say is only what a form begins with: the person says what was done. Rules T-1,
 * T-2, T-4 and L-10 of the domain.
 */
import type { Entry } from "./entry";
import { batch } from "./fold";
import { standing } from "./timeline";

/** A term as it stands on a permit or in a rule of the nursery's own. */
export interface Term {
  readonly id: string;
  readonly rule: string;
  readonly says: Readonly<Record<string, unknown>>;
  readonly since: string;
  readonly reaches_running?: boolean;
}

/** The fates of one permit's term. `startedOn` is the day on which the quarantine began. */
export function keptFates(
  terms: readonly Term[],
  startedOn: string | null,
  today: string,
): readonly string[] {
  const fates = inForce("kept_for_officer", terms, startedOn, today)?.says["fates"];
  return Array.isArray(fates) ? fates.filter((fate) => typeof fate === "string") : [];
}

/** Of one permit's terms of a rule the one that applies; null where none does. */
export function inForce(
  wanted: string,
  terms: readonly Term[],
  startedOn: string | null,
  today: string,
): Term | null {
  const running = startedOn ?? today;
  return terms
    .filter(({ rule }) => rule === wanted)
    .filter(
      ({ since, reaches_running: reaches = false }) =>
        since <= running || (reaches && since <= today),
    )
    .reduce<Term | null>((one, other) => (one && later(one, other) ? one : other), null);
}

/** So many plants of a batch lie in the officer's bag of a place: those that were lost in it. */
export function bagIn(
  id: string,
  entries: readonly Entry[],
  isHere: (place: string) => boolean,
): number {
  const about = entries.filter((entry) => entry.about.includes(id));
  const inBag = [...batch(id, about).bag.values()].reduce((sum, n) => sum + n, 0);
  const lostHere = standing(about)
    .entries.filter((entry) => entry.kind === "lost" && entry.body.kept === true)
    .filter(({ occurredAt }) => {
      const then = about.filter((one) => one.occurredAt <= occurredAt);
      return isHere(batch(id, then).stay?.place ?? "");
    })
    .reduce((sum, { body }) => sum + (body as { count: number }).count, 0);
  return Math.min(inBag, lostHere);
}

/** So many of a batch were put into the bag since an officer last saw it. */
export function unseenOf(id: string, entries: Iterable<Entry>): number {
  let unseen = 0;
  for (const entry of standing(entries).entries) {
    if (!entry.about.includes(id)) continue;
    if (entry.kind === "lost" && entry.body.kept === true) unseen += entry.body.count;
    if (entry.kind === "other" && entry.named === "shown" && !entry.unread) unseen = 0;
  }
  return unseen;
}

function later(one: Term, other: Term): boolean {
  return one.since > other.since || (one.since === other.since && one.id > other.id);
}
