/**
 * This phone's copy of the book, and what follows from it. A cache: it may be dropped and pulled anew.
 *
 * Lines of the feed and the cursor move in one transaction, at any line. Two databases take turns, so
 * that a snapshot is built beside the copy that is in use.
 */
import type { IDBPTransaction } from "idb";
import { byText } from "../log/entry";
import { everything, type Everything } from "./everything";
import { Handle, whole } from "./handle";
import type { CopyName } from "./row";
import { build, STORES, VERSION, type Schema, type Stores } from "./building";
import { alter, bring, keepOwn, linesIn, ownIn, pick, span } from "./sheaves";

/** An entry as the feed or this phone told it: the text, and which subjects it is about. */
export interface CopyLine {
  readonly id: string;
  readonly about: readonly string[];
  readonly author: string;
  /** When it happened. */
  readonly at: string;
  readonly text: string;
  /** Its number in the feed; null while it is this phone's own and has not come back. */
  readonly seq: number | null;
  readonly setAside?: boolean;
}

/** The latest revision of a row of reference data. */
export interface CopyRow {
  readonly type: string;
  readonly id: string;
  readonly rev: number;
  readonly body: Readonly<Record<string, unknown>>;
}

/** A subject as the fold made it from the lines of this copy. */
export interface Folded {
  readonly id: string;
  readonly what: "batch" | "place";
  readonly state: object;
  /** The last line of the feed among its records; null while one has not come back. */
  readonly upTo?: number | null;
}

/** Where the copy stands in the feed. */
export interface Cursor {
  readonly epoch: string;
  readonly seq: number;
}

/** One step along the feed. */
export interface Advance {
  readonly lines: readonly CopyLine[];
  readonly rows: readonly CopyRow[];
  readonly gone: readonly { readonly type: string; readonly id: string }[];
  readonly released: readonly string[];
  /** Entries whose text the office erased. */
  readonly erased?: readonly string[];
  /** Where the copy stands after it; null in the middle of a snapshot. */
  readonly cursor: Cursor | null;
}

/** What this phone wrote, from its outbox. */
export interface OwnLine {
  readonly id: string;
  readonly n: number;
  readonly text: string;
}

/** Somebody else moved this copy along meanwhile; nothing was written. */
export class Overtaken extends Error {}

type Work = IDBPTransaction<Schema, Stores, "readwrite">;

export class Copy {
  readonly name: CopyName;
  readonly #handle: Handle<Schema>;

