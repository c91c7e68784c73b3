/**
 * What was written on this phone, from the moment of saving until a tested backup holds it.
 *
 * A database of its own, whose shape never changes: the text of each record, its number, how far it
 * has come. Nothing is ever deleted here by age, by the number of tries or by an answer; a row goes
 * only once the office says that a tested backup holds it.
 */
import { unwrap } from "idb";
import { Handle, whole } from "./handle";
import { saved } from "./save";
import {
  all,
  change,
  changeAll,
  ownOf,
  putOwn,
  STORES,
  waiting,
  type Schema,
  type Work,
} from "./steps";
import * as row from "./row";
import { BLANK, type KeptClock, type Outcome, type OutboxRow } from "./row";
import type { Own, Told } from "./row";

export { NotJoined } from "./save";
export type { KeptClock, OutboxRow, OutboxState, Outcome, Own } from "./row";

/** What waits, and the oldest of it that fit into one push. All read at one moment. */
export interface Parcel {
  readonly own: Own;
  readonly rows: readonly OutboxRow[];
  /** Rows over which the office fails, to be tried one by one. */
  readonly stuck: readonly OutboxRow[];
  /** Rows that it turned down. */
  readonly refused: readonly OutboxRow[];
  readonly count: number;
  readonly oldest: string | null;
}

/** What one record is given when it is saved. */
export type Compose = (n: number, last: string | null) => { id: string; text: string };

// Texts of one push together, in characters; packed they stay far below what the office takes.
const LARGEST_PUSH = 1_000_000;
const MOST_STUCK = 100;

export class Outbox {
  readonly #handle: Handle<Schema>;

