/**
 * This phone's copy of the book, and what follows from it. A cache: it may be dropped and pulled anew.
 *
 * Lines of the feed and the cursor move in one transaction, at any line. Two databases take turns, so
 * that a snapshot is built beside the copy that is in use.
 */
import type { DBSchema } from "idb";
import { Handle } from "./handle";

/** An entry as the feed or this phone told it: the text, and which subjects it is about. */
export interface CopyLine {
  readonly id: string;
  readonly about: readonly string[];
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
  readonly cursor: Cursor | null;
}

interface Schema extends DBSchema {
  lines: { key: string; value: CopyLine; indexes: { about: string } };
  rows: { key: [string, string]; value: CopyRow };
  folded: { key: string; value: Folded };
  /** Subjects whose folded state lags behind their lines. */
  stale: { key: string; value: true };
  told: { key: string; value: unknown };
}

export class Copy {
  readonly #handle: Handle<Schema>;

  constructor(name: string) {
    this.#handle = new Handle<Schema>(name, 1, (database) => {
      database
        .createObjectStore("lines", { keyPath: "id" })
        .createIndex("about", "about", { multiEntry: true });
      database.createObjectStore("rows", { keyPath: ["type", "id"] });
      database.createObjectStore("folded", { keyPath: "id" });
      database.createObjectStore("stale");
      database.createObjectStore("told");
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

  async cursor(): Promise<Cursor | null> {
    return this.told<Cursor>("cursor");
  }

  /** Take lines in and move the cursor, both or neither; the subjects named are stale then. */
  async advance(step: Advance): Promise<void> {
    await this.#handle.use(async (database) => {
      const work = database.transaction(["lines", "rows", "stale", "told"], "readwrite");
      const lines = work.objectStore("lines");
      const rows = work.objectStore("rows");
      const stale = work.objectStore("stale");
      for (const line of step.lines) void lines.put(line);
      for (const row of step.rows) void rows.put(row);
      for (const { type, id } of step.gone) void rows.delete([type, id]);
      for (const subject of subjects(step.lines)) void stale.put(true, subject);
      for (const id of step.released) {
        const line = await lines.get(id);
        if (!line) continue;
        void lines.put({ ...line, setAside: false });
        for (const subject of line.about) void stale.put(true, subject);
      }
      if (step.cursor) void work.objectStore("told").put(step.cursor, "cursor");
      await work.done;
    });
  }

  async stale(): Promise<string[]> {
    return this.#handle.use((database) => database.getAllKeys("stale"));
  }

  /** Every line about a subject. */
  async about(subject: string): Promise<CopyLine[]> {
    return this.#handle.use((database) => database.getAllFromIndex("lines", "about", subject));
  }

  /** Keep folded states; their subjects are stale no more. */
  async fold(states: readonly Folded[], none: readonly string[] = []): Promise<void> {
    await this.#handle.use(async (database) => {
      const work = database.transaction(["folded", "stale"], "readwrite");
      for (const state of states) void work.objectStore("folded").put(state);
      for (const { id } of states) void work.objectStore("stale").delete(id);
      for (const id of none) void work.objectStore("stale").delete(id);
      await work.done;
    });
  }

  async folded(): Promise<Folded[]> {
    return this.#handle.use((database) => database.getAll("folded"));
  }

  async rows(): Promise<CopyRow[]> {
    return this.#handle.use((database) => database.getAll("rows"));
  }

  async line(id: string): Promise<CopyLine | null> {
    return (await this.#handle.use((database) => database.get("lines", id))) ?? null;
  }

  /** Empty it, for a snapshot to be built in it. */
  async clear(): Promise<void> {
    await this.#handle.use(async (database) => {
      const names = ["lines", "rows", "folded", "stale", "told"] as const;
      const work = database.transaction(names, "readwrite");
      await Promise.all([...names.map((name) => work.objectStore(name).clear()), work.done]);
    });
  }
}

function subjects(lines: readonly CopyLine[]): Set<string> {
  return new Set(lines.flatMap(({ about }) => about));
}
