/** What a room's own records say, for the sheet of the room: figures, products, tears. */
import { lineOf, type Entry, type EntryId, type Instant } from "./entry";
import { msOf } from "./instant";
import { standing } from "./timeline";

const MINUTE_MS = 60_000;

export interface Reading {
  readonly what: string;
  readonly value: number;
  readonly at: Instant;
}

/** The latest figure of each kind, in the order in which kinds were first read. */
export function lastReadings(entries: Iterable<Entry>): Reading[] {
  const found = new Map<string, Reading>();
  for (const { at, body } of told("read", entries)) {
    const readings = body["readings"] as readonly { what: string; value: number }[];
    for (const { what, value } of readings) found.set(what, { what, value, at });
  }
  return [...found.values()];
}

/** Texts that records of a kind have in a field, each once, the latest first. */
export function textsOf(kind: string, field: string, entries: Iterable<Entry>): string[] {
  const found = told(kind, entries).map(({ body }) => body[field]);
  const texts = found.filter((one): one is string => typeof one === "string" && one !== "");
  return [...new Set(texts.reverse())];
}

export interface Breach {
  /** By which id a repair names it. */
  readonly line: EntryId;
  readonly at: Instant;
  readonly what: string;
  readonly sizeCm: number | null;
  readonly lastGoodAt: Instant | null;
  readonly mended: Instant | null;
}

/** Every tear, the latest last. A repair that names none mends all that are open. */
export function breachesOf(entries: Iterable<Entry>): Breach[] {
  const { entries: facts, lines } = standing(entries);
  let found: Breach[] = [];
  for (const entry of facts) {
    if (entry.kind !== "other" || entry.unread) continue;
    const { named, body, occurredAt } = entry;
    if (named === "breached") {
      const { what, size_cm = null, last_good_at = null } = body as unknown as Breached;
      found.push({
        ...{ line: lineOf(entry), at: occurredAt, what, sizeCm: size_cm },
        ...{ lastGoodAt: last_good_at, mended: null },
      });
    } else if (named === "repaired") {
      const { breach = null } = body as { breach?: EntryId | null };
      const which = breach === null ? null : (lines.get(breach) ?? breach);
      found = found.map((one) =>
        one.mended === null && (which ?? one.line) === one.line
          ? { ...one, mended: occurredAt }
          : one,
      );
    }
  }
  return found;
}

/** In whole minutes, as the office counts them; null until it is mended, or without a last check. */
export function openFor({ lastGoodAt, mended }: Breach): number | null {
  if (lastGoodAt === null || mended === null) return null;
  const open = msOf(mended) - msOf(lastGoodAt);
  return open - (open % MINUTE_MS);
}

interface Breached {
  readonly what: string;
  readonly size_cm?: number | null;
  readonly last_good_at?: Instant | null;
}

/** Looks, readings and ways out: somebody was there and saw the room whole. The latest first. */
export function lastSeen(entries: Iterable<Entry>, before: Instant, most: number): Instant[] {
  const SEEN = new Set(["looked", "trapped", "left", "read", "watered", "counted"]);
  const moments = standing(entries)
    .entries.filter((one) => SEEN.has(one.kind === "other" ? one.named : one.kind))
    .map(({ occurredAt }) => occurredAt)
    .filter((at) => at <= before);
  return [...new Set(moments.reverse())].slice(0, most);
}

interface Told {
  readonly at: Instant;
  readonly body: Readonly<Record<string, unknown>>;
}

function told(kind: string, entries: Iterable<Entry>): Told[] {
  return standing(entries).entries.flatMap((entry) =>
    entry.kind === "other" && entry.named === kind && !entry.unread
      ? [{ at: entry.occurredAt, body: entry.body }]
      : [],
  );
}