  constructor(name = "outbox") {
    this.#handle = new Handle<Schema>(name, 1, (database) => {
      const entries = database.createObjectStore("entries", { keyPath: "id" });
      entries.createIndex("state", ["state", "n"]);
      entries.createIndex("n", "n");
      database.createObjectStore("own");
    });
  }

  async own(): Promise<Own | null> {
    return this.#read(ownOf);
  }

  /** Whose phone it is, and what it knew of the office's clock. */
  async begun(): Promise<{ own: Own | null; clock: KeptClock | null }> {
    return this.#read(async (work) => {
      const [own, kept] = await Promise.all([ownOf(work), work.objectStore("own").get("clock")]);
      return { own, clock: (kept as KeptClock | undefined) ?? null };
    });
  }

  async clock(): Promise<KeptClock | null> {
    return (await this.begun()).clock;
  }

  async keepClock(clock: KeptClock): Promise<void> {
    await this.#handle.use((database) => database.put("own", clock, "clock"));
  }

  /**
   * This phone joined, or learned something of itself. Numbers and ids never go back; what was
   * written for another nursery stays, and is never sent to this one.
   */
  async know(change: Partial<Own> & Pick<Own, "install">): Promise<Own> {
    return this.#write(async (work) => {
      const before = await ownOf(work);
      const same = before?.install === change.install ? before : null;
      if (before && change.nursery && before.nursery.id !== change.nursery.id) {
        await changeAll(work, row.stranded);
      }
      const own = { ...BLANK, lastId: before?.lastId ?? null, ...same, ...change };
      return putOwn(work, { ...own, n: Math.max(same?.n ?? 0, own.n) });
    });
  }

  /**
   * Save records in one strict transaction: all of them or none, on the disk when this returns.
   *
   * @throws NotJoined where the phone belongs to no nursery yet; ShelfFault where nothing was kept.
   */
  async save(at: string, records: readonly Compose[], clock?: KeptClock): Promise<OutboxRow[]> {
    let rows: readonly OutboxRow[] = [];
    return this.#handle.use((database) =>
      saved(unwrap(database), rows[0]?.id, (own) => {
        let { n, lastId } = own;
        rows = records.map((compose) => {
          n += 1;
          const { id, text } = compose(n, lastId);
          lastId = id;
          return { id, n, text, state: "queued", at };
        });
        return { rows, own: { ...own, n, lastId }, clock };
      }).then(() => [...rows]),
    );
  }

  /** The oldest records that the office has not answered for, and how much waits in all. */
  async parcel(most: number): Promise<Parcel | null> {
    return this.#read(async (work) => {
      const own = await ownOf(work);
      if (!own) return null;
      const { count, oldest, rescue } = await waiting(work);
      const refused = rescue.filter(({ trouble }) => trouble !== "elsewhere");
      const index = work.objectStore("entries").index("state");
      const queued = await index.getAll(all("queued"), most + MOST_STUCK);
      const rows: OutboxRow[] = [];
      let size = 0;
      for (const one of queued.filter(({ trouble }) => trouble !== "stuck").slice(0, most)) {
        size += one.text.length;
        if (size > LARGEST_PUSH && rows.length > 0) break;
        rows.push(one);
      }
      const stuck = queued.filter(({ trouble }) => trouble === "stuck");
      const elsewhere = rescue.length - refused.length;
      return { own, rows, stuck, refused, count: count - elsewhere, oldest };
    });
  }

  /** How many wait, and since when; what waits for rescue included. */
  async waiting(): Promise<{ count: number; oldest: string | null }> {
    const { count, oldest } = await this.#read(waiting);
    return { count, oldest };
  }

  /** The office answered: what it answered for is sent no more. */
  async acked(outcomes: ReadonlyMap<string, Outcome>, durable: number): Promise<void> {
    await this.#write(async (work) => {
      const own = await ownOf(work);
      if (own && durable > own.durable) await putOwn(work, { ...own, durable });
      await change(work, outcomes, row.answered);
    });
  }

  /** The office says that these numbers never came; what is still here of them is sent again. */
  async missed(holes: readonly (readonly [number, number])[]): Promise<void> {
    await this.#write(async (work) => {
      const index = work.objectStore("entries").index("n");
      for (const [first, last] of holes) {
        const rows = await index.getAll(IDBKeyRange.bound(first, last));
        await change(work, new Map(rows.map((one) => [one.id, null])), row.missed);
      }
    });
  }

  /** What the office acknowledged and no tested backup holds yet. */
  async unsafe(): Promise<OutboxRow[]> {
    const durable = (await this.own())?.durable ?? 0;
    const rows = await this.rows();
    return rows.filter(
      ({ state, outcome, trouble }) =>
        (state === "acked" || state === "seen") &&
        trouble !== "elsewhere" &&
        (outcome?.seq ?? Infinity) > durable,
    );
  }

  /** It cannot be sent as it is: it waits for a person, or is sent alone from now on. */
  async troubled(id: string, trouble: "refused" | "stuck"): Promise<void> {
    await this.#write((work) => change(work, new Map([[id, trouble]]), row.troubled));
  }

  /** These came in the feed: what is this phone's own and came byte for byte, has been seen. */
  async seen(lines: readonly Told[]): Promise<void> {
    if (lines.length === 0) return;
    const byId = new Map(lines.map((line) => [line.id, line]));
    await this.#write((work) => change(work, byId, row.told));
  }

  /** The office erased these: what it has answered for is not kept here either. */
  async erased(ids: readonly string[]): Promise<void> {
    if (ids.length === 0) return;
    await this.#write(async (work) => {
      const entries = work.objectStore("entries");
      for (const id of ids) {
        const one = await entries.get(id);
        if (one && !row.waits(one)) await entries.delete(id);
      }
    });
  }

  /** Drop what came back in the feed and is in a tested backup; say how many. */
  async prune(): Promise<number> {
    return this.#write(async (work) => {
      const durable = (await ownOf(work))?.durable ?? 0;
      let dropped = 0;
      const index = work.objectStore("entries").index("state");
      for (let at = await index.openCursor(all("seen")); at; at = await at.continue()) {
        const { outcome, trouble } = at.value;
        if ((outcome?.seq ?? Infinity) > durable || trouble) continue;
        await at.delete();
        dropped += 1;
      }
      return dropped;
    });
  }

  /**
   * The book was restored, or its copy is made anew: what it lacks is sent again, and what it has
   * stands under the numbers that the new copy tells. One transaction with the change of copies.
   *
   * @returns false where somebody else was there before.
   */
  async meet(
    before: Own,
    after: Pick<Own, "epoch" | "copy">,
    lacking: ReadonlySet<string>,
    lines: ReadonlyMap<string, Told>,
  ): Promise<boolean> {
    return this.#write(async (work) => {
      const own = await ownOf(work);
      if (own?.epoch !== before.epoch || own.copy !== before.copy) return false;
      const anew = after.epoch !== own.epoch;
      await putOwn(work, { ...own, ...after, durable: anew ? 0 : own.durable });
      await changeAll(work, (one) =>
        row.renewed(one, lacking.has(one.id), lines.get(one.id), anew),
      );
      return true;
    });
  }

  /** Every row, oldest first; `above` a number only the later ones. */
  async rows(above = 0): Promise<OutboxRow[]> {
    const range = IDBKeyRange.lowerBound(above, true);
    return this.#handle.use((database) => database.getAllFromIndex("entries", "n", range));
  }

  /** Which of these have not been answered for. */
  async waits(ids: readonly string[]): Promise<Set<string>> {
    const rows = await this.#read((work) =>
      Promise.all(ids.map((id) => work.objectStore("entries").get(id))),
    );
    return new Set(rows.filter((one) => one && row.waits(one)).map((one) => one?.id ?? ""));
  }

  /** These stand in a file now. */
  async exported(ids: readonly string[]): Promise<void> {
    const told = new Map(ids.map((id) => [id, null]));
    await this.#write((work) => change(work, told, (one) => ({ ...one, exported: true })));
  }

  /** Delete it for good. The caller knows that nothing is lost by it. */
  async destroy(): Promise<void> {
    await this.#handle.destroy();
  }

  #read<T>(work: (work: Work) => Promise<T>): Promise<T> {
    return this.#handle.use((database) => work(database.transaction(STORES)));
  }

  #write<T>(work: (work: Work<"readwrite">) => Promise<T>): Promise<T> {
    return this.#handle.use(async (database) => {
      const transaction = database.transaction(STORES, "readwrite", { durability: "strict" });
      return whole(transaction, work(transaction));
    });
  }
}
