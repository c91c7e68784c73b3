/**
 * The unsaved forms once more, on the disk as soon as they change.
 *
 * What is put into `localStorage` is read at once and reaches the disk seconds later. A phone that is
 * short of memory may end the whole browser while its camera is open, and then those seconds are
 * gone; a strict transaction is on the disk when it is done.
 */
import type { DBSchema, IDBPDatabase } from "idb";
import { Handle, whole } from "./handle";

/** A form as it was at an instant, in milliseconds; without text it was saved or given up. */
export interface Mark {
  readonly at: number;
  readonly text: string | null;
}

interface Schema extends DBSchema {
  marks: { key: string; value: Mark };
}

/** Longer than any form is kept. (Choice of the product.) */
const OLDEST_MS = 30 * 24 * 3600_000;

export class DraftsDisk {
  readonly #handle: Handle<Schema>;
  readonly #waiting = new Map<string, Mark>();
  #writing: Promise<void> | null = null;

  constructor(name = "drafts") {
    this.#handle = new Handle<Schema>(name, 1, (database) => {
      database.createObjectStore("marks");
    });
  }

  /** Put it on the disk: at once, or as soon as what is being put there is done. */
  note(key: string, mark: Mark): void {
    this.#waiting.set(key, mark);
    this.#writing ??= this.#write();
  }

  /** What the disk has. Nothing where it cannot be read; what is too old is forgotten. */
  async marks(now: number): Promise<ReadonlyMap<string, Mark>> {
    try {
      return await this.#handle.use(async (database) => {
        const { store } = database.transaction("marks");
        const [keys, marks] = await Promise.all([store.getAllKeys(), store.getAll()]);
        const isOld = ({ at }: Mark): boolean => Math.abs(now - at) > OLDEST_MS;
        const all = marks.map((mark, i) => ({ key: keys[i] ?? "", mark }));
        const old = all.filter(({ mark }) => isOld(mark)).map(({ key }) => key);
        if (old.length > 0) await forgetIn(database, old);
        return new Map(
          all.filter(({ mark }) => !isOld(mark)).map(({ key, mark }) => [key, mark] as const),
        );
      });
    } catch {
      return new Map();
    }
  }

  /** When this is done, all that was noted is on the disk, as far as the disk takes it. */
  async settled(): Promise<void> {
    await this.#writing;
  }

  async destroy(): Promise<void> {
    this.#waiting.clear();
    await this.settled();
    await this.#handle.destroy();
  }

  async #write(): Promise<void> {
    try {
      while (this.#waiting.size > 0) {
        const these = [...this.#waiting];
        this.#waiting.clear();
        await this.#handle.use(async (database) => {
          const how = { durability: "strict" } as const;
          const transaction = database.transaction("marks", "readwrite", how);
          const { store } = transaction;
          await whole(transaction, Promise.all(these.map(([key, mark]) => store.put(mark, key))));
        });
      }
    } catch {
      // Full or shut: the form and the browser's own storage still hold it.
    } finally {
      this.#writing = null;
    }
  }
}

async function forgetIn(database: IDBPDatabase<Schema>, keys: readonly string[]): Promise<void> {
  const transaction = database.transaction("marks", "readwrite");
  await whole(transaction, Promise.all(keys.map((key) => transaction.store.delete(key))));
}
