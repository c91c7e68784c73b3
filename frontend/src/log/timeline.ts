/**
 * Which entries stand, and in what order.
 *
 * Twin of `nursery/domain/timeline.py`; `tests/vectors/folds/` keeps the two alike. All entries with
 * one original form a line; of a line the greatest id that can be read stands.
 */
import { byText, compare, type Entry, type EntryId } from "./entry";

export interface Timeline {
  /** The standing entries, oldest happening first. */
  readonly entries: readonly Entry[];
  /** The original of each correction: a later entry may name a fact by any id of its line. */
  readonly lines: ReadonlyMap<EntryId, EntryId>;
}

/** An entry given twice counts once. Never throws, whatever the corrections name. */
export function standing(entries: Iterable<Entry>): Timeline {
  const byId = once(entries);
  const lines = linesOf(byId);
  const corrections = new Map<EntryId, Entry[]>();
  for (const entry of byId.values()) {
    const original = lines.get(entry.id);
    if (original === undefined) continue;
    const line = corrections.get(original) ?? [];
    corrections.set(original, line);
    line.push(entry);
  }
  const stand: Entry[] = [];
  for (const entry of byId.values()) {
    if (entry.corrects === null && !corrections.has(entry.id)) stand.push(entry);
  }
  for (const [original, line] of corrections) {
    const first = lines.has(original) ? undefined : byId.get(original);
    stand.push(head(original, first, line));
  }
  // A withdrawal is no fact about plants.
  const facts = stand.filter((entry) => entry.kind !== "withdrawn").sort(compare);
  return { entries: facts, lines };
}

/** Of two entries with one id and other content, always the same one. */
export function once(entries: Iterable<Entry>): Map<EntryId, Entry> {
  const byId = new Map<EntryId, Entry>();
  for (const entry of entries) {
    const known = byId.get(entry.id);
    if (!known || JSON.stringify(entry) < JSON.stringify(known)) byId.set(entry.id, entry);
  }
  return byId;
}

/**
 * The original of each correction. One that names a correction belongs to the line of that one's
 * original; of a ring, in which everything corrects something else, the least id stands for it.
 */
export function linesOf(byId: ReadonlyMap<EntryId, Entry>): Map<EntryId, EntryId> {
  const lines = new Map<EntryId, EntryId>();
  for (const entry of byId.values()) {
    if (entry.corrects === null) continue;
    const path: EntryId[] = [];
    let name = entry.id;
    let following: EntryId | null = entry.corrects;
    while (following !== null && !lines.has(name) && !path.includes(name)) {
      path.push(name);
      name = following;
      following = byId.get(name)?.corrects ?? null;
    }
    const ring = path.indexOf(name);
    if (ring >= 0) name = path.slice(ring).reduce((a, b) => (byText(a, b) < 0 ? a : b));
    const original = lines.get(name) ?? name;
    for (const one of path) lines.set(one, original);
  }
  return lines;
}

/**
 * What stands of a line, about the original's subjects. Ignorance opens no gate: a correction that
 * this version cannot read leaves what it corrects standing until it can be read.
 */
function head(original: EntryId, first: Entry | undefined, line: readonly Entry[]): Entry {
  const last = standingOf(first ? [first, ...line] : line);
  return { ...last, about: (first ?? last).about, corrects: original };
}

/** Of the readings of one fact, the one that stands. */
export function standingOf(told: readonly Entry[]): Entry {
  const readable = told.filter((entry) => entry.kind !== "other" || !entry.unread);
  return (readable.length > 0 ? readable : told).reduce((a, b) => (byText(a.id, b.id) < 0 ? b : a));
}
