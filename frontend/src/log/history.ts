/** The lines of a subject, as a person reads them: what stands, and what it said before. */
import { byText, compare, read, type Entry, type EntryId } from "./entry";
import { isMap } from "./shape";
import { linesOf, once, standingOf } from "./timeline";

/** One reading of a fact. `body` is as it was sent, whatever this phone can read of it. */
export interface Reading {
  readonly id: string;
  readonly kind: string;
  readonly occurredAt: string;
  readonly author: string;
  readonly confirmed: boolean;
  readonly unread: boolean;
  /** A person typed when it was. */
  readonly byHand: boolean;
  readonly body: Readonly<Record<string, unknown>>;
}

/** Who changed a record, and why: a correction of it, or its withdrawal. */
export interface Change {
  readonly id: string;
  readonly author: string;
  /** The code of its reason, where one was given. */
  readonly why: string | null;
  readonly withdrawn: boolean;
}

export interface Line {
  /** The id by which the book knows the fact, and the last one that was given to it. */
  readonly line: string;
  readonly last: string;
  readonly about: readonly string[];
  /** Who wrote it first. */
  readonly by: string;
  readonly reading: Reading;
  /** What it said before, the newest first. */
  readonly older: readonly Reading[];
  /** What changed it, the newest first. */
  readonly changes: readonly Change[];
  readonly withdrawn: boolean;
}

/** The lines that raw entries make, the newest happening first. What is no entry is passed over. */
export function history(raws: readonly unknown[]): Line[] {
  const entries = raws.map(read).filter((entry) => entry !== null);
  const hands = new Set(raws.filter(isMap).map(({ id, by_hand: hand }) => hand === true && id));
  const byId = once(entries);
  return groups(byId)
    .map(([line, group]) => ({ line, group, stands: standingOf(group) }))
    .sort((a, b) => compare(shown(b.group, b.stands), shown(a.group, a.stands)))
    .map(({ line, group, stands }) => lineOf(line, group, stands, hands));
}

function groups(byId: ReturnType<typeof once>): [EntryId, Entry[]][] {
  const lines = linesOf(byId);
  const grouped = new Map<EntryId, Entry[]>();
  for (const entry of byId.values()) {
    const original = lines.get(entry.id) ?? entry.id;
    grouped.set(original, [...(grouped.get(original) ?? []), entry]);
  }
  return [...grouped].map(([line, group]) => [line, group.sort((a, b) => byText(a.id, b.id))]);
}

/** What a line shows: of a withdrawn one, the last thing that it said. */
function shown(group: readonly Entry[], stands: Entry): Entry {
  if (stands.kind !== "withdrawn") return stands;
  const said = group.filter(({ kind }) => kind !== "withdrawn");
  return said.length > 0 ? standingOf(said) : stands;
}

/** `group` is in the order in which its readings were written. */
function lineOf(
  line: EntryId,
  group: readonly Entry[],
  stands: Entry,
  hands: ReadonlySet<unknown>,
): Line {
  const head = shown(group, stands);
  const first = group.find(({ id }) => id === line) ?? head;
  const newest = [...group].reverse();
  const reading = (entry: Entry): Reading => readingOf(entry, hands.has(entry.id));
  return {
    line,
    last: group.reduce((_, { id }) => id, head.id),
    about: first.about,
    by: first.author,
    reading: reading(head),
    older: newest.filter(({ id, kind }) => id !== head.id && kind !== "withdrawn").map(reading),
    changes: newest.filter(({ corrects }) => corrects !== null).map(changeOf),
    withdrawn: stands.kind === "withdrawn",
  };
}

function readingOf(entry: Entry, byHand: boolean): Reading {
  return {
    id: entry.id,
    kind: entry.kind === "other" ? entry.named : entry.kind,
    occurredAt: entry.occurredAt,
    author: entry.author,
    confirmed: entry.confirmed,
    unread: entry.kind === "other" && entry.unread,
    byHand,
    body: { ...entry.body },
  };
}

function changeOf({ id, author, kind, body }: Entry): Change {
  const { fix } = body as { readonly fix?: unknown };
  return { id, author, why: typeof fix === "string" ? fix : null, withdrawn: kind === "withdrawn" };
}