  /** @param database its name on the disk, where that is another. */
  constructor(name: CopyName, database: string = name) {
    this.name = name;
    this.#handle = new Handle<Schema>(database, VERSION, (database, before, _, work) => {
      // What fails in it fails the opening, which says so.
      void whole(work, build(database, before, work)).catch(() => undefined);
    });
  }

  async told<T>(key: string): Promise<T | null> {
    return (
      ((await this.#handle.use((database) => database.get("told", key))) as T | undefined) ?? null
    );
  }

  async tell(key: string, value: unknown): Promise<void> {
    await this.#handle.use((database) => database.put("told", value, key));
  }

  /** Tell several things, all or none; what is null is told no more. */
  async tellAll(told: readonly (readonly [key: string, value: unknown])[]): Promise<void> {
    await this.#handle.use((database) => {
      const work = database.transaction("told", "readwrite", { durability: "relaxed" });
      const steps = told.map(([key, value]) =>
        value === null ? work.store.delete(key) : work.store.put(value, key),
      );
      return whole(work, Promise.all(steps));
    });
  }

  /** What was told under several keys, as it was at one moment. */
  async tellings<T>(read: (told: (key: string) => Promise<unknown>) => Promise<T>): Promise<T> {
    return this.#handle.use((database) => {
      const { store } = database.transaction("told");
      return read((key) => store.get(key));
    });
  }

  async cursor(): Promise<Cursor | null> {
    return this.told<Cursor>("cursor");
  }

  /** Empty it, for a snapshot to be built in it; what was begun before under another name ends. */
  async begin(name: string): Promise<void> {
    await this.#write(async (work) => {
      await Promise.all(STORES.map((store) => work.objectStore(store).clear()));
      await work.objectStore("told").put(name, "building");
    });
  }

  /**
   * Take lines in and move the cursor, both or neither; the subjects named are stale then.
   *
   * @param from the cursor that this step goes on from, or the name of the snapshot it belongs to.
   * @throws Overtaken where the copy stands elsewhere by now.
   */
  async advance(step: Advance, from: Cursor | string): Promise<void> {
    await this.#write(async (work) => {
      const rows = work.objectStore("rows");
      const sheaves = work.objectStore("sheaves");
      // Asked together: a question that waits for the answer to another costs twice.
      const asked = [standsAt(work, from), ownIn(sheaves), staleIn(work)] as const;
      const [stands, own, known] = await Promise.all(asked);
      if (!stands) throw new Overtaken();
      const [brought] = await Promise.all([
        bring(sheaves, step.lines, own),
        ...step.rows.map((row) => rows.put(row)),
        ...step.gone.map(({ type, id }) => rows.delete([type, id])),
      ]);
      // What was set aside counts from now on; what was erased is nobody's to keep any more.
      const counts = await alter(sheaves, step.released, (line) => ({ ...line, setAside: false }));
      const erased = await alter(sheaves, step.erased ?? [], () => null);
      await stale(work, [...brought, ...counts, ...erased], known);
      if (!step.cursor) return;
      await work.objectStore("told").put(step.cursor, "cursor");
      await work.objectStore("told").delete("building");
    });
  }

  /** Up to which number this phone's own records are in it. */
  async ownUpTo(): Promise<number> {
    return (await this.told<number>("own")) ?? 0;
  }

  /** Take in what this phone wrote, if the feed has not brought it already; say what it is about. */
  async takeIn(rows: readonly OwnLine[]): Promise<string[]> {
    if (rows.length === 0) return [];
    const own = rows.map(({ id, text }) => lineOf(id, text, null));
    await this.#write(async (work) => {
      await stale(work, await keepOwn(work.objectStore("sheaves"), own));
      const told = work.objectStore("told");
      const before = ((await told.get("own")) as number | undefined) ?? 0;
      await told.put(Math.max(before, ...rows.map(({ n }) => n)), "own");
    });
    return [...new Set(own.flatMap(({ about }) => about))];
  }

  async stale(): Promise<string[]> {
    return this.#handle.use((database) => database.getAllKeys("stale"));
  }

  /**
   * Fold subjects anew from their lines and keep what comes out. One transaction, so that no state
   * of older lines is kept after one of newer ones.
   */
  async fold(
    subjects: readonly string[],
    make: (id: string, lines: readonly CopyLine[]) => Folded | null,
  ): Promise<Folded[]> {
    return this.#write(async (work) => {
      const about = work.objectStore("sheaves").index("about");
      const folded = work.objectStore("folded");
      const made = await Promise.all(
        subjects.map(async (subject) => {
          const state = make(subject, linesIn(await about.getAll(subject)));
          const kept = state ? folded.put(state) : folded.delete(subject);
          await Promise.all([kept, work.objectStore("stale").delete(subject)]);
          return state;
        }),
      );
      return made.filter((state) => state !== null);
    });
  }

  /** The folded states of these subjects; of all where none are named. */
  async states(subjects?: readonly string[]): Promise<Folded[]> {
    return this.#handle.use(async (database) => {
      if (!subjects) return database.getAll("folded");
      const store = database.transaction("folded").store;
      const found = await Promise.all(subjects.map((subject) => store.get(subject)));
      return found.filter((state) => state !== undefined);
    });
  }

  /** All that a start shows, in one transaction: each question apart costs a slow phone a wait. */
  async all(): Promise<Everything> {
    return this.#handle.use((database) => everything(database));
  }

  /** Every line about a subject. */
  async about(subject: string): Promise<CopyLine[]> {
    const found = await this.#handle.use((database) =>
      database.getAllFromIndex("sheaves", "about", subject),
    );
    return linesIn(found).sort((a, b) => byText(a.id, b.id));
  }

  /** What a person wrote of the time between two instants, both included, in its order. */
  async by(author: string, from: string, until: string): Promise<CopyLine[]> {
    const found = await this.#handle.use((database) =>
      database.getAllFromIndex("sheaves", "by", span(author, from, until)),
    );
    return linesIn(found)
      .filter((line) => line.author === author && line.at >= from && line.at <= until)
      .sort((a, b) => byText(a.at, b.at) || byText(a.id, b.id));
  }

  async rows(): Promise<CopyRow[]> {
    return this.#handle.use((database) => database.getAll("rows"));
  }

  async rowsOf(type: string): Promise<CopyRow[]> {
    const range = IDBKeyRange.bound([type, ""], [type, []]);
    return this.#handle.use((database) => database.getAll("rows", range));
  }

  async line(id: string): Promise<CopyLine | null> {
    return (await this.lines([id])).get(id) ?? null;
  }

  /** Those of these entries that are here. */
  async lines(ids: readonly string[]): Promise<Map<string, CopyLine>> {
    return this.#handle.use(async (database) => {
      return pick(database.transaction(STORES).objectStore("sheaves"), ids);
    });
  }

  /** Delete it: it can be pulled anew. */
  async destroy(): Promise<void> {
    await this.#handle.destroy();
  }

  #write<T>(work: (work: Work) => Promise<T>): Promise<T> {
    return this.#handle.use(async (database) => {
      const stores: Stores = [...STORES];
      const transaction = database.transaction(stores, "readwrite", { durability: "relaxed" });
      return whole(transaction, work(transaction));
    });
  }
}

/** A line from an entry's text. */
export function lineOf(id: string, text: string, seq: number | null): CopyLine {
  const { about, author, occurred_at } = JSON.parse(text) as {
    about: string[];
    author: string;
    occurred_at: string;
  };
  return { id, about, author, at: occurred_at, text, seq };
}

async function standsAt(work: Work, from: Cursor | string): Promise<boolean> {
  const told = work.objectStore("told");
  if (typeof from === "string") return (await told.get("building")) === from;
  const now = (await told.get("cursor")) as Cursor | undefined;
  return now?.epoch === from.epoch && now.seq === from.seq;
}

/** Their folded states lag behind their lines from now on; those of some are `known` to do so. */
async function stale(work: Work, subjects: Iterable<string>, known: string[] = []): Promise<void> {
  const store = work.objectStore("stale");
  const anew = new Set(subjects);
  for (const subject of known) anew.delete(subject);
  await Promise.all([...anew].map((subject) => store.put(true, subject)));
}

function staleIn(work: Work): Promise<string[]> {
  return work.objectStore("stale").getAllKeys();
}
