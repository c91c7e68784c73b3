/** The lines of a subject, as a person reads them: what stands, and what it said before. */
import { byText, compare, read, type Entry } from "./entry";
import { linesOf, once, standingOf } from "./timeline";

/** One reading of a fact. `body` is as it was sent, whatever this phone can read of it. */
export interface Reading {
  readonly id: string;
  readonly kind: string;
  readonly occurredAt: string;
  readonly author: string;
  readonly confirmed: boolean;
  readonly unread: boolean;
  readonly body: Readonly<Record<string, unknown>>;
}

export interface Line {
  readonly reading: Reading;
  /** What it said before, the newest first. */
  readonly older: readonly Reading[];
  readonly withdrawn: boolean;
}

/** The lines that raw entries make, the newest happening first. What is no entry is passed over. */
export function history(raws: readonly unknown[]): Line[] {
  const entries = raws.map(read).filter((entry) => entry !== null);
  const byId = once(entries);
  return groups(byId)
    .map((group) => ({ group, stands: standingOf(group) }))
    .sort((a, b) => compare(shown(b.group, b.stands), shown(a.group, a.stands)))
    .map(({ group, stands }) => lineOf(group, stands));
}

function groups(byId: ReturnType<typeof once>): Entry[][] {
  const lines = linesOf(byId);
  const grouped = new Map<string, Entry[]>();
  for (const entry of byId.values()) {
    const original = lines.get(entry.id) ?? entry.id;
    grouped.set(original, [...(grouped.get(original) ?? []), entry]);
  }
  return [...grouped.values()];
}

/** What a line shows: of a withdrawn one, the last thing that it said. */
function shown(group: readonly Entry[], stands: Entry): Entry {
  if (stands.kind !== "withdrawn") return stands;
  const said = group.filter(({ kind }) => kind !== "withdrawn");
  return said.length > 0 ? standingOf(said) : stands;
}

function lineOf(group: readonly Entry[], stands: Entry): Line {
  const head = shown(group, stands);
  const reading = (entry: Entry): Reading => ({
    id: entry.id,
    kind: entry.kind === "other" ? entry.named : entry.kind,
    occurredAt: entry.occurredAt,
    author: entry.author,
    confirmed: entry.confirmed,
    unread: entry.kind === "other" && entry.unread,
    body: { ...entry.body },
  });
  return {
    reading: reading(head),
    older: group
      .filter((entry) => entry.id !== head.id && entry.kind !== "withdrawn")
      .sort((a, b) => byText(b.id, a.id))
      .map(reading),
    withdrawn: stands.kind === "withdrawn",
  };
}
