/** What toughening asks of the round: the office's due checks, less what was done on this phone. */
import type { Due } from "../../log/round";

export interface Asked {
  readonly kind: string;
  readonly batches: readonly string[];
}

const KIND = "toughen_";

/** Each kind of check with the batches that it is open for, in the order in which they are told. */
export function checksDue(
  checks: readonly Due[],
  batches: readonly string[],
  now: string,
  done: (batch: string) => readonly string[],
): Asked[] {
  const found = new Map<string, string[]>();
  for (const { kind, subject, opens_at, answered_by } of checks) {
    const open = answered_by === null && opens_at <= now && batches.includes(subject);
    if (!kind.startsWith(KIND) || !open || done(subject).includes(kind.slice(KIND.length)))
      continue;
    found.set(kind, [...(found.get(kind) ?? []), subject]);
  }
  return [...found].map(([kind, some]) => ({
    kind,
    batches: batches.filter((one) => some.includes(one)),
  }));
}
