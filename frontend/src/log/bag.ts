/**
 * Which plants that left the living count are kept for the officer, as the conditions say.
 *
 * Only what a form begins with: the person says what was done. Rules T-1, T-2 and T-4 of the domain.
 */

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
  const running = startedOn ?? today;
  const best = terms
    .filter(({ rule }) => rule === "kept_for_officer")
    .filter(
      ({ since, reaches_running: reaches = false }) =>
        since <= running || (reaches && since <= today),
    )
    .reduce<Term | null>((one, other) => (one && later(one, other) ? one : other), null);
  const fates = best?.says["fates"];
  return Array.isArray(fates) ? fates.filter((fate) => typeof fate === "string") : [];
}

function later(one: Term, other: Term): boolean {
  return one.since > other.since || (one.since === other.since && one.id > other.id);
}
