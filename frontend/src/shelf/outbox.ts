/**
 * What was written on this phone, from the moment of saving until a tested backup holds it.
 *
 * A database of its own, whose shape never changes: the text of each record, its number, how far it
 * has come. Nothing is ever deleted here by age, by the number of tries or by an answer; a row goes
 * only once the office says that a tested backup holds it.
 */
import type { DBSchema } from "idb";
import { Handle } from "./handle";

/** `queued` until the office answered for it, `acked` then, `seen` once it came back in the feed. */
export type OutboxState = "queued" | "acked" | "seen";

/** What the office answered: `stored`, `known`, `set_aside` or `kept_raw`. */
export interface Outcome {
  readonly id: string;
  readonly status: string;
  readonly seq?: number;
  readonly code?: string;
}

export interface OutboxRow {
  readonly id: string;
  readonly n: number;
  readonly text: string;
  readonly state: OutboxState;
  /** When it was saved, by the corrected clock. */
  readonly at: string;
  readonly outcome?: Outcome;
}

/** Whose phone this is: made when it joins, kept as long as the browser keeps anything. */
export interface Own {
  readonly device: string;
  readonly install: string;
  readonly nursery: { readonly id: string; readonly name: string; readonly zone: string };
  readonly epoch: string;
  /** The highest number and id given; both only rise. */
  readonly n: number;
  readonly lastId: string | null;
  /** What the browser said when it was asked to keep the storage; null: not asked yet. */
  readonly persisted: boolean | null;
}

interface Schema extends DBSchema {
  entries: { key: string; value: OutboxRow; indexes: { state: string; n: number } };
  own: { key: "own"; value: Own };
}

/** What one record is given when it is saved. */
export type Compose = (n: number, last: string | null) => { id: string; text: string };

export class NotJoined extends Error {}

export class Outbox {
  readonly #handle: Handle<Schema>;

  constructor(name = "outbox") {
    this.#handle = new Handle<Schema>(name, 1, (database) => {
      const entries = database.createObjectStore("entries", { keyPath: "id" });
      entries.createIndex("state", "state");
      entries.createIndex("n", "n");
      database.createObjectStore("own");
    });
  }

  async own(): Promise<Own | null> {
    return (await this.#handle.use((database) => database.get("own", "own"))) ?? null;
  }

  /** This phone joined, or learned something of itself. Numbers never go back. */
  async know(change: Partial<Own> & Pick<Own, "install">): Promise<Own> {
    return this.#handle.use(async (database) => {
      const work = database.transaction("own", "readwrite", { durability: "strict" });
      const before = await work.store.get("own");
      const same = before?.install === change.install ? before : undefined;
      const own = { ...BLANK, ...same, ...change, n: Math.max(same?.n ?? 0, change.n ?? 0) };
      await work.store.put(own, "own");
      await work.done;
      return own;
    });
  }

  /**
   * Save records in one strict transaction: all of them or none, on the disk when this returns.
   *
   * @throws NotJoined where the phone belongs to no nursery yet; ShelfFault where nothing was kept.
   */
  async save(at: string, records: readonly Compose[]): Promise<OutboxRow[]> {
    return this.#handle.use(async (database) => {
      const work = database.transaction(["entries", "own"], "readwrite", { durability: "strict" });
      const own = await work.objectStore("own").get("own");
      if (!own) throw new NotJoined();
      let { n, lastId } = own;
      const rows: OutboxRow[] = [];
      for (const compose of records) {
        n += 1;
        const { id, text } = compose(n, lastId);
        lastId = id;
        rows.push({ id, n, text, state: "queued", at });
      }
      await Promise.all([
        ...rows.map((row) => work.objectStore("entries").add(row)),
        work.objectStore("own").put({ ...own, n, lastId }, "own"),
        work.done,
      ]);
      return rows;
    });
  }

  /** The oldest records that the office has not answered for. */
  async unsent(most: number): Promise<OutboxRow[]> {
    return this.#handle.use(async (database) => {
      const rows = await database.getAllFromIndex("entries", "state", "queued");
      return rows.sort((a, b) => a.n - b.n).slice(0, most);
    });
  }

  /** How many wait, and since when. */
  async waiting(): Promise<{ count: number; oldest: string | null }> {
    const rows = await this.unsent(Infinity);
    const oldest = rows.reduce<string | null>((a, { at }) => (a === null || at < a ? at : a), null);
    return { count: rows.length, oldest };
  }

  /** Mark what the office answered for, or change how far rows have come. */
  async mark(
    changes: ReadonlyMap<string, Partial<Pick<OutboxRow, "state" | "outcome">>>,
  ): Promise<void> {
    if (changes.size === 0) return;
    await this.#handle.use(async (database) => {
      const work = database.transaction("entries", "readwrite", { durability: "strict" });
      for (const [id, change] of changes) {
        const row = await work.store.get(id);
        if (row) await work.store.put({ ...row, ...change });
      }
      await work.done;
    });
  }

  async rows(): Promise<OutboxRow[]> {
    return this.#handle.use((database) => database.getAllFromIndex("entries", "n"));
  }

  /** Drop rows that a tested backup holds. The caller has the office's word for each. */
  async prune(ids: readonly string[]): Promise<void> {
    if (ids.length === 0) return;
    await this.#handle.use(async (database) => {
      const work = database.transaction("entries", "readwrite");
      await Promise.all([...ids.map((id) => work.store.delete(id)), work.done]);
    });
  }
}

const BLANK: Omit<Own, "install"> = {
  device: "",
  nursery: { id: "", name: "", zone: "UTC" },
  epoch: "",
  n: 0,
  lastId: null,
  persisted: null,
};
