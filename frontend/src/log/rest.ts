/** A room between two groups of plants: emptied, cleaned, resting, ready again. */
import type { Entry, Instant } from "./entry";
import { instantOf, msOf } from "./instant";
import { standing } from "./timeline";

export interface Rest {
  readonly emptiedAt: Instant | null;
  readonly cleanedAt: Instant | null;
  readonly readiedAt: Instant | null;
}

/** When each was done last. */
export function restOf(entries: Iterable<Entry>): Rest {
  const last: Record<string, Instant> = {};
  for (const entry of standing(entries).entries) {
    if (entry.kind === "other" && !entry.unread) last[entry.named] = entry.occurredAt;
  }
  const { emptied = null, cleaned = null, readied = null } = last;
  return { emptiedAt: emptied, cleanedAt: cleaned, readiedAt: readied };
}

const HOUR_MS = 3600_000;

/**
 * From when on the room may take plants again: so many hours after it was both empty and clean. Null
 * as long as one of the two is not done; what was cleaned before it was emptied is not clean.
 */
export function acceptsFrom({ emptiedAt, cleanedAt }: Rest, hours: number): Instant | null {
  if (emptiedAt === null || cleanedAt === null || cleanedAt < emptiedAt) return null;
  return instantOf(msOf(cleanedAt) + hours * HOUR_MS) as Instant;
}
