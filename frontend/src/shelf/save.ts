/**
 * The one transaction that a person waits for, in as few turns of the page as a database allows:
 * a slow phone draws a frame between any two of them, and each promise in between costs as well.
 */
import { BLANK, type KeptClock, type OutboxRow, type Own } from "./row";

export class NotJoined extends Error {}

/** What is put: new records, and what the phone knows of itself and of the clock after them. */
export interface Saved {
  readonly rows: readonly OutboxRow[];
  readonly own: Own;
  readonly clock?: KeptClock | undefined;
}

/**
 * Put what `make` makes of whose phone it is: on the disk when this is done, all of it or nothing.
 * Where the record `before` is there, a first try that was given up was kept after all: nothing is put.
 */
export function saved(
  database: IDBDatabase,
  before: string | undefined,
  make: (own: Own) => Saved,
): Promise<void> {
  return new Promise((done, fail) => {
    const work = database.transaction(["entries", "own"], "readwrite", { durability: "strict" });
    let fault: Error | null = null;
    work.oncomplete = () => {
      done();
    };
    work.onabort = () => {
      fail(fault ?? work.error ?? new DOMException("", "AbortError"));
    };
    const owns = work.objectStore("own");
    const entries = work.objectStore("entries");
    const known = before === undefined ? null : entries.getKey(before);
    const asked = owns.get("own") as IDBRequest<Own | undefined>;
    asked.onsuccess = () => {
      try {
        if (!asked.result) throw new NotJoined();
        if (known?.result !== undefined) return;
        const { rows, own, clock } = make({ ...BLANK, ...asked.result });
        for (const one of rows) entries.add(one);
        owns.put(own, "own");
        if (clock) owns.put(clock, "clock");
        // All of it is said at once.
        work.commit();
      } catch (thrown) {
        fault = thrown as Error;
        work.abort();
      }
    };
  });
}
