/**
 * Pictures taken on this phone, each on the disk before a record names it.
 *
 * A database of their own: however many there are, the records beside them stay small and safe.
 * What a record names stays until the office says that a tested backup holds it; then a small one of
 * it stays. A picture that no record names is a draft, and goes only when a person takes another in
 * its place or throws it away.
 */
import type { DBSchema, IDBPTransaction } from "idb";
import { Handle, ShelfFault, whole } from "./handle";
import {
  ids,
  isLoose,
  isThere,
  naming,
  sum,
  type Captured,
  type PhotoFact,
  type PhotoOf,
} from "./photo-fact";
import { Reserve, blobsOrBytes, type Kept } from "./reserve";
import { waits, type OutboxRow } from "./row";

export { sum, type Captured, type PhotoFact, type PhotoOf, type PhotoState } from "./photo-fact";

interface Schema extends DBSchema {
  facts: { key: string; value: PhotoFact; indexes: { sha256: string } };
  files: { key: string; value: { id: string; data?: Kept; thumb: Kept } };
}
type Stores = ("facts" | "files")[];
type Work<M extends IDBTransactionMode> = IDBPTransaction<Schema, Stores, M>;

/** The records of this phone, which tell what names a picture and how far it has come. */
export interface Records {
  rows(): Promise<readonly OutboxRow[]>;
}

const STORES: Stores = ["facts", "files"];
const TYPE = "image/jpeg";
export class Photos {
  readonly #handle: Handle<Schema>;
  readonly #records: Records;
  readonly #reserve: Reserve;
  #last = { count: 0, bytes: 0 };
  #mending: Promise<void> | null = null;

