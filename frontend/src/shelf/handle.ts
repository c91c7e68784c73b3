/**
 * A handle to a database, in a browser that may lose it.
 *
 * A dead handle is dropped, opened anew and the work tried once more; what fails again is thrown
 * with the remedy. No work waits for more than eight seconds, since some browsers never call back.
 */
import { openDB, type DBSchema, type IDBPDatabase, type OpenDBCallbacks } from "idb";

/** Why the phone cannot keep or read anything now. */
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
  /** Called when another page wants to change the database, and this one has let go of it. */
  onreleased: (() => void) | null = null;

  constructor(name: string, version: number, upgrade: OpenDBCallbacks<Schema>["upgrade"]) {
    this.name = name;
    this.#version = version;
    this.#upgrade = upgrade;
  }

  /**
   * Do some work on the database.
   *
   * @throws ShelfFault where it cannot be done, now or after opening anew.
   */
  async use<T>(work: (database: IDBPDatabase<Schema>) => Promise<T>): Promise<T> {
    try {
      return await timely(this.#open().then(work), PATIENCE_MS);
    } catch (first) {
      if (isFull(first)) throw new ShelfFault("full", first);
      if (first instanceof ShelfFault && first.fault === "blocked") throw first;
      await this.release();
    }
    try {
      return await timely(this.#open().then(work), PATIENCE_MS);
    } catch (second) {
      await this.release();
      if (second instanceof ShelfFault) throw second;
      throw new ShelfFault(isFull(second) ? "full" : "broken", second);
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

  #open(): Promise<IDBPDatabase<Schema>> {
    if (this.#opening) return this.#opening;
    const opening = new Promise<IDBPDatabase<Schema>>((done, fail) => {
      let patience: ReturnType<typeof setTimeout> | undefined;
      openDB<Schema>(this.name, this.#version, {
        ...(this.#upgrade ? { upgrade: this.#upgrade } : {}),
        blocked: () => {
          patience = setTimeout(() => {
            fail(new ShelfFault("blocked"));
          }, BLOCKED_MS);
        },
        blocking: () => {
          void this.release().then(() => this.onreleased?.());
        },
        terminated: () => {
          this.#opening = null;
        },
      })
        .then(done, fail)
        .finally(() => {
          clearTimeout(patience);
        });
    });
    this.#opening = opening;
    return opening;
  }
}

function isFull(fault: unknown): boolean {
  if (fault instanceof ShelfFault) return fault.fault === "full";
  return fault instanceof DOMException && fault.name === "QuotaExceededError";
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
