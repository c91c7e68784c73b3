/** Who was in a place, from when to when: what the book of its door says. */
import { standing } from "./timeline";
import type { Visitor } from "./bodies";
import type { Entry, Instant } from "./entry";

export interface Visit {
  readonly who: string;
  readonly visitor: Visitor | null;
  readonly since: Instant;
  /** Null as long as nobody wrote that they left. */
  readonly until: Instant | null;
  readonly purpose: string | null;
}

/**
 * Visits, the latest first. Who goes in again had left by then at the latest (rule P-1); a way out
 * without a way in is no visit.
 */
export function visits(entries: Iterable<Entry>): Visit[] {
  const done: Visit[] = [];
  const open = new Map<string, Visit>();
  for (const entry of standing(entries).entries) {
    if (entry.kind !== "entered" && entry.kind !== "left") continue;
    const { key, who, visitor } = named(entry.author, entry.body);
    const before = open.get(key);
    if (before) {
      open.delete(key);
      done.push({ ...before, until: entry.occurredAt });
    }
    if (entry.kind === "left") continue;
    const purpose = text((entry.body as { purpose?: unknown }).purpose);
    open.set(key, { who, visitor, since: entry.occurredAt, until: null, purpose });
  }
  return [...done, ...open.values()].sort((a, b) => (a.since < b.since ? 1 : -1));
}

interface Who {
  readonly person?: string | null;
  readonly visitor?: Visitor | null;
}

function named(
  author: string,
  { person, visitor }: Who,
): { key: string; who: string; visitor: Visitor | null } {
  if (!visitor) return { key: `p:${person ?? author}`, who: person ?? author, visitor: null };
  return { key: `v:${visitorName(visitor)}`, who: visitorName(visitor), visitor };
}

export function visitorName({ name, firm }: Visitor): string {
  return firm === null || firm === undefined ? name : `${name}, ${firm}`;
}

function text(value: unknown): string | null {
  return typeof value === "string" && value !== "" ? value : null;
}

/** Visitors of a place, each once, the latest first: a name is typed once. */
export function visitors(all: readonly Visit[], most: number): Visitor[] {
  const found = new Map<string, Visitor>();
  for (const { visitor } of all) {
    if (visitor && !found.has(visitorName(visitor))) found.set(visitorName(visitor), visitor);
  }
  return [...found.values()].slice(0, most);
}

/** For what people went in, what they said last first. */
export function purposes(all: readonly Visit[], most: number): string[] {
  const found = all.map(({ purpose }) => purpose).filter((one) => one !== null);
  return [...new Set(found)].slice(0, most);
}

/** Whoever is inside at this hour is asked about. (Common practice, no source.) */
const EVENING = "17:30";

export interface Moment {
  readonly day: string;
  readonly hour: string;
}

/**
 * Whether somebody may have been forgotten inside: in since an earlier day, or still in when the
 * day's work is over. Both moments are of the nursery's zone.
 */
export function forgotten(since: Moment, now: Moment): boolean {
  return since.day < now.day || (now.hour >= EVENING && since.hour < EVENING);
}
