/**
 * How the copy keeps its lines: those about the same subjects that came together lie in one sheaf.
 *
 * What a browser's database costs is rows, not bytes: a sheaf is one row, however many lines lie in
 * it, and a subject's lines are read by few of them.
 */
import type { IDBPIndex, IDBPObjectStore } from "idb";
import type { Schema, Stores } from "./building";
import type { CopyLine } from "./copy";

export interface Sheaf {
  readonly about: readonly string[];
  readonly ids: readonly string[];
  /** Who wrote in it, and on which days. */
  readonly by: readonly string[];
  readonly lines: readonly CopyLine[];
}

/** So that what is written anew for the sake of one line stays small. */
const MOST = 50;

type Mode = IDBTransactionMode;
type Store<M extends Mode = "readonly"> = IDBPObjectStore<Schema, Stores, "sheaves", M>;
type Index<M extends Mode> = IDBPIndex<Schema, Stores, "sheaves", "ids", M>;

/** Lines about the same subjects together. */
export function sheavesOf(lines: readonly CopyLine[]): Sheaf[] {
  const same = new Map<string, CopyLine[]>();
  for (const line of lines) {
    const key = line.about.join(" ");
    const some = same.get(key);
    if (some) some.push(line);
    else same.set(key, [line]);
  }
  const found: Sheaf[] = [];
  for (const some of same.values()) {
    for (let start = 0; start < some.length; start += MOST) {
      found.push(sheafOf(some.slice(start, start + MOST)));
    }
  }
  return found;
}

/** Lines that are all about the same. */
export function sheafOf(lines: readonly CopyLine[]): Sheaf {
  return {
    about: lines[0]?.about ?? [],
    ids: lines.map(({ id }) => id),
    by: [...new Set(lines.map(({ author, at }) => by(author, at)))],
    lines,
  };
}

function by(author: string, at: string): string {
  return `${author} ${at.slice(0, "2031-03-23".length)}`;
}

/** Every sheaf in which a person may have written between two instants. */
export function span(author: string, from: string, until: string): IDBKeyRange {
  return IDBKeyRange.bound(by(author, from), by(author, until));
}

/** The lines of sheaves, each once: what was told last of an id holds. */
export function linesIn(sheaves: readonly Sheaf[]): CopyLine[] {
  const found = new Map<string, CopyLine>();
  for (const { lines } of sheaves) for (const line of lines) found.set(line.id, line);
  return [...found.values()];
}

/**
 * Put lines that the feed brought. What was this phone's own until then lies apart, under its id,
 * and goes; says what all of it is about.
 *
 * @param ownKeys ids of what lies apart.
 */
export async function bring(
  store: Store<"readwrite">,
  lines: readonly CopyLine[],
  ownKeys: readonly (string | number)[],
): Promise<Set<string>> {
  const about = new Set(lines.flatMap((line) => line.about));
  if (lines.length === 0) return about;
  const own = new Set(ownKeys);
  const back = own.size === 0 ? [] : lines.filter(({ id }) => own.has(id));
  for (const { id } of back) {
    for (const subject of (await store.get(id))?.about ?? []) about.add(subject);
  }
  await Promise.all([
    ...back.map(({ id }) => store.delete(id)),
    ...sheavesOf(lines).map((sheaf) => store.put(sheaf)),
  ]);
  return about;
}

/** Ids of this phone's own records that have not come back: numbers are the keys of the feed's. */
export function ownIn(store: Store<"readwrite">): Promise<(string | number)[]> {
  return store.getAllKeys(IDBKeyRange.lowerBound(""));
}

/** Keep what this phone wrote, each record apart until the feed brings it. */
export async function keepOwn(
  store: Store<"readwrite">,
  lines: readonly CopyLine[],
): Promise<Set<string>> {
  const ids: Index<"readwrite"> = store.index("ids");
  const known = await Promise.all(lines.map(({ id }) => ids.getKey(id)));
  const lacking = lines.filter((_, i) => known[i] === undefined);
  await Promise.all(lacking.map((line) => store.put(sheafOf([line]), line.id)));
  return new Set(lacking.flatMap(({ about }) => about));
}

/** Change single lines, or drop them where null comes of them; says what they are about. */
export async function alter(
  store: Store<"readwrite">,
  ids: readonly string[],
  change: (line: CopyLine) => CopyLine | null,
): Promise<Set<string>> {
  const about = new Set<string>();
  for (const id of ids) {
    let at = await store.index("ids").openCursor(id);
    for (; at; at = await at.continue()) {
      const lines = at.value.lines.flatMap((line) =>
        line.id === id ? (change(line) ?? []) : line,
      );
      for (const subject of at.value.about) about.add(subject);
      await (lines.length > 0 ? at.update(sheafOf(lines)) : at.delete());
    }
  }
  return about;
}

/** Those of these entries that are here. */
export async function pick(store: Store, ids: readonly string[]): Promise<Map<string, CopyLine>> {
  const index = store.index("ids");
  const found = await Promise.all(
    ids.map(async (id) => linesIn(await index.getAll(id)).find((line) => line.id === id)),
  );
  return new Map(found.filter((line) => line !== undefined).map((line) => [line.id, line]));
}
