/** Steps within one transaction of the outbox. */
import type { DBSchema, IDBPTransaction } from "idb";
import { BLANK, type KeptClock, type OutboxRow, type OutboxState, type Own } from "./row";

export const STORES: Stores = ["entries", "own"];

export interface Schema extends DBSchema {
  entries: {
    key: string;
    value: OutboxRow;
    indexes: { state: [OutboxState, number]; n: number };
  };
  own: { key: "own" | "clock"; value: Own | KeptClock };
}
export type Stores = ("entries" | "own")[];
export type Work<M extends IDBTransactionMode = "readonly"> = IDBPTransaction<Schema, Stores, M>;

export function all(state: OutboxState): IDBKeyRange {
  return IDBKeyRange.bound([state, -Infinity], [state, Infinity]);
}

export async function ownOf(work: Work | Work<"readwrite">): Promise<Own | null> {
  const own = (await work.objectStore("own").get("own")) as Own | undefined;
  return own ? { ...BLANK, ...own } : null;
}

export async function putOwn(work: Work<"readwrite">, own: Own): Promise<Own> {
  await work.objectStore("own").put(own, "own");
  return own;
}

export async function waiting(
  work: Work,
): Promise<{ count: number; oldest: string | null; rescue: OutboxRow[] }> {
  const index = work.objectStore("entries").index("state");
  const [queued, first, rescue] = await Promise.all([
    index.count(all("queued")),
    index.get(all("queued")),
    index.getAll(all("rescue")),
  ]);
  const oldest = [first, ...rescue]
    .map((one) => one?.at ?? null)
    .reduce((a, at) => (a === null || (at !== null && at < a) ? at : a), null);
  return { count: queued + rescue.length, oldest, rescue };
}

export async function change<T>(
  work: Work<"readwrite">,
  told: ReadonlyMap<string, T>,
  step: (row: OutboxRow, told: T) => OutboxRow | null,
): Promise<void> {
  const entries = work.objectStore("entries");
  await Promise.all(
    [...told].map(async ([id, what]) => {
      const before = await entries.get(id);
      const after = before && step(before, what);
      if (after) await entries.put(after);
    }),
  );
}

export async function changeAll(
  work: Work<"readwrite">,
  step: (row: OutboxRow) => OutboxRow | null,
): Promise<void> {
  const entries = work.objectStore("entries");
  for (const before of await entries.getAll()) {
    const after = step(before);
    if (after) await entries.put(after);
  }
}
