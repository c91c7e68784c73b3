/**
 * A handle to a database, in a browser that may lose it.
 *
 * A dead handle is dropped, opened anew and the work tried once more; what fails again is thrown
 * with the remedy. No work waits for more than eight seconds, since some browsers never call back.
 */
import { deleteDB, openDB, type DBSchema, type IDBPDatabase, type OpenDBCallbacks } from "idb";

/**
 * Why the phone cannot keep or read anything now: no room; another page holds on to the database,
 * or a newer build has changed it; the browser never called back; it is broken.
 */
export type Fault = "full" | "blocked" | "silent" | "broken";

export class ShelfFault extends Error {
  readonly fault: Fault;

  constructor(fault: Fault, cause?: unknown) {
    super(fault, { cause });
    this.fault = fault;
  }
}

const PATIENCE_MS = 8000;
const BLOCKED_MS = 5000;

export class Handle<Schema extends DBSchema> {
  readonly name: string;
  readonly #version: number;
  readonly #upgrade: OpenDBCallbacks<Schema>["upgrade"];
  #opening: Promise<IDBPDatabase<Schema>> | null = null;

  constructor(name: string, version: number, upgrade: OpenDBCallbacks<Schema>["upgrade"]) {
    this.name = name;
    this.#version = version;
    this.#upgrade = upgrade;
  }

  /**
   * Do some work on the database. It may be done twice, so it must be safe to repeat.
   *
   * @throws ShelfFault where it cannot be done, now or after opening anew. What the work itself
   *   throws, and no database does, comes through as it is.
   */
  async use<T>(work: (database: IDBPDatabase<Schema>) => Promise<T>): Promise<T> {
    try {
      return await timely(this.#open().then(work), PATIENCE_MS);
    } catch (first) {
      const found = faultOf(first);
      if (found === null) throw first;
      if (found.fault === "full" || found.fault === "blocked") throw found;
      await this.release();
    }
    try {
      return await timely(this.#open().then(work), PATIENCE_MS);
    } catch (second) {
      await this.release();
      throw faultOf(second) ?? second;
    }
  }

  /** Let the database go; it is opened anew when it is next used. */
  async release(): Promise<void> {
    const opening = this.#opening;
    this.#opening = null;
    try {
      if (opening) (await timely(opening, 100)).close();
    } catch {
      // It never opened.
    }
  }

  /** Delete the database with all that is in it. */
  async destroy(): Promise<void> {
    await this.release();
    await timely(deleteDB(this.name), PATIENCE_MS);
  }

  #open(): Promise<IDBPDatabase<Schema>> {
    if (this.#opening) return this.#opening;
    const opening = this.#opened();
    this.#opening = opening;
    return opening;
  }

  #opened(): Promise<IDBPDatabase<Schema>> {
    return new Promise((done, fail) => {
      let patience: ReturnType<typeof setTimeout> | undefined;
      let late = false;
      openDB<Schema>(this.name, this.#version, {
        ...(this.#upgrade ? { upgrade: this.#upgrade } : {}),
        blocked: () => {
          patience = setTimeout(() => {
            late = true;
            fail(new ShelfFault("blocked"));
          }, BLOCKED_MS);
        },
        // Another page wants to change or delete it: never stand in its way.
        blocking: () => void this.release(),
        terminated: () => {
          this.#opening = null;
        },
      })
        .then((database) => {
          if (late) database.close();
          else done(database);
        }, fail)
        .finally(() => {
          clearTimeout(patience);
        });
    });
  }
}

/** Do work in a transaction: what fails half done is not done at all. */
export async function whole<T>(
  transaction: { readonly done: Promise<void>; abort(): void },
  work: Promise<T>,
): Promise<T> {
  const working = work.catch((fault: unknown) => {
    try {
      transaction.abort();
    } catch {
      // It is over already.
    }
    throw fault;
  });
  const [done] = await Promise.all([working, transaction.done]);
  return done;
}

const FAULTS: Readonly<Record<string, Fault>> = {
  QuotaExceededError: "full",
  VersionError: "blocked",
};

function faultOf(thrown: unknown): ShelfFault | null {
  if (thrown instanceof ShelfFault) return thrown;
  if (!(thrown instanceof DOMException)) return null;
  return new ShelfFault(FAULTS[thrown.name] ?? "broken", thrown);
}

function timely<T>(work: Promise<T>, ms: number): Promise<T> {
  return new Promise((done, fail) => {
    const watch = setTimeout(() => {
      fail(new ShelfFault("silent"));
    }, ms);
    work.then(done, fail).finally(() => {
      clearTimeout(watch);
    });
  });
}