  constructor(records: Records, name = "photos", reserve = new Reserve()) {
    this.#records = records;
    this.#reserve = reserve;
    this.#handle = new Handle<Schema>(name, 1, (database) => {
      const facts = database.createObjectStore("facts", { keyPath: "id" });
      facts.createIndex("sha256", "sha256");
      database.createObjectStore("files", { keyPath: "id" });
    });
  }

  /**
   * Keep a picture: on the disk when this returns.
   *
   * @throws ShelfFault `full` where it would leave no room for records; then nothing was kept.
   */
  async keep({ data, thumb, ...seen }: Captured, of: PhotoOf): Promise<PhotoFact> {
    const fact: PhotoFact = { ...of, ...seen, bytes: data.size, state: "kept", entry: null };
    await this.#reserve.hold();
    await blobsOrBytes([data, thumb], (these) => this.#put(fact, these));
    return fact;
  }

  /** What is known of these, in their order; what this phone does not have is left out. */
  async facts(ids: readonly string[]): Promise<PhotoFact[]> {
    const found = await this.#handle.use((database) => {
      const { store } = database.transaction("facts");
      return Promise.all(ids.map((id) => store.get(id)));
    });
    return found.filter((fact) => fact !== undefined);
  }

  /** Every picture on this phone, oldest first. */
  async all(): Promise<PhotoFact[]> {
    const facts = await this.#handle.use((database) => database.getAll("facts"));
    return facts.sort((a, b) => (a.takenAt < b.takenAt ? -1 : 1));
  }

  /** Pictures that no record names, oldest first. */
  async loose(): Promise<PhotoFact[]> {
    await this.#mended();
    return (await this.all()).filter(isLoose);
  }

  /** The other pictures with the same bytes. */
  async twins({ id, sha256 }: PhotoFact): Promise<PhotoFact[]> {
    const same = await this.#handle.use((database) =>
      database.getAllFromIndex("facts", "sha256", sha256),
    );
    return same.filter((fact) => fact.id !== id);
  }

  /** The picture, or a small one of it; null where this phone does not have it. */
  async file(id: string, which: "data" | "thumb"): Promise<Blob | null> {
    const found = (await this.#handle.use((database) => database.get("files", id)))?.[which];
    if (found === undefined) return null;
    return found instanceof Blob ? found : new Blob([found], { type: TYPE });
  }

  /**
   * These records were saved: what they name is a draft no more. Where that cannot be noted now, it
   * is found in the records by the next round.
   */
  async name(rows: readonly OutboxRow[]): Promise<void> {
    try {
      await this.#name(rows);
    } catch (fault) {
      if (!(fault instanceof ShelfFault)) throw fault;
      this.#mending = null;
    }
  }

  /** Learn which of the records that name pictures the office has answered for. */
  async settle(): Promise<void> {
    try {
      await this.#mended();
      const kept = (await this.all()).filter((fact) => fact.state === "kept" && !isLoose(fact));
      if (kept.length === 0) return;
      const waiting = new Set((await this.#records.rows()).filter(waits).map(({ id }) => id));
      const answered = kept.filter(({ entry }) => !waiting.has(entry ?? ""));
      await this.#change(ids(answered), (fact) => ({ ...fact, state: "described" }));
    } catch (fault) {
      if (!(fault instanceof ShelfFault)) throw fault;
    }
  }

  /** Those that may be sent now, latest first. */
  async ready(): Promise<PhotoFact[]> {
    return (await this.all()).filter(({ state }) => state === "described").reverse();
  }

  /** The office has the whole of it. */
  async sent(id: string): Promise<void> {
    await this.#change([id], (fact) => ({ ...fact, state: "sent" }));
  }

  /** Those that the office has and that are here whole, oldest first. */
  async whole(): Promise<PhotoFact[]> {
    return (await this.all()).filter(({ state }) => state === "sent");
  }

  /** A tested backup holds them: of each the small one stays. What was not sent stays whole. */
  async safe(digests: readonly string[]): Promise<void> {
    const held = new Set(digests);
    const these = ids((await this.whole()).filter(({ sha256 }) => held.has(sha256)));
    if (these.length === 0) return;
    await this.#write(async (work) => {
      const [facts, files] = [work.objectStore("facts"), work.objectStore("files")];
      for (const id of these) {
        const [fact, file] = [await facts.get(id), await files.get(id)];
        if (fact?.state !== "sent") continue;
        await facts.put({ ...fact, state: "safe" });
        if (file) await files.put({ id, thumb: file.thumb });
      }
    });
  }

  /** The office does not take it, and why. */
  async refused(id: string, code: string): Promise<void> {
    await this.#change([id], (fact) => ({ ...fact, refused: code }));
  }

  /** The office's book is an older one: whether it has them is to be asked anew. */
  async offer(): Promise<void> {
    const sent = (await this.all()).filter(({ state }) => state === "sent");
    await this.#change(ids(sent), (fact) => ({ ...fact, state: "described" }));
  }

  /** Throw a picture away that no record names; false where one does. */
  async drop(id: string): Promise<boolean> {
    return this.#write(async (work) => {
      const fact = await work.objectStore("facts").get(id);
      if (fact && !isLoose(fact)) return false;
      await Promise.all(STORES.map((store) => work.objectStore(store).delete(id)));
      return true;
    });
  }

  /** How many the office lacks of those that records name; as last known where nothing can be read. */
  async waiting(): Promise<{ count: number; bytes: number }> {
    try {
      const named = (await this.all()).filter((fact) => !isLoose(fact) && !isThere(fact));
      this.#last = { count: named.length, bytes: sum(named) };
    } catch (fault) {
      if (!(fault instanceof ShelfFault)) throw fault;
    }
    return this.#last;
  }

  /** A page that was killed between saving a record and noting it here left its pictures loose. */
  async #mended(): Promise<void> {
    this.#mending ??= this.#mend();
    try {
      await this.#mending;
    } catch (fault) {
      this.#mending = null;
      throw fault;
    }
  }

  async #mend(): Promise<void> {
    if ((await this.all()).some(isLoose)) await this.#name(await this.#records.rows());
  }

  async #name(rows: readonly OutboxRow[]): Promise<void> {
    const named = naming(rows);
    await this.#change([...named.keys()], (fact) =>
      isLoose(fact) ? { ...fact, entry: named.get(fact.id) ?? null } : null,
    );
  }

  /** These stand in a file now. */
  async exported(these: readonly string[]): Promise<void> {
    await this.#change(these, (fact) => ({ ...fact, exported: true }));
  }

  /** Whether every picture that a record names stands in a file or in a tested backup. */
  async mayGo(): Promise<boolean> {
    const named = (await this.all()).filter((fact) => !isLoose(fact));
    return named.every(({ state, exported }) => state === "safe" || exported === true);
  }

  /**
   * Do what must not fail for want of room. On a phone that is full no picture is kept from then on,
   * until there is room for all again.
   */
  making<T>(work: () => Promise<T>): Promise<T> {
    return this.#reserve.making(work);
  }

  /** Delete it for good. The caller knows that nothing is lost by it. */
  async destroy(): Promise<void> {
    await Promise.all([this.#handle.destroy(), this.#reserve.destroy()]);
  }

  async #put(fact: PhotoFact, [data, thumb]: readonly Kept[]): Promise<void> {
    if (!data || !thumb) return;
    await this.#write(async (work) => {
      await work.objectStore("facts").put(fact);
      await work.objectStore("files").put({ id: fact.id, data, thumb });
    });
  }

  async #change(
    ids: readonly string[],
    step: (fact: PhotoFact) => PhotoFact | null,
  ): Promise<void> {
    if (ids.length === 0) return;
    await this.#write(async (work) => {
      const facts = work.objectStore("facts");
      for (const id of ids) {
        const before = await facts.get(id);
        const after = before && step(before);
        if (after) await facts.put(after);
      }
    });
  }

  #write<T>(work: (work: Work<"readwrite">) => Promise<T>): Promise<T> {
    return this.#handle.use(async (database) => {
      const transaction = database.transaction(STORES, "readwrite", { durability: "strict" });
      return whole(transaction, work(transaction));
    });
  }
}
